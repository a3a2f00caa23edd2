"""Planting a bug: a copy of the machine's folder with one place changed.

The bugs are bugs.py. Rule: the machine as it is, is never touched.
"""

from pathlib import Path
from shutil import copytree

from simplant.rig.machine import Machine
from tests.quality.bugs import Bug

PROGRAMS = Path(__file__).parents[2] / "programs"


def true_machine(name: str, folder: Path) -> Machine:
    """Give the machine as it is, run from the program that bugs are planted in."""
    return Machine.load(_copied(name, folder / name))


def planted(bug: Bug, folder: Path) -> Machine:
    """Give the machine with a bug in it; `folder` is an empty one to work in."""
    copy = _copied(bug.machine, folder / bug.machine)
    file = copy / bug.file
    text = file.read_text(encoding="utf-8")
    assert text.count(bug.old) == 1, f"{bug.name}: {bug.old!r} stands {text.count(bug.old)} times in {file.name}"
    file.write_text(text.replace(bug.old, bug.new), encoding="utf-8")
    return Machine.load(copy)


def _copied(name: str, copy: Path) -> Path:
    copytree(PROGRAMS / name, copy)
    if (copy / "logic.st").exists():
        table = copy / "machine.toml"
        text = table.read_text(encoding="utf-8")
        if "\nlogic = " not in text:
            table.write_text(text.replace("[machine]", '[machine]\nlogic = "logic.st"', 1), encoding="utf-8")
    return copy
