"""A machine twice: as it is, and with the program of one of its controllers from another file.

Rule: the folder is copied, so nothing of the machine itself is changed.
"""

import re
import shutil
from functools import cache
from pathlib import Path

from simplant.rig.machine import MAIN, Machine
from simplant.rig.rig import Rig
from simplant.scenario.read import read_scenario

FILES = (("sump_pumps", "logic.st"), ("sump_pumps", "logic.ladder"), ("comet_toss", "logic.st"))
"""Machines, and the files in their folders that say their program again in another language."""


def scenarios(machine):
    return sorted(Path("scenarios", machine).glob("*.toml"))


@cache
def authored(machine):
    return Machine.load(Path("programs", machine))


def with_logic(machine, to, file, controller=MAIN):
    """A copy of a machine in the folder `to`, one of its controllers running `file`."""
    folder = to / machine
    shutil.copytree(Path("programs", machine), folder)
    table = folder / "machine.toml"
    text = table.read_text(encoding="utf-8")
    head = "[machine]" if controller == MAIN else f"[controllers.{controller}]"
    before, _, rest = text.partition(head)
    section, bracket, behind = rest.partition("\n[")
    section = re.sub(r"\nlogic = .*", "", section)
    table.write_text(f'{before}{head}\nlogic = "{file}"{section}{bracket}{behind}', encoding="utf-8")
    return Machine.load(folder)


def lines(machine, path, **options):
    """The trace of a scenario, line by line."""
    rig = Rig(machine, read_scenario(path), **options)
    rig.run()
    return [line for line in rig.trace.text().splitlines() if not line.startswith("#")]
