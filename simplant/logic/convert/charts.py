"""A sequence of a Python program as Structured Text: a CASE of its steps.

Its ways out of a step are arms of one IF in written order, its time limit the last of them; what several steps share
stands once, before, and what a step does on entry once, behind. Rule: the order within a scan is that of lower.py; the
step time is a timer that every change of step starts anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from simplant.errors import Place
from simplant.expr import Assignment, Const, Elapsed, StepActive
from simplant.logic.convert.statements import do
from simplant.logic.convert.terms import FALSE, TRUE, Terms
from simplant.logic.lower import overtime_ref
from simplant.logic.nodes import Chart, Step, Transition
from simplant.logic.st.tree import Access, Case, Expression, If, Infix, Let, Literal, Prefix, Statement
from simplant.timebase import duration
from simplant.values import BOOL, TIME

Label = tuple[Expression, None]
SEVERAL = 3
"""Steps that share a way out for it to be said once."""
LONGEST = Const(int(duration("24d")), TIME)
"""How far a step time counts: more does not fit a TIME of 32 bits in milliseconds."""


def count_time(chart: str, terms: Terms) -> list[Statement]:
    """Say that the step time counts; it stands before everything that reads it."""
    return [do(terms.times[chart], [("IN", TRUE), ("PT", LONGEST)], terms)] if chart in terms.times else []


def of_chart(chart: Chart, before: str, terms: Terms, notes: dict[Place, str]) -> list[Statement]:
    """Say a sequence.

    Args:
        chart: the sequence.
        before: the variable that keeps the step that was active before.
        terms: of the program.
        notes: where what is told of its steps goes.
    """
    limits = [overtime_ref(chart.name, step.name).name for step in chart.steps]
    clear = [terms.let(name, FALSE) for name in limits if name in terms.asked]
    turn = _turn(chart, before, terms, notes)
    first = [] if chart.retain else _actions(chart.step(chart.initial).entry, terms)
    made: list[Statement] = [*clear]
    if turn:
        scan: Expression = terms.field(terms.first_scan, "Q")
        arms = ((scan, tuple(first)),) if first else ((Prefix(terms.here(), "NOT", scan), tuple(turn)),)
        made.append(If(terms.here(), arms, tuple(turn) if first else ()))
    elif first:
        made.append(If(terms.here(), ((terms.field(terms.first_scan, "Q"), tuple(first)),), ()))
    during = {s.name: _actions(s.during, terms) for s in chart.steps if s.during}
    return [*made, *_each(chart.name, during, terms), *_drives(chart, terms)]


def _told(chart: Chart, node: Statement) -> dict[Place, str]:
    """Give the descriptions of steps, by their labels."""
    assert isinstance(node, Case), "the ways out of steps are a CASE"
    labels = {getattr(low, "name", "") or getattr(low, "text", ""): low.place for ((low, _),), _ in node.groups}
    return {labels[s.name]: s.description for s in chart.steps if s.description and s.name in labels}


def needs_first_scan(chart: Chart) -> bool:
    """Say whether a sequence looks at the first scan."""
    limited = any(step.limit is not None for step in chart.steps)
    return bool(chart.transitions) or limited or bool(chart.step(chart.initial).entry)


def needs_before(chart: Chart, terms: Terms) -> bool:
    """Say whether a sequence must know which step was active before."""
    moves = any(r.dest != r.source for r in chart.transitions) or any(s.on_limit is not None for s in chart.steps)
    return moves and (chart.name in terms.times or any(step.entry for step in chart.steps))


def _turn(chart: Chart, before: str, terms: Terms, notes: dict[Place, str]) -> list[Statement]:
    """Say what a scan may change: the way out of the active step, and what the new one does on entry."""
    rows = {step.name: [row for row in chart.transitions if row.source == step.name] for step in chart.steps}
    common = _taken_out(rows)
    if not any(rows.values()):  # a CASE there must be: by it the sequence is known
        rows = {step.name: [row for row, steps in common if step.name in steps] for step in chart.steps}
        common = []
    groups = {step.name: body for step in chart.steps if (body := _ways_out(chart, step, rows[step.name], terms))}
    if not groups and not common:
        return []
    leave = _case(chart.name, groups, terms)
    for node in leave:
        notes |= _told(chart, node)
    if common:
        leave = [If(terms.here(), tuple(_common(chart, row, steps, terms) for row, steps in common), tuple(leave))]
    if not needs_before(chart, terms):
        return leave
    keep = Let(terms.here(), Access(terms.here(), before), terms.access(chart.name))
    entered = Infix(terms.here(), "<>", terms.access(chart.name), Access(terms.here(), before))
    entry = {step.name: _actions(step.entry, terms) for step in chart.steps if step.entry and _is_entered(chart, step)}
    anew = If(terms.here(), ((entered, (*_restart(chart.name, terms), *_each(chart.name, entry, terms))),), ())
    return [keep, *leave, anew]


def _taken_out(rows: Mapping[str, list[Transition]]) -> list[tuple[Transition, list[str]]]:
    """Take out the first ways that several steps share; give each with its steps, in an order that keeps theirs."""
    found: list[tuple[Transition, list[str]]] = []
    while True:
        first: dict[str, list[str]] = {}
        for step, ways in rows.items():
            if ways and ways[0].dest != step and not any(isinstance(n, Elapsed) for n in ways[0].guard.walk()):
                first.setdefault(ways[0].id.rpartition(":")[0], []).append(step)
        steps = next((steps for steps in first.values() if len(steps) >= SEVERAL), None)
        if steps is None:
            return found
        found.append((rows[steps[0]][0], steps))
        for step in steps:
            rows[step].pop(0)


def _common(chart: Chart, row: Transition, steps: list[str], terms: Terms) -> tuple[Expression, tuple[Statement, ...]]:
    """Say a way that several steps share."""
    active = StepActive(chart.name, tuple(steps))
    guard = Infix(terms.here(), "AND", terms.expression(row.guard), terms.expression(active))
    exits = _each(
        chart.name, {s.name: _actions(s.exit, terms) for s in chart.steps if s.exit and s.name in steps}, terms
    )
    change = Let(terms.here(), terms.access(chart.name), terms.word(chart.name, row.dest))
    return guard, (*exits, *_actions(row.actions, terms), change)


def _when_in(chart: str, step: str, body: list[Statement], terms: Terms) -> If:
    return If(terms.here(), ((terms.one_of(chart, [step]), tuple(body)),), ())


def _is_entered(chart: Chart, step: Step) -> bool:
    from_another = any(row.dest == step.name and row.source != step.name for row in chart.transitions)
    return from_another or any(s.on_limit == step.name for s in chart.steps)


def _ways_out(chart: Chart, step: Step, rows: Iterable[Transition], terms: Terms) -> list[Statement]:
    arms = [(_guard(row, terms), tuple(_go(chart, step, row.dest, row.actions, terms))) for row in rows]
    if step.limit is not None:
        late: list[Statement] = (
            [terms.let(name, TRUE)] if (name := overtime_ref(chart.name, step.name).name) in terms.asked else []
        )
        over = Infix(terms.here(), ">=", terms.field(terms.times[chart.name], "ET"), terms.literal(step.limit, TIME))
        if step.on_limit is not None:
            late += _go(chart, step, step.on_limit, (), terms)
        arms.append((over, tuple(late)))
    return [If(terms.here(), tuple(arms), ())] if arms else []


def _guard(row: Transition, terms: Terms) -> Expression:
    if isinstance(row.guard, Const):
        return Literal(terms.here(), row.guard.value, BOOL, "TRUE" if row.guard.value else "FALSE")
    return terms.expression(row.guard)


def _go(chart: Chart, step: Step, dest: str, actions: Iterable[Assignment], terms: Terms) -> list[Statement]:
    """Say a change of step; one back into the same step starts its time and does its entry actions here."""
    leaving = [*_actions(step.exit, terms), *_actions(actions, terms)]
    if dest != step.name:
        return [*leaving, Let(terms.here(), terms.access(chart.name), terms.word(chart.name, dest))]
    return [*leaving, *_restart(chart.name, terms), *_actions(step.entry, terms)]


def _restart(chart: str, terms: Terms) -> list[Statement]:
    if chart not in terms.times:
        return []
    return [do(terms.times[chart], [("IN", value)], terms) for value in (FALSE, TRUE)]


def _actions(actions: Iterable[Assignment], terms: Terms) -> list[Statement]:
    return [terms.assignment(each) for each in actions]


def _each(chart: str, groups: Mapping[str, list[Statement]], terms: Terms) -> list[Statement]:
    """Say what is done in some steps: of one an IF, of several a CASE."""
    if len(groups) != 1:
        return _case(chart, groups, terms)
    ((step, body),) = groups.items()
    return [_when_in(chart, step, body, terms)]


def _case(chart: str, groups: Mapping[str, list[Statement]], terms: Terms) -> list[Statement]:
    if not groups:
        return []
    rows = tuple((((terms.word(chart, step), None),), tuple(body)) for step, body in groups.items())
    return [Case(terms.here(), terms.access(chart), rows, ())]


def _drives(chart: Chart, terms: Terms) -> list[Statement]:
    driven: dict[str, list[str]] = {}
    for step in chart.steps:
        for target in step.drive:
            driven.setdefault(target.name, []).append(step.name)
    return [Let(terms.here(), terms.access(name), terms.one_of(chart.name, by)) for name, by in driven.items()]
