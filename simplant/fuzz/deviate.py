"""How a machine may differ from its drawings when a story begins, and while it goes on.

Parameters within tolerance, parts that stand anywhere, what the controller kept, periods and jitter of its scans, the
order of what comes at one instant: all from the one number that a story has for it. Rule: 0 is the machine as drawn;
what is given is part of the scenario, so it replays without the number.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, TypeVar

from simplant.chance import below, stream
from simplant.rig.machine import Machine
from simplant.scenario.model import Scans
from simplant.timebase import NEVER, Ns, us
from simplant.values import BOOL, ElementaryType, Value

One = TypeVar("One")

GRAIN: Final = us(100)
"""Periods and jitter are whole numbers of it."""
MOST_TIES: Final = 1000
MOST_JITTER: Final = 10
"""Scans come late by a part of this many of their period at most."""


@dataclass(frozen=True, slots=True)
class Deviation:
    """What is not as drawn, as a scenario says it."""

    parameters: Mapping[str, float] = field(default_factory=dict)
    retained: Mapping[str, Value] = field(default_factory=dict)
    scans: Mapping[str, Scans] = field(default_factory=dict)
    ties: int = 0


class Deviations:
    """All that may differ on one machine."""

    def __init__(self, machine: Machine | None) -> None:
        """Gather it; without a machine nothing differs."""
        self._there: Final = machine is not None
        self._spread: Final = tuple(_spread(machine)) if machine else ()
        self._anywhere: Final = tuple(_anywhere(machine)) if machine else ()
        self.starts: Final = frozenset(name for name, _ in self._anywhere)
        self._kept: Final = tuple(_kept(machine)) if machine else ()
        self._scans: Final = tuple(_scans(machine)) if machine else ()

    def of(self, noise: int) -> Deviation:
        """Give what a number stands for.

        A quarter of all parameters lie at the low end of their tolerance, a quarter at the high end. In every other
        story half of the parts stand somewhere else; in every fourth half of what is retained has another value; in
        every other scans jitter, in every fourth the period is another one; in every other ties are shuffled.
        """
        if not noise or not self._there:
            return Deviation()
        base = stream(noise, "deviation")
        parts, kept, jitter, period, ties = (not below(base, k, often) for k, often in enumerate((2, 4, 2, 4, 2)))
        return Deviation(
            {**self._parameters(noise), **(_chosen(self._anywhere, noise, "anywhere") if parts else {})},
            _chosen(self._kept, noise, "retained") if kept else {},
            dict(self._scanning(noise, jitter=jitter, period=period)),
            1 + below(base, 5, MOST_TIES) if ties else 0,
        )

    def _parameters(self, noise: int) -> dict[str, float]:
        base = stream(noise, "tolerance")
        found: dict[str, float] = {}
        for number, (name, low, high) in enumerate(self._spread):
            if number % 32 == 0:
                bits = below(base, number // 32, 2**64)
            if bits & 1:
                found[name] = high if bits & 2 else low
            bits >>= 2
        return found

    def _scanning(self, noise: int, *, jitter: bool, period: bool) -> Iterator[tuple[str, Scans]]:
        base = stream(noise, "scans")
        for number, (name, least, most, late) in enumerate(self._scans):
            other = Ns(least + below(base, 2 * number, (most - least) // GRAIN + 1) * GRAIN) if most and period else 0
            delay = Ns(below(base, 2 * number + 1, late // GRAIN + 1) * GRAIN) if jitter else 0
            if other or delay:
                yield name, Scans(Ns(other), Ns(delay))


def _chosen(given: Sequence[tuple[str, Sequence[One]]], noise: int, what: str) -> dict[str, One]:
    """Give every other one a value of those it may have."""
    base = stream(noise, what)
    return {
        name: values[below(base, 2 * n + 1, len(values))]
        for n, (name, values) in enumerate(given)
        if below(base, 2 * n, 2)
    }


def _spread(machine: Machine) -> Iterator[tuple[str, float, float]]:
    """Give each parameter that has a tolerance with its least and greatest value."""
    for name, plan in machine.plans.items():
        for key, parameter in plan.kind.PARAMETERS.items():
            nominal = plan.parameters.get(key, parameter.default)
            if parameter.tolerance and nominal:
                ends = sorted(nominal * (1 + sign * parameter.tolerance) for sign in (-1, 1))
                low, high = (float(f"{min(max(end, parameter.least), parameter.most):.6g}") for end in ends)
                yield f"{name}.{key}", low, high


def _anywhere(machine: Machine) -> Iterator[tuple[str, Sequence[float]]]:
    """Give where each part may stand when the run begins."""
    for name, plan in machine.plans.items():
        p = {key: plan.parameters.get(key, parameter.default) for key, parameter in plan.kind.PARAMETERS.items()}
        for key, values in plan.kind.anywhere(p).items():
            yield f"{name}.{key}", values


def _kept(machine: Machine) -> Iterator[tuple[str, Sequence[Value]]]:
    """Give what the main controller may have kept: each level, each end of a count, each step of a chart."""
    if machine.controllers[0].setup.restart == "cold":
        return
    for name, tag in machine.program.declared.items():
        if tag.retain and "." not in name and (values := _ends(tag.type)):
            yield name, values
    for name, chart in machine.program.charts.items():
        if chart.retain:
            yield name, tuple(chart.steps)


def _ends(kind: ElementaryType) -> tuple[Value, ...]:
    if kind is BOOL:
        return False, True
    return (0, 1, int(kind.most) - 1, int(kind.most)) if kind.is_integer else ()


def _scans(machine: Machine) -> Iterator[tuple[str, Ns, Ns, Ns]]:
    """Give for each controller the least and greatest period (0: as it is), and the greatest jitter."""
    for plan in machine.controllers:
        least, most = plan.periods or (Ns(0), Ns(0))
        shortest = min(least or NEVER, *(setup.period for setup, _ in plan.tasks))
        yield plan.name, least, most, Ns(shortest // MOST_JITTER)
