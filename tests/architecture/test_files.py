"""How files look: a head that says what lives there, a bounded length, absolute imports, one home for `exec`."""

import ast
import subprocess
from pathlib import Path

import pytest

import simplant

ROOT = Path(__file__).parents[2]
PACKAGE = sorted((ROOT / "simplant").rglob("*.py"))
MOST_LINES = 300
AT_THE_TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "simplant", "programs", "scenarios", "tests"}

TO_BE_SPLIT: dict[str, int] = {}
"""Longer files and their bounds: to be split, not to be joined by others."""


def shown(path):
    return path.relative_to(ROOT).as_posix()


def tree(path):
    return ast.parse(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", PACKAGE, ids=shown)
def test_every_file_has_a_head(path):
    """Three lines or more say what lives in a file and which rule it keeps; a package's own file needs one."""
    text = ast.get_docstring(tree(path)) or ""
    if path.name in ("__init__.py", "__main__.py", "version.py"):
        assert text
    else:
        assert (len(text.splitlines()) >= 3, "Rule:" in text) == (True, True)


def test_no_file_is_long():
    """A file of more than 300 lines holds two things."""
    lengths = {shown(path): len(path.read_text(encoding="utf-8").splitlines()) for path in PACKAGE}
    too_long = {name: n for name, n in lengths.items() if n > TO_BE_SPLIT.get(name, MOST_LINES)}
    done = {name for name in TO_BE_SPLIT if lengths.get(name, 0) <= MOST_LINES}
    assert (too_long, done) == ({}, set())


def test_nothing_else_stands_at_the_top():
    """What is kept has its place in a folder; hidden files are those of tools."""
    if not (ROOT / ".git").exists():
        pytest.skip("only a checkout says what is kept")
    kept = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    top = {line.partition("/")[0] for line in kept.splitlines()}
    assert {name for name in top if not name.startswith(".")} == AT_THE_TOP


def calls(path, names):
    """Give the lines on which a file calls or names one of some built-in functions."""
    return [n.lineno for n in ast.walk(tree(path)) if isinstance(n, ast.Name) and n.id in names]


def test_made_source_runs_in_one_file():
    """`exec`, `eval` and `compile` stand in logic/compile.py and nowhere else."""
    found = {shown(path) for path in PACKAGE if calls(path, ("exec", "eval", "compile"))}
    assert found == {"simplant/logic/compile.py"}


def test_no_import_is_relative():
    """Every import says from where, in the tests too."""
    files = [*PACKAGE, *(ROOT / "tests").rglob("*.py"), *(ROOT / "programs").rglob("*.py")]
    found = [
        f"{shown(path)}:{node.lineno}"
        for path in files
        for node in ast.walk(tree(path))
        if isinstance(node, ast.ImportFrom) and node.level
    ]
    assert found == []


def test_test_files_have_unique_names():
    """A test is named by its file alone."""
    names = [path.name for path in (ROOT / "tests").rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))


def test_every_public_name_is_described():
    """Functions and classes of the package's face have docstrings; values have one below them where they are made."""
    bare = [
        name
        for name in simplant.__all__
        if callable(value := getattr(simplant, name)) and not (value.__doc__ or "").strip()
    ]
    assert bare == []


def test_the_face_is_sorted_and_there():
    """`__all__` names what is there, each once, in order."""
    names = simplant.__all__
    assert list(names) == sorted(set(names), key=lambda n: (not n.isupper(), not n[:1].isupper(), n))
    assert [name for name in names if not hasattr(simplant, name)] == []
