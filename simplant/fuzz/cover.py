"""What a run has been through: steps, transitions, and each change of a level in each step.

Counted over many runs in search.py, and steered by in steer.py. Rule: only the trace is looked at, so a machine
without a chart is covered too: its place is then what its outputs are.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from simplant.rig.machine import Machine
from simplant.rig.outcome import Run
from simplant.rules import Outcome
from simplant.scenario.trace import EVENT
from simplant.timebase import Ns

MOST_TIMES: Final = 4
"""So often a step is counted in one run."""
Place = tuple[object, ...]
Feature = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Covered:
    """What one run has been through.

    Args:
        steps: `chart.step`.
        transitions: pairs of steps that followed each other.
        features: all that steers: paths of steps, changes of levels in each place, how near each rule came to breaking.
        instants: when something happened that the program did: steps entered, outputs changed, ns.
        stays: in which place the program was, from when on, to when, ns.
    """

    steps: frozenset[str]
    transitions: frozenset[tuple[str, str]]
    features: frozenset[Feature]
    instants: tuple[Ns, ...]
    stays: tuple[tuple[Place, Ns, Ns], ...]


def covered(run: Run) -> Covered:
    """Say what a run has been through."""
    last: dict[str, tuple[str, ...]] = {}
    times: Counter[str] = Counter()
    transitions: set[tuple[str, str]] = set()
    features: set[Feature] = set()
    for record in run.steps:
        here = f"{record.chart}.{record.step}"
        times[here] += 1
        path = (*last.get(record.chart, ()), here)
        if len(path) > 1:
            transitions.add((path[-2], here))
        features.add(("path", *path))
        features.add(("again", here, min(times[here], MOST_TIMES)))
        last[record.chart] = path[-2:]
    instants: list[Ns] = []
    entered: list[tuple[Ns, Place]] = []
    features.update(_changes(run, instants, entered))
    features.update(_margins(run))
    features.update(("broken", v.rule) for v in run.verdicts if v.outcome is Outcome.BROKEN)
    return Covered(
        frozenset(times), frozenset(transitions), frozenset(features), tuple(instants), tuple(_stays(run, entered))
    )


def _stays(run: Run, entered: list[tuple[Ns, Place]]) -> Iterator[tuple[Place, Ns, Ns]]:
    ends = [at for at, _ in entered[1:]] + [run.ended]
    yield from ((place, at, end) for (at, place), end in zip(entered, ends, strict=True) if at < end)


def _changes(run: Run, instants: list[Ns], entered: list[tuple[Ns, Place]]) -> Iterator[Feature]:
    """Give each change of a level with the place in which it came; note when the program did something."""
    place = _places(run.machine)
    does = {*place, *run.machine.controllers[0].outputs}
    here: Place = tuple(place.values())
    for at, name, value in run.trace:
        if name in does and (not instants or instants[-1] != at):
            instants.append(Ns(at))
        if name in place:
            place[name] = value
            here = tuple(place.values())
            entered.append((Ns(at), here))
        elif name != EVENT and value.__class__ is bool:
            yield here, name, value


def _places(machine: Machine) -> dict[str, object]:
    """Give what says where a program is: its charts, or without them its outputs."""
    names = machine.program.charts or machine.controllers[0].outputs
    return dict.fromkeys(names)


def _margins(run: Run) -> Iterator[Feature]:
    """Give for each rule that held how near it came to breaking, in tenths."""
    for rule, margin in margins(run).items():
        for tenth in range(int(margin * 10), 10):
            yield "margin", rule, tenth


def margins(run: Run) -> Mapping[str, float]:
    """Give how near each rule came to breaking: 0 is on the edge, 1 a whole deadline or level away.

    Only of rules that held.
    """
    return {v.rule: max(0.0, v.margin) for v in run.verdicts if v.outcome is Outcome.HELD and v.margin is not None}
