"""Planting a bug: a copy of the machine's folder with one place changed.

The bugs are bugs.py. Rule: the machine as it is, is never touched.
"""

from pathlib import Path
from shutil import copytree

from simplant.rig.machine import Machine
from tests.quality.bugs import BUGS, Bug

PROGRAMS = Path(__file__).parents[2] / "programs"


def true_machine(name: str, folder: Path) -> Machine:
    """Give the machine as it is, run from the program that bugs are planted in."""
    return Machine.load(_copied(name, next(bug.file for bug in BUGS if bug.machine == name), folder / name))


def planted(bug: Bug, folder: Path) -> Machine:
    """Give the machine with a bug in it; `folder` is an empty one to work in."""
    copy = _copied(bug.machine, bug.file, folder / bug.machine)
    file = copy / bug.file
    text = file.read_text(encoding="utf-8")
    assert text.count(bug.old) == 1, f"{bug.name}: {bug.old!r} stands {text.count(bug.old)} times in {file.name}"
    file.write_text(text.replace(bug.old, bug.new), encoding="utf-8")
    return Machine.load(copy)


def _copied(name: str, logic: str, copy: Path) -> Path:
    """Copy a machine; let it run that program of its programs."""
    copytree(PROGRAMS / name, copy)
    table = copy / "machine.toml"
    lines = [line for line in table.read_text(encoding="utf-8").splitlines() if not line.startswith("logic = ")]
    lines.insert(lines.index("[machine]") + 1, f'logic = "{logic}"')
    table.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return copy
