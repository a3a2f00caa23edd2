"""A machine twice: as it is, and with a program from another file, or walked.

Rule: nothing of the machine itself is changed.
"""

import shutil
from dataclasses import replace
from functools import cache
from pathlib import Path

from simplant.logic.walk import walk_task
from simplant.rig.machine import MAIN, Machine
from simplant.rig.rig import Rig
from simplant.scenario.read import read_scenario

FILES = (("sump_pumps", "logic.st"), ("comet_toss", "logic.st"), ("comet_toss", "logic.ladder"))
"""Machines, and the files in their folders that say their program again in another language."""


def scenarios(machine):
    return sorted(Path("scenarios", machine).glob("*.toml"))


@cache
def authored(machine):
    return Machine.load(Path("programs", machine))


def with_logic(machine, to, file, controller=MAIN):
    """A machine, one of its controllers running `file`; for another than the main one a copy in the folder `to`."""
    if controller == MAIN:
        return Machine.load(Path("programs", machine), logic=Path("programs", machine, file))
    folder = to / machine
    shutil.copytree(Path("programs", machine), folder)
    table = folder / "machine.toml"
    text = table.read_text(encoding="utf-8")
    head = f"[controllers.{controller}]"
    table.write_text(text.replace(head, f'{head}\nlogic = "{file}"', 1), encoding="utf-8")
    return Machine.load(folder)


def walked(machine):
    """The same machine, its programs walked plainly: they never sleep."""

    def plain(plan):
        tasks = zip(plan.tasks, plan.layouts, strict=True)
        return replace(plan, tasks=tuple((timing, walk_task(layout)) for (timing, _), layout in tasks))

    return replace(machine, controllers=tuple(plain(plan) for plan in machine.controllers))


def lines(machine, path, **options):
    """The trace of a scenario, line by line."""
    rig = Rig(machine, read_scenario(path), **options)
    rig.run()
    return [line for line in rig.trace.text().splitlines() if not line.startswith("#")]


@cache
def authored_lines(machine, path):
    """The trace of a scenario of a machine as it is."""
    return lines(authored(machine), path)
