"""What a controller's program was given and what it answered, scan by scan, in a run with every scan.

The runs are scenarios of the machine. Rule: the machine itself is left as it was; a copy of it records.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from simplant.logic.layout import Layout
from simplant.rig.machine import ControllerPlan, Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario
from simplant.scenario.read import read_scenario
from simplant.timebase import Ns
from simplant.values import Value

Values = tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Scan:
    """One scan: input image, state before and after, and its instant."""

    inputs: Values
    before: Values
    now: Ns
    after: Values


def scenarios_of(machine: Machine) -> dict[str, Scenario]:
    """Give all scenarios of a machine by name."""
    return {p.stem: read_scenario(p) for p in sorted(Path(machine.scenario_folder()).glob("*.toml"))}


def record(machine: Machine, scenario: Scenario) -> list[Scan]:
    """Run a scenario with every scan; give the scans of the main controller's one task."""
    scans: list[Scan] = []
    main, *others = machine.controllers
    ((setup, executable),) = main.tasks

    def run(inputs: Values, state: Values, now: Ns) -> tuple[Values, Ns]:
        after, due = executable.run(inputs, state, now)
        scans.append(Scan(inputs, state, now, after))
        return after, due

    listening: ControllerPlan = replace(main, tasks=((setup, replace(executable, run=run)),))
    run_scenario(replace(machine, controllers=(listening, *others)), scenario, every_scan=True)
    return scans


def named(layout: Layout, state: Values) -> dict[str, Value]:
    """Give a state by the names of its slots."""
    return dict(zip((slot.name for slot in layout.slots), state, strict=True))


def restarts(scans: Iterable[Scan]) -> Iterable[tuple[Scan, bool]]:
    """Give each scan and whether the controller started anew before it."""
    last: Values | None = None
    for scan in scans:
        yield scan, last is not None and scan.before != last
        last = scan.after
