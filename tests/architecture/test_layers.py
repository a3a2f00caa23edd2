"""The layers and the homes of libraries, as `pyproject.toml` draws them."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.slow
def test_every_import_contract_is_kept():
    """No module imports what stands above it, and each library is known to its home only."""
    pytest.importorskip("importlinter", reason="import-linter comes with the extra `dev`")
    command = [Path(sys.executable).with_name("lint-imports"), "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    broken = [line for line in done.stdout.splitlines() if line.endswith(" BROKEN")]
    assert (broken, done.returncode) == ([], 0), done.stdout


DOCUMENT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_picture_shows_the_layers():
    """The picture in DEVELOPERS.md has the layers of the contract, one a line, with who may know whom."""
    picture = DOCUMENT.partition("## Layers")[2].split("```")[1]
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    layers = settings["tool"]["importlinter"]["contracts"][0]["layers"]
    assert [line.partition("   ")[0] for line in picture.strip().splitlines()] == layers


def test_the_table_of_folders_is_whole():
    """DEVELOPERS.md says of every folder of the package, and every file that stands in none, what is in it."""
    table = DOCUMENT.partition("## What lives where")[2].partition("## Layers")[0]
    named = re.findall(r"`(?:simplant/)?([a-z]+)(?:/|\.py)`", table)
    package = ROOT / "simplant"
    folders = [path.parent.name for path in (*package.glob("*/__init__.py"), *package.glob("logic/*/__init__.py"))]
    files = [path.stem for path in package.glob("*.py") if path.stem.isalpha() and path.stem != "version"]
    assert sorted({*folders, *files} - {*named}) == []
