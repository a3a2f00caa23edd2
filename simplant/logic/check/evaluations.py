"""Every expression that a source node evaluates, and what is known to hold where it does.

What a node writes is reading.py. Rule: nothing that a scan evaluates is left out, so that every name in
use and every division is seen.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from simplant.errors import Place
from simplant.expr import Expr
from simplant.logic.check.reading import Terms, active, conjuncts, negated, row_number, rows_from, writes_of
from simplant.logic.nodes import AlarmTable, Call, Chart, Coil, Move, Opaque, Rung, Source


@dataclass(frozen=True, slots=True, eq=False)
class Evaluation:
    """One expression that a node evaluates, and what is known to hold there."""

    expression: Expr
    given: Terms
    where: str
    place: Place


def evaluations_of(source: Source) -> Iterator[Evaluation]:
    """Give every expression that a node evaluates."""
    for write in writes_of(source):
        if write.value is not None:
            yield Evaluation(write.value, write.here, write.how, write.place)
    match source:
        case Rung() | Move() | Call():
            yield from _conditions(source)
        case Chart():
            yield from _guards(source)
        case AlarmTable():
            yield from _alarms(source)
        case Opaque():
            yield from (Evaluation(ref, (), "plain Python", source.place) for ref in source.reads)


def _alarms(table: AlarmTable) -> Iterator[Evaluation]:
    for alarm in table.alarms:
        yield Evaluation(alarm.cause, (), f"cause of alarm {alarm.name}", table.place)
    yield Evaluation(table.reset, (), f"reset of alarm table {table.name}", table.place)


def _conditions(source: Rung | Move | Call) -> Iterator[Evaluation]:
    if isinstance(source, Rung):
        if source.coil in (Coil.SET, Coil.RESET):  # a plain coil's condition is what it writes
            yield Evaluation(source.condition, (), "coil", source.place)
        return
    if source.when is not None:
        yield Evaluation(source.when, (), "when", source.place)
    if isinstance(source, Call):
        for name, value in source.arguments.items():
            where = f"{name} of {source.instance.name}"
            yield Evaluation(value, conjuncts(source.when), where, source.place)
        return
    for action in source.assignments:
        if action.when is not None:
            yield Evaluation(action.when, (), "when", action.place or source.place)


def _guards(chart: Chart) -> Iterator[Evaluation]:
    for step in chart.steps:
        tried: Terms = (active(chart, step.name),)
        for row in rows_from(chart, step.name):
            yield Evaluation(row.guard, tried, f"row {row_number(row)} of {chart.name}", row.place)
            tried = (*tried, negated(row.guard))
        for action in (*step.entry, *step.exit, *step.during):
            if action.when is not None:
                yield Evaluation(action.when, (), f"when in {chart.name}.{step.name}", chart.place)
    for row in chart.transitions:
        for action in row.actions:
            if action.when is not None:
                yield Evaluation(action.when, (), f"row {row_number(row)} of {chart.name}", row.place)
