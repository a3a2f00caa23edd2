"""Making a find small: fewer things, simpler, earlier, at rounder times, in a shorter run, on a machine as drawn.

Works on the scenario, not on the story, so any scenario can be reduced. Rule: what is given back is 1-minimal: leave
out any one thing that happens, and what was wrong is no longer.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Final, TypeVar

from simplant.errors import PlantError
from simplant.faults import Fault
from simplant.scenario.model import Power, Scenario, Stimulus
from simplant.timebase import NEVER, Ns, ms, seconds

Thing = TypeVar("Thing")
Test = Callable[[Scenario], bool]
Happening = Stimulus | Fault | Power

TURN, STANDS = "select", "first"
"""What somebody does to a selector, and its parameter for where it stands at the start."""
PLAIN: Final = (ms(200), seconds(1))
"""What people do lasts for so long, if nothing is against it."""
ROUND: Final = (seconds(10), seconds(1), ms(100), ms(10), ms(1))
"""Grids of instants, the roundest first."""


def reduced(scenario: Scenario, broken_at: Ns, wrong: Test) -> Scenario:
    """Reduce a scenario as long as a thing stays wrong with it.

    Args:
        scenario: what to reduce.
        broken_at: the instant at which it goes wrong.
        wrong: runs a scenario; says whether the same is wrong with it.
    """
    scenario = _first(wrong, _shorter(scenario, broken_at), scenario)
    while True:
        before = scenario
        scenario = _as_drawn(_from_the_start(_fewer_things(scenario, wrong), wrong), wrong)
        scenario = _plainer(_fewer_things(scenario, wrong), wrong)
        if scenario == before:
            return scenario


def things(scenario: Scenario) -> list[Happening]:
    """Give everything that happens in a scenario."""
    return [*scenario.stimuli, *scenario.faults, *scenario.power]


def _with(scenario: Scenario, kept: Sequence[Happening]) -> Scenario:
    """Give the scenario with these things, each kind in order of time."""
    return replace(
        scenario,
        stimuli=tuple(sorted((t for t in kept if isinstance(t, Stimulus)), key=lambda t: t.at)),
        faults=tuple(sorted((t for t in kept if isinstance(t, Fault)), key=lambda t: t.onset)),
        power=tuple(sorted((t for t in kept if isinstance(t, Power)), key=lambda t: t.at)),
    )


def _first(wrong: Test, candidates: Iterator[Scenario], otherwise: Scenario) -> Scenario:
    return next((each for each in candidates if each != otherwise and wrong(each)), otherwise)


def _shorter(scenario: Scenario, broken_at: Ns) -> Iterator[Scenario]:
    """Give it ending soon after it goes wrong, on a round instant."""
    for grid in reversed(ROUND[:3]):
        length = Ns((broken_at // grid + 1) * grid)
        if length < scenario.length:
            yield replace(scenario, length=length)


def _fewer(items: Sequence[Thing], wrong: Callable[[list[Thing]], bool]) -> list[Thing]:
    """Leave out as many items as can be: halves first, then smaller runs of them, single ones until none can go."""
    kept, size = list(items), len(items)
    while size:
        start, went = 0, False
        while start < len(kept):
            fewer = kept[:start] + kept[start + size :]
            if wrong(fewer):
                kept, went = fewer, True
            else:
                start += size
        if size > 1:
            size = min(size // 2, max(len(kept), 1))
        elif not went:
            break
    return kept


def _fewer_things(scenario: Scenario, wrong: Test) -> Scenario:
    return _with(scenario, _fewer(things(scenario), lambda kept: wrong(_with(scenario, kept))))


def _from_the_start(scenario: Scenario, wrong: Test) -> Scenario:
    """Let switches that somebody turns stand there from the start instead."""
    for turned in [s for s in scenario.stimuli if s.do == TURN and isinstance(s.value, int | float)]:
        others = tuple(s for s in scenario.stimuli if s is not turned)
        standing = {**scenario.parameters, f"{turned.on}.{STANDS}": float(turned.value or 0)}
        with suppress(PlantError):  # a part of somebody's own may be turned and have no such parameter
            scenario = _first(wrong, iter([replace(scenario, stimuli=others, parameters=standing)]), scenario)
    return scenario


def _as_drawn(scenario: Scenario, wrong: Test) -> Scenario:
    """Make parameters nominal, keep nothing from before, scan as set, in the usual order, with the usual seed."""
    scenario = _first(wrong, iter([replace(scenario, ties=0)]), scenario)
    scenario = _first(wrong, iter([replace(scenario, scans={})]), scenario)
    scenario = _first(wrong, iter([replace(scenario, phase=Ns(0)), scenario.shifted()]), scenario)

    def kept(names: list[str]) -> Scenario:
        return replace(scenario, retained={name: scenario.retained[name] for name in names})

    scenario = kept(_fewer(list(scenario.retained), lambda names: wrong(kept(names))))

    def with_parameters(names: list[str]) -> Scenario:
        return replace(scenario, parameters={name: scenario.parameters[name] for name in names})

    scenario = with_parameters(_fewer(list(scenario.parameters), lambda names: wrong(with_parameters(names))))
    return _first(wrong, iter([replace(scenario, seed=1)]), scenario)


def _plainer(scenario: Scenario, wrong: Test) -> Scenario:
    """Make the time that each thing lasts plainer, then put it as early and at as round an instant as can be."""
    happening = things(scenario)

    def try_at(index: int, others: Iterator[Happening]) -> None:
        for other in others:
            if wrong(_with(scenario, [*happening[:index], other, *happening[index + 1 :]])):
                happening[index] = other
                return

    for index in range(len(happening)):
        try_at(index, _lasting(happening[index]))
        try_at(index, _earlier(happening[index]))
    return _with(scenario, happening)


def _lasting(thing: Happening) -> Iterator[Happening]:
    """Give it without an end, if it is a fault, for a plain time, if people do it, then with rounder ends."""
    if thing.duration == NEVER:
        return
    if isinstance(thing, Fault):
        yield replace(thing, duration=NEVER)
    if isinstance(thing, Stimulus):
        yield from (replace(thing, duration=plain) for plain in PLAIN if plain < thing.duration)
    for grid in ROUND:
        if grid < thing.duration and thing.duration % grid:
            yield replace(thing, duration=Ns(thing.duration // grid * grid))


def _earlier(thing: Happening) -> Iterator[Happening]:
    """Give it at rounder instants: from the start, then before it, then just after it."""
    at = thing.onset if isinstance(thing, Fault) else thing.at
    for grid in ROUND:
        down = at // grid * grid
        for instant in (0, down, down + grid) if grid == ROUND[0] else (down, down + grid):
            if instant < at or (instant > at and at % grid):
                yield _moved(thing, Ns(instant))


def _moved(thing: Happening, at: Ns) -> Happening:
    return replace(thing, onset=at) if isinstance(thing, Fault) else replace(thing, at=at)
