"""What one source node writes, and what is known to hold where it does.

What it evaluates is evaluations.py, the whole program view.py. Rule: a condition counts as known at a
place only as long as nothing it reads has been written since it was evaluated.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.errors import Place
from simplant.expr import Assignment, Binary, Const, Elapsed, Expr, Op, Ref, StepActive, TimerElapsed, Unary, of_type
from simplant.logic.lower import FIRST_SCAN, first_out_ref, overtime_ref, since_ref, step_time
from simplant.logic.nodes import AlarmTable, Call, Chart, Coil, Move, Opaque, Rung, Source, Transition
from simplant.values import BOOL, TIME, Kind

Terms = tuple[Expr, ...]
"""Conditions that hold together."""

TRUE: Final = Const(value=True, type=BOOL)


@dataclass(frozen=True, slots=True, eq=False)
class Write:
    """One assignment.

    Args:
        target, value: what is written; None = not known (plain Python, alarms).
        how: for people: `coil`, `entry of cycle.aim`.
        place: where.
        start: holds at the start of the node, if this is to be done.
        here: holds where it is done.
        after: holds at the end of the node, once it was done.
        group: assignments of one group are meant to follow each other (actions of one chart).
    """

    target: Ref
    value: Expr | None
    how: str
    place: Place
    start: Terms = ()
    here: Terms = ()
    after: Terms = ()
    group: str = ""

    @property
    def always(self) -> bool:
        """Whether it is done in every scan."""
        return not self.start and not self.here


def names_in(node: Expr) -> frozenset[str]:
    """Give every name that an expression reads: tags, `warn.Q`, charts, `cycle.since`."""
    return frozenset(name for part in node.walk() for name in _own_names(part))


def _own_names(node: Expr) -> tuple[str, ...]:
    match node:
        case Ref():
            return (node.name,)
        case StepActive():
            return (node.chart,)
        case Elapsed():
            return (node.since.name,)
        case TimerElapsed():
            return (f"{node.instance}.ET",)
        case _:
            return ()


def conjuncts(node: Expr | None) -> Terms:
    """Split an expression at its outer ANDs; None is no condition, and neither is TRUE."""
    if node is None or (isinstance(node, Const) and node.value):
        return ()
    if isinstance(node, Binary) and node.op is Op.AND and node.type is BOOL:
        return (*conjuncts(node.left), *conjuncts(node.right))
    return (node,)


def untouched(terms: Terms, changed: frozenset[str]) -> Terms:
    """Keep the terms that read none of the changed names."""
    return tuple(t for t in terms if not names_in(t) & changed)


def negated(node: Expr) -> Expr:
    """Build NOT node."""
    return Unary(Op.NOT, node, BOOL)


def row_number(row: Transition) -> int:
    """Give the number of a row in the table as it was written."""
    return int(row.id.rpartition("/")[2].partition(":")[0])


def changed_by(source: Source) -> frozenset[str]:
    """Give every name that a node may change."""
    names = {write.target.name for write in writes_of(source)}
    match source:
        case Chart():
            limited = [s.name for s in source.steps if s.limit is not None]
            names |= {source.name, since_ref(source.name).name, *(overtime_ref(source.name, s).name for s in limited)}
        case Call():
            fields = (*source.instance.block.stored, *source.instance.block.outputs)
            names |= {f"{source.instance.name}.{f.name}" for f in fields}
        case _:
            pass
    return frozenset(names)


def writes_of(source: Source) -> tuple[Write, ...]:
    """Give every assignment of a node, in the order in which they are done."""
    match source:
        case Rung():
            return (_coil(source),)
        case Move():
            given = conjuncts(source.when)
            return tuple(_in_turn([(a, "assignment", source.place) for a in source.assignments], given, (), "", ()))
        case Chart():
            return (*_actions(source), *_drives(source))
        case AlarmTable():
            named = [Ref(alarm.name, BOOL) for alarm in source.alarms]
            return tuple(
                Write(r, None, f"alarm table {source.name}", source.place) for r in (*named, first_out_ref(source.name))
            )
        case Opaque():
            return tuple(Write(r, None, "plain Python", source.place) for r in source.writes)
        case Call():
            return ()


def _coil(rung: Rung) -> Write:
    if rung.coil in (Coil.PLAIN, Coil.NEGATED):
        value = negated(rung.condition) if rung.coil is Coil.NEGATED else rung.condition
        return Write(rung.target, value, "coil", rung.place)
    value = of_type(rung.coil is Coil.SET, BOOL)
    given = conjuncts(rung.condition)
    after = (*untouched(given, frozenset({rung.target.name})), *_fact(rung.target, value))
    return Write(
        rung.target, value, "set coil" if rung.coil is Coil.SET else "reset coil", rung.place, given, given, after
    )


def _fact(target: Ref, value: Expr) -> Terms:
    """Give what holds once a constant was assigned."""
    if not isinstance(value, Const) or target.type is not value.type or target.type.kind is Kind.REAL:
        return ()
    if target.type is BOOL:
        return (target if value.value else negated(target),)
    return (Binary(Op.EQ, target, value, BOOL),)


def _in_turn(
    actions: Sequence[tuple[Assignment, str, Place]], given: Terms, after: Terms, group: str, also: tuple[str, ...]
) -> Iterator[Write]:
    """Give assignments done one after the other, where `given` holds; `after` holds then; `also` changes as well."""
    targets = [action.target.name for action, _, _ in actions]
    for n, (action, how, place) in enumerate(actions):
        done, rest = frozenset(targets[:n]), frozenset((*targets[n:], *also))
        own = conjuncts(action.when)
        here = (*untouched(given, done), *own)
        fact = () if action.target.name in targets[n + 1 :] else _fact(action.target, action.value)
        yield Write(
            action.target,
            action.value,
            how,
            action.place or place,
            (*given, *untouched(own, done)),
            here,
            (*untouched(here, rest), *after, *fact),
            group,
        )


def rows_from(chart: Chart, step: str) -> tuple[Transition, ...]:
    """Give the rows out of a step, in the order in which they are tried."""
    return tuple(row for row in chart.transitions if row.source == step)


def active(chart: Chart, step: str) -> Expr:
    """Build: this step is active."""
    return StepActive(chart.name, (step,))


def _paths(chart: Chart) -> Iterator[tuple[str, str, Terms, tuple[tuple[Assignment, str, Place], ...], Place]]:
    """Give each way from step to step (source, dest, what holds, the row's actions, place); "" before the first."""
    if not chart.retain:
        yield "", chart.initial, (FIRST_SCAN,), (), chart.place
    for step in chart.steps:
        tried: Terms = ()
        for row in rows_from(chart, step.name):
            how = f"row {row_number(row)} of {chart.name}"
            known = (active(chart, step.name), *conjuncts(row.guard), *tried)
            yield step.name, row.dest, known, tuple((a, how, row.place) for a in row.actions), row.place
            tried = (*tried, negated(row.guard))
        if step.limit is not None and step.on_limit is not None:
            over = Binary(Op.GE, step_time(chart.name), of_type(step.limit, TIME), BOOL)
            yield step.name, step.on_limit, (active(chart, step.name), over, *tried), (), chart.place


def _actions(chart: Chart) -> Iterator[Write]:
    also, group = (chart.name, since_ref(chart.name).name), f"{chart.id}/actions"
    for source, dest, known, own, place in _paths(chart):
        leaving = chart.step(source).exit if source else ()
        exits = [(a, f"exit of {chart.name}.{source}", place) for a in leaving]
        entries = [(a, f"entry of {chart.name}.{dest}", place) for a in chart.step(dest).entry]
        yield from _in_turn([*exits, *own, *entries], known, (active(chart, dest),), group, also)
    for step in chart.steps:
        during = [(a, f"while {chart.name}.{step.name}", chart.place) for a in step.during]
        now = (active(chart, step.name),)
        for write in _in_turn(during, now, (), group, ()):
            yield replace(write, start=())


def _drives(chart: Chart) -> Iterator[Write]:
    driven: dict[str, tuple[Ref, list[str]]] = {}
    for step in chart.steps:
        for target in step.drive:
            driven.setdefault(target.name, (target, []))[1].append(step.name)
    for target, steps in driven.values():
        value = StepActive(chart.name, tuple(steps))
        yield Write(target, value, f"driven by steps of {chart.name}", chart.place, group=f"{chart.id}/drives")
