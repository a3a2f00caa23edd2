"""Mistakes in sequences: transitions left out, leading elsewhere or in another order; limits; actions of steps.

Those within a guard are expressions.py. Rule: a row that was written for several steps is changed for all of them, but
left out for one at a time.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from simplant.expr import Assignment, Expr
from simplant.logic.mutate.expressions import Surroundings, times
from simplant.logic.mutate.mutant import Mutant
from simplant.logic.mutate.statements import FALSE, changed, of_assignments, of_condition
from simplant.logic.nodes import Chart, Step, Transition
from simplant.timebase import Ns, show

Row = tuple[Transition, ...]
"""What one written row became: a transition for each of its sources."""


def of_chart(chart: Chart, around: Surroundings) -> Iterator[Mutant]:
    """Give the mutants of a chart."""
    rows = _rows(chart)
    for row in rows.values():
        yield from _of_row(chart, row, around)
    yield from _orders(chart, rows, around)
    for step in chart.steps:
        yield from _of_step(chart, step, around)


def _rows(chart: Chart) -> Mapping[str, Row]:
    rows: dict[str, Row] = {}
    for transition in chart.transitions:
        written = transition.id.partition(":")[0]
        rows[written] = (*rows.get(written, ()), transition)
    return rows


def _where(chart: Chart, row: Row) -> str:
    sources = row[0].source if len(row) == 1 else f"{row[0].source} and {len(row) - 1} more"
    return f"{chart.name}: {sources} -> {row[0].dest}"


def _with(chart: Chart, replaced: Mapping[str, Transition | None]) -> Chart:
    kept = (replaced.get(t.id, t) for t in chart.transitions)
    return replace(chart, transitions=tuple(t for t in kept if t is not None))


def _of_row(chart: Chart, row: Row, around: Surroundings) -> Iterator[Mutant]:
    where, first = _where(chart, row), row[0]

    def guarded(guard: Expr) -> Chart:
        return _with(chart, {t.id: replace(t, guard=guard) for t in row})

    yield from of_condition(chart, where, first.guard, guarded, around, first.place)
    for one in row:
        alone = f"{chart.name}: {one.source} -> {one.dest}"
        needed = f"a run that is to go from {one.source} to {one.dest}"
        yield changed(
            "transition", chart, alone, "it", "nothing", _with(chart, {one.id: None}), around, needed, one.place
        )
    for dest in _elsewhere(chart, row):
        to = _with(chart, {t.id: replace(t, dest=dest) for t in row})
        needed = f"a run that goes from {first.source} to {first.dest}, and what must follow there"
        yield changed("transition", chart, where, f"to {first.dest}", f"to {dest}", to, around, needed, first.place)
    yield from of_assignments(
        chart, where, first.actions, lambda a: _with(chart, {t.id: replace(t, actions=a) for t in row}), around
    )


def _elsewhere(chart: Chart, row: Row) -> list[str]:
    """Give two wrong destinations: the step declared after the right one, and the initial step."""
    names = chart.names
    after = names[(names.index(row[0].dest) + 1) % len(names)]
    right = {row[0].dest} if len(row) > 1 else {row[0].dest, row[0].source}
    return [dest for dest in dict.fromkeys((after, chart.initial)) if dest not in right]


def _orders(chart: Chart, rows: Mapping[str, Row], around: Surroundings) -> Iterator[Mutant]:
    """Put each row below the next one that leaves one of the same steps; it matters only where both guards hold."""
    listed = list(rows.values())
    for number, row in enumerate(listed):
        sources = {t.source for t in row}
        later = next((r for r in listed[number + 1 :] if sources & {t.source for t in r}), None)
        if later is not None:
            below = listed.index(later) + 1
            order = [*listed[:number], *listed[number + 1 : below], row, *listed[below:]]
            new = replace(chart, transitions=tuple(t for r in order for t in r))
            both = row[0].guard & later[0].guard
            shared = next(t.source for t in row if t.source in {other.source for other in later})
            needed = f"a run in which both hold in {shared} at once: {row[0].guard}, and {later[0].guard}"
            swapped = changed(
                "order", chart, _where(chart, row), "before", f"after {_where(chart, later)}", new, around, needed,
                row[0].place,
            )  # fmt: skip
            yield replace(swapped, conditions=(both, FALSE))


def _of_step(chart: Chart, step: Step, around: Surroundings) -> Iterator[Mutant]:
    where = f"{chart.name}: step {step.name}"

    def put(new: Step) -> Chart:
        return replace(chart, steps=tuple(new if s.name == step.name else s for s in chart.steps))

    def with_actions(word: str, actions: tuple[Assignment, ...]) -> Chart:
        return put(replace(step, **{word: actions}))  # type: ignore[arg-type]  # the word is one of the three

    for word in ("entry", "exit", "during"):
        yield from of_assignments(chart, f"{where} {word}", getattr(step, word), partial(with_actions, word), around)
    for driven in step.drive:
        less = tuple(d for d in step.drive if d is not driven)
        needed = f"a run that is in {step.name}, where {driven.name} must be on"
        yield changed(
            "assignment", chart, where, f"drives {driven.name}", "not", put(replace(step, drive=less)), around, needed
        )
    if step.limit is None:
        return
    over = f"a run in which {step.name} lasts longer than {show(step.limit)}"
    for limit in times(step.limit, around.scan):
        told = (f"limit {show(step.limit)}", show(limit))
        yield changed("preset", chart, where, *told, put(replace(step, limit=limit)), around, over)
    never = put(replace(step, limit=Ns(step.limit * 1000)))
    yield changed("limit", chart, where, f"limit {show(step.limit)}", "none", never, around, over)
    if step.on_limit is not None:
        others = (n for n in (chart.initial, *chart.names) if n not in (step.on_limit, step.name))
        other = next(others, step.name)
        yield changed(
            "limit",
            chart,
            where,
            f"on limit to {step.on_limit}",
            other,
            put(replace(step, on_limit=other)),
            around,
            over,
        )
