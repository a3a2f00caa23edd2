"""What a sequential function chart does in a scan, said in statements.

In this order: the transitions are looked at in the situation that the last scan left; those that fire leave their
steps and then enter theirs, all at once; then it is known which actions are active; their bodies run in the order in
which the actions are written; last, Boolean variables take the value of their action. The first scan enters the initial
steps and looks at no transition, so every step is active for one scan at least. Bodies run while their action is
active, without the final scan that the standard also allows.

Source: IEC 61131-3:2003 2.6.5, from memory (tests/external/test_sfc_evolution). Rule: of several transitions that could
leave one step the first fires: by priority, then as written.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import Final

from simplant.logic.sfc.control import Control, uses_of
from simplant.logic.sfc.tree import Action, Chart, Transition
from simplant.logic.st.bases import STEP_OF_CHART
from simplant.logic.st.built import call, joined, let, name, negated, truth, variable, when
from simplant.logic.st.declared import Unit
from simplant.logic.st.report import fail
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Access, If, Leave, Statement

BEGUN = "chart.0"
"""The hidden variable that says that the initial steps were entered; no program can write such a name."""

_FIRES: Final = re.compile(r"(^|\.)condition\.\d+$")
_MADE: Final = re.compile(r"\.action\.(rise|timer|stored|before|fell)\d+(\.|$)")


def fires(name: str) -> bool:
    """Say whether a stored name is that of a transition's flag: TRUE in a scan in which it fires."""
    return bool(_FIRES.search(name))


def made_by_chart(name: str) -> bool:
    """Say whether a stored name is that of something that a chart needs and nobody wrote (`chart.0` apart)."""
    return fires(name) or bool(_MADE.search(name))


def in_order(chart: Chart) -> list[Transition]:
    """Give the transitions, first those that go first: with a priority by it, then the others as written."""
    return sorted(chart.transitions, key=lambda t: (t.priority is None, t.priority or 0))


def statements_of_chart(unit: Unit, chart: Chart, lower: Callable[[Unit], Unit]) -> Unit:
    """Give a unit with its chart as statements.

    Args:
        unit: the program or function block.
        chart: its body.
        lower: gives a unit with a body in any other form as statements: actions may be drawn.

    Raises:
        Fault: an action leaves by RETURN, or is drawn and its drawing has no meaning.
    """
    controls = {key: Control(use) for key, use in uses_of(chart).items()}
    own = {action.name.upper() for action in chart.actions}
    hidden = [variable(step.place, step.name, STEP_OF_CHART) for step in chart.steps]
    hidden.append(variable(chart.place, BEGUN, "BOOL"))
    flags = {id(t): f"condition.{n}" for n, t in enumerate(in_order(chart), start=1)}
    hidden += [variable(t.place, flags[id(t)], "BOOL", "VAR_TEMP") for t in in_order(chart)]
    hidden += [each for control in controls.values() for each in control.variables()]
    unit = replace(unit, variables=(*unit.variables, *hidden))
    made: list[Statement] = [_evolution(chart, flags)]
    made += [statement for control in controls.values() for statement in control.statements]
    for action in chart.actions:
        control = controls.get(action.name.upper())
        if control is not None:
            unit, body = _body(unit, action, lower)
            made.append(when(control.active, *body))
    made += [let(c.use.action, c.active) for key, c in controls.items() if key not in own]
    return replace(unit, body=tuple(made))


def _body(unit: Unit, action: Action, lower: Callable[[Unit], Unit]) -> tuple[Unit, tuple[Statement, ...]]:
    """Give the statements of an action, and the unit with what they need declared in it."""
    done = lower(replace(unit, body=action.body))
    for node in every(done.statements):
        if isinstance(node, Leave) and node.word == "RETURN":
            what = f"RETURN stands in the action {action.name}"
            fail(node.place, what, "it would end the whole chart", "put what follows it into an IF", length=6)
    return done, done.statements


# evolution


def _evolution(chart: Chart, flags: dict[int, str]) -> If:
    place, begun = chart.place, name(chart.place, BEGUN)
    start = [_enter(Access(s.place, s.name)) for s in chart.steps if s.initial]
    order = in_order(chart)
    looks = list(_looks(order, flags))
    leaves = [_fired(t, flags, t.sources, active=False) for t in order]
    enters = [_fired(t, flags, t.targets, active=True) for t in order]
    first = (negated(begun), (let(begun, truth(place, value=True)), *start))
    return If(place, (first,), (*looks, *leaves, *enters))


def _looks(order: Iterable[Transition], flags: dict[int, str]) -> Iterator[Statement]:
    """Look which transitions fire; a condition only counts, and is only looked at, where its transition is enabled."""
    before: dict[str, list[str]] = {}
    for transition in order:
        place, flag = transition.place, flags[id(transition)]
        sources = [source.upper() for source in transition.sources]
        taken = dict.fromkeys(other for source in sources for other in before.get(source, ()))
        enabled = [name(place, source, "X") for source in transition.sources]
        condition = joined("AND", [*enabled, *(negated(name(place, other)) for other in taken)])
        yield when(condition, let(name(place, flag), transition.condition))
        for source in sources:
            before.setdefault(source, []).append(flag)


def _fired(transition: Transition, flags: dict[int, str], steps: Iterable[str], *, active: bool) -> Statement:
    place = transition.place
    change = _enter if active else _leave
    return when(name(place, flags[id(transition)]), *(change(Access(place, step)) for step in steps))


def _enter(step: Access) -> Statement:
    return call(step, X=truth(step.place, value=True))


def _leave(step: Access) -> Statement:
    return call(step, X=truth(step.place, value=False))


__all__ = ["fires", "in_order", "made_by_chart", "statements_of_chart"]
