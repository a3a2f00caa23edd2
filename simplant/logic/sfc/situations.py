"""All situations that a chart can be in, whatever its conditions are: what is never reached, and what multiplies.

A situation is the set of active steps; one transition is taken at a time, which passes through every situation that
several at once lead to. Rule: the search ends after a stated number of situations, and says so; what it tells are
warnings, since a condition may keep a chart from what its structure allows.
"""

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from simplant.logic.sfc.tree import Chart, Transition
from simplant.logic.st.report import Mistake

MOST: Final = 3_000
"""Situations that are looked at."""

Situation = frozenset[str]


@dataclass(slots=True)
class Search:
    """What a search found.

    Attributes:
        before: each situation reached, and the one it was reached from.
        fired: transitions that can ever fire, by number.
        doubled: (transition, a step it enters that is active already).
        grown: transitions that lead to more than was active in a situation before it.
        whole: all situations were seen.
    """

    before: dict[Situation, Situation | None]
    fired: set[int] = field(default_factory=set)
    doubled: dict[int, str] = field(default_factory=dict)
    grown: dict[int, Situation] = field(default_factory=dict)
    whole: bool = True


def search(chart: Chart, most: int = MOST) -> Search:
    """Go through the situations of a chart, the nearest first."""
    moves = [(_keys(t.sources), _keys(t.targets)) for t in chart.transitions]
    start = frozenset(step.name.upper() for step in chart.steps if step.initial)
    found = Search({start: None})
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        for number, (sources, targets) in enumerate(moves):
            if not sources <= here:
                continue
            found.fired.add(number)
            rest = here - sources
            for step in sorted(rest & targets):
                found.doubled.setdefault(number, step)
            after = rest | targets
            if after in found.before:
                continue
            if any(earlier < after for earlier in _way_to(here, found)):
                found.grown.setdefault(number, after)
                continue  # it would grow again and again
            if len(found.before) >= most:
                found.whole = False
                return found
            found.before[after] = here
            waiting.append(after)
    return found


def _way_to(here: Situation, found: Search) -> Iterator[Situation]:
    step: Situation | None = here
    while step is not None:
        yield step
        step = found.before[step]


def _keys(steps: tuple[str, ...]) -> Situation:
    return frozenset(step.upper() for step in steps)


def findings_of(chart: Chart) -> list[Mistake]:
    """Give warnings about steps that nothing reaches and branches that do not come together."""
    found = search(chart)
    names = {step.name.upper(): step.name for step in chart.steps}
    return [*_doubled(chart, found, names), *_unreached(chart, found)]


def _unreached(chart: Chart, found: Search) -> Iterator[Mistake]:
    if not found.whole or found.grown:
        return  # it is not known what else could be reached
    active = set().union(*found.before)
    for step in chart.steps:
        if step.name.upper() not in active:
            yield Mistake(step.place, f"no transition ever leads to the step {step.name}", "it is never active",
                          length=len(step.name), severity="warning")  # fmt: skip
    for number, transition in enumerate(chart.transitions):
        if number not in found.fired and _keys(transition.sources) <= active:
            steps = " and ".join(transition.sources)
            yield Mistake(transition.place, f"this transition can never fire: {steps} are never active at once",
                          "its steps are alternatives, and it waits for all of them", severity="warning")  # fmt: skip


def _doubled(chart: Chart, found: Search, names: dict[str, str]) -> Iterator[Mistake]:
    for number, situation in found.grown.items():
        active = ", ".join(name for key, name in names.items() if key in situation)
        what = f"this transition leaves a simultaneous branch while the others go on: {active} are active then"
        yield _warning(chart.transitions[number], what, "more steps become active with every round",
                       "let the branches come together: FROM (a, b) TO c")  # fmt: skip
    for number, step in found.doubled.items():
        if number not in found.grown:
            what = f"this transition can enter the step {names[step]} while it is active"
            yield _warning(chart.transitions[number], what, "two branches then go on as one")


def _warning(transition: Transition, what: str, why: str, mend: str = "") -> Mistake:
    return Mistake(transition.place, what, why, mend, max(1, len(transition.name)), "warning")


__all__ = ["MOST", "findings_of", "search"]
