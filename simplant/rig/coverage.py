"""Machines whose programs tell what runs show of them.

Probing a program is logic/coverage. Rule: runs of a covered machine have the traces of the plain one.
"""

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from simplant.files import shown
from simplant.logic.compile import compile_task
from simplant.logic.coverage.probes import Prober
from simplant.logic.coverage.sheet import Sheet
from simplant.rig.machine import Machine
from simplant.rig.plans import ControllerPlan


def covered(machine: Machine) -> tuple[Machine, dict[str, Sheet]]:
    """Give a machine with probes in its programs, and the sheet of each controller, which fills with every run."""
    made = {plan.name: _covered(plan) for plan in machine.controllers}
    controllers = tuple(plan for plan, _ in made.values())
    return machine.with_controllers(controllers), {name: sheet for name, (_, sheet) in made.items()}


def _covered(plan: ControllerPlan) -> tuple[ControllerPlan, Sheet]:
    prober = Prober(plan.program)
    probed = [compile_task(prober.probed(layout)) for layout in plan.layouts]
    tasks = tuple(
        (setup, replace(executable, tried=plain.run))
        for (setup, plain), executable in zip(plan.tasks, probed, strict=True)
    )
    return replace(plan, tasks=tasks), prober.sheet


@dataclass(slots=True)
class Coverage:
    """What all runs of a session show, machine by machine.

    Attributes:
        sheets: of each controller by its name, by the machine's folder.
    """

    sheets: dict[str, dict[str, Sheet]] = field(default_factory=dict)

    def load(self, folder: Path) -> Machine:
        """Read a machine with probes in its programs, in place of `Machine.load`."""
        return self.cover(Machine.load(folder))

    def cover(self, machine: Machine) -> Machine:
        """Give a machine with probes in its programs; their sheets are kept here."""
        made, self.sheets[shown(machine.folder)] = covered(machine)
        return made

    def as_json(self) -> list[dict[str, Any]]:
        """Give all of it, one entry for each program."""
        return [
            {"machine": folder, "controller": name, **sheet.as_json()}
            for folder, sheets in self.sheets.items()
            for name, sheet in sheets.items()
        ]


__all__ = ["Coverage", "covered"]
