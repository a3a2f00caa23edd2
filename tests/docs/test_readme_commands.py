"""The README is followed from top to bottom, as a reader would: files written, commands typed, examples run.

What is shown below a command must come out of it (`...` stands for anything); so an example cannot drift.
"""

import doctest
import os
import re
import shlex
import shutil
import subprocess
import sys

import pytest

from tests.docs.markdown import DEVELOPERS, README, ROOT, blocks, commands

COLUMNS = 100
"""Width of the terminal in the README."""
PROGRAMS = {"simplant": ["-m", "simplant"], "python": [], "pytest": ["-m", "pytest", "-p", "no:cacheprovider"]}


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Give what stands in a fresh clone, as far as the README writes there."""
    for name in ("programs", "scenarios"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.slow
def test_the_readme_does_what_it_shows(folder):
    """Each file, command and example of the README, in order, gives what is shown below it."""
    known: dict[str, object] = {}
    for block in blocks(README):
        if block.file:
            write(folder / block.file, block)
        elif block.language == "console":
            for command in commands(block):
                assert_shown(command, folder)
        elif ">>> " in block.text:
            assert_example(block, known)


@pytest.mark.parametrize("page", [README, DEVELOPERS], ids=lambda p: p.name)
def test_every_console_command_can_be_run_here(page):
    """No console block has a command that this test would pass over."""
    typed = [command.typed for block in blocks(page) if block.language == "console" for command in commands(block)]
    assert [t for t in typed if shlex.split(t)[0] not in PROGRAMS] == []


def test_the_two_commands_stand_once_each():
    """CI takes the two commands from the README: one installs and runs the job, one installs and runs the tests."""
    lines = [line for line in README.read_text(encoding="utf-8").splitlines() if line.startswith("python3 -m venv")]
    assert [("dryrun" in line, "pytest" in line) for line in lines] == [(True, False), (False, True)]


def write(path, block):
    """Write the file that a block shows, or add it to the file, or put it in place of a line, as its caption says."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = block.text
    if under := re.search(r"added under `(.*)`", block.caption):
        before = path.read_text(encoding="utf-8")
        assert before.count(f"\n{under[1]}\n") == 1, f"{path.name} has no single {under[1]}"
        text = before.replace(f"\n{under[1]}\n", f"\n{under[1]}\n{text}")
    elif instead := re.search(r"in place of `(.*)`", block.caption):
        before = path.read_text(encoding="utf-8")
        lines = [line for line in before.splitlines() if line.strip() == instead[1]]
        assert len(lines) == 1, f"{path.name} has no single {instead[1]}"
        text = before.replace(f"{lines[0]}\n", text)
    elif "added at the end" in block.caption:
        text = path.read_text(encoding="utf-8") + text
    path.write_text(text, encoding="utf-8")


def assert_shown(command, folder):
    """Run a command and hold its output against what is shown."""
    program, *arguments = shlex.split(command.typed)
    env = {k: v for k, v in os.environ.items() if not k.startswith(("PYTEST", "SIMPLANT", "COV"))}
    paths = os.pathsep.join(filter(None, (str(ROOT), env.get("PYTHONPATH"))))
    env |= {"COLUMNS": str(COLUMNS), "PYTHONIOENCODING": "utf-8", "PYTHONPATH": paths, "NO_COLOR": "1"}
    done = subprocess.run(
        [sys.executable, *PROGRAMS[program], *arguments],
        cwd=folder, env=env, capture_output=True, encoding="utf-8", check=False, timeout=60,
    )  # fmt: skip
    where = f"README.md:{command.line}: $ {command.typed}"
    if done.returncode != command.exit_code:
        pytest.fail(f"{where}\nended with {done.returncode}\n{done.stdout}\n{done.stderr}", pytrace=False)
    if piece := lost(command.shown, done.stdout):
        pytest.fail(f"{where}\ndoes not show: {piece}\nbut:\n{done.stdout}", pytrace=False)


def lost(shown, got):
    """Give the first piece between two `...` that the output lacks, or has out of order; gaps may have any width."""
    rest = " ".join(got.split())
    for piece in (" ".join(text.split()) for text in shown.split("...")):
        if piece not in rest:
            return piece
        rest = rest[rest.index(piece) + len(piece) :]
    return ""


def assert_example(block, known):
    """Run the `>>>` lines of a block, with what those above it defined."""
    test = doctest.DocTestParser().get_doctest(block.text, known, "README.md", "README.md", block.line)
    told: list[str] = []
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS)
    runner.run(test, out=told.append, clear_globs=False)
    known |= test.globs
    assert runner.summarize(verbose=False).failed == 0, "".join(told)
