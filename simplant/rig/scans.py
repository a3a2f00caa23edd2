"""The scan that a controller ran last before an instant: what it read, and from which state it began.

What is made of it (power flow in a drawing) is above. Rule: every scan is run, none slept through; the trace is the
same, so what is seen is what happened.
"""

from __future__ import annotations

from simplant.errors import UsageError
from simplant.kernel.executable import Executable
from simplant.kernel.task import Task
from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.scenario.model import Scenario
from simplant.timebase import Ns, show
from simplant.values import Value

Scan = tuple[tuple[Value, ...], tuple[Value, ...], Ns]
"""Inputs, state before, instant."""


def scans_at(machine: Machine, scenario: Scenario, at: Ns) -> dict[str, tuple[Executable, Scan]]:
    """Run a scenario up to an instant; give the last scan of each task of the main controller.

    Args:
        machine: what to run.
        scenario: what happens to it.
        at: the instant, that instant included.

    Raises:
        UsageError: the scenario ends before, or no scan was run by then.
    """
    if not 0 <= at <= scenario.length:
        raise UsageError(f"{show(at)} is not in the scenario", f"it goes from 0 to {show(scenario.length)}")
    rig = Rig(machine, scenario, claims=(), every_scan=True)
    seen = watched(rig)
    rig.run_until(at)
    if not seen:
        boot = show(rig.main.setup.boot)
        raise UsageError(f"no scan was run by {show(at)}", f"the controller boots for {boot}", "look later")
    return seen


def watched(rig: Rig) -> dict[str, tuple[Executable, Scan]]:
    """Give a table that from now on holds the latest scan of each task of the main controller."""
    seen: dict[str, tuple[Executable, Scan]] = {}
    for task in rig.main.tasks:
        _note(task, seen)
    return seen


def _note(task: Task, seen: dict[str, tuple[Executable, Scan]]) -> None:
    """Let a task note each scan before it is run."""
    real, name = task.executable.run, task.setup.name

    def run(inputs: tuple[Value, ...], state: tuple[Value, ...], now: Ns) -> tuple[tuple[Value, ...], Ns]:
        seen[name] = (task.executable, (inputs, state, now))
        return real(inputs, state, now)

    task.run = run
