"""Sequences: steps that cannot be reached or left, rows that never fire, rows where the order decides.

Waiting for inputs is waits.py. Rule: what is said of guards is decided exactly by truth table, each in its step;
what has too many cases is called not decided.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from textwrap import shorten

from simplant.logic.check.findings import Finding, listed
from simplant.logic.check.reading import active, negated, row_number, rows_from
from simplant.logic.check.view import Spot, View
from simplant.logic.nodes import Chart, Transition


@dataclass(slots=True)
class _Rows:
    """What was found about the rows of one chart; steps by row numbers, in the order found."""

    never: dict[int, list[str]] = field(default_factory=dict)
    shadowed: dict[tuple[int, tuple[int, ...]], list[str]] = field(default_factory=dict)
    together: dict[tuple[int, int], list[str]] = field(default_factory=dict)
    undecided: list[str] = field(default_factory=list)
    dead: set[str] = field(default_factory=set)


def check_charts(view: View) -> Iterator[Finding]:
    """Give what is wrong with the steps and rows of every chart."""
    for spot, chart in view.charts:
        rows = _Rows()
        for step in chart.steps:
            _judge(view, spot, chart, step.name, rows)
        yield from _steps(chart, rows)
        yield from _dead_rows(chart, rows)
        yield from _priority(chart, rows)
        if rows.undecided:
            yield Finding(
                "note",
                "not decided",
                f"{chart.name}: how the rows of {listed(rows.undecided)} lie to each other was not decided",
                "their guards have too many cases to try (more than 16 independent conditions)",
                "put a part of the guards into a rung of its own",
                chart.place,
            )


def _judge(view: View, spot: Spot, chart: Chart, step: str, found: _Rows) -> None:
    """Decide each row of one step against those before it."""
    here, before = active(chart, step), list[Transition]()
    for row in rows_from(chart, step):
        number = row_number(row)
        never = view.impossible((here, row.guard), spot)
        shadowed = not never and _shadows(view, spot, chart, before, row)
        if never:
            found.never.setdefault(number, []).append(step)
        elif shadowed:
            found.shadowed.setdefault((number, shadowed), []).append(step)
        if never or shadowed:
            found.dead.add(row.id)
            continue
        answers = [(other, view.impossible((here, other.guard, row.guard), spot)) for other in before]
        for other, apart in answers:
            if apart is False and not _alike(other, row):
                found.together.setdefault((row_number(other), number), []).append(step)
        if never is None or any(apart is None for _, apart in answers):
            found.undecided.append(step)
        before.append(row)


def _shadows(view: View, spot: Spot, chart: Chart, before: list[Transition], row: Transition) -> tuple[int, ...]:
    """Give the earlier rows that hold whenever this one does: one of them, or else all; () if there are none."""
    here = active(chart, row.source)
    for other in before:
        if view.impossible((here, row.guard, negated(other.guard)), spot):
            return (row_number(other),)
    all_ = (here, row.guard, *(negated(other.guard) for other in before))
    return tuple(row_number(o) for o in before) if len(before) > 1 and view.impossible(all_, spot) else ()


def _alike(one: Transition, other: Transition) -> bool:
    """Whether it makes no difference which of two rows fires."""
    return one.dest == other.dest and not one.actions and not other.actions


def _row(chart: Chart, number: int) -> str:
    row = _first(chart, number)
    return f"row {number} of {chart.name} (to {row.dest})"


def _first(chart: Chart, number: int) -> Transition:
    return next(row for row in chart.transitions if row_number(row) == number)


def _in_steps(steps: list[str]) -> str:
    return f"in step {steps[0]}" if len(steps) == 1 else f"in steps {listed(steps)}"


def _steps(chart: Chart, rows: _Rows) -> Iterator[Finding]:
    live = [row for row in chart.transitions if row.id not in rows.dead]
    ways = {s.name: [r.dest for r in live if r.source == s.name] for s in chart.steps}
    for step in chart.steps:
        if step.on_limit is not None:
            ways[step.name].append(step.on_limit)
    reached, edge = {chart.initial}, [chart.initial]
    while edge:
        new = [d for d in ways[edge.pop()] if d not in reached]
        reached.update(new)
        edge += new
    for step in chart.steps:
        if step.name not in reached:
            yield Finding(
                "warning",
                "unreachable step",
                f"step {chart.name}.{step.name} can never be reached",
                f"no chain of rows that can fire leads there from {chart.initial}",
                "add the row that should lead there, or remove the step",
                chart.place,
            )
        elif len(chart.steps) > 1 and not set(ways[step.name]) - {step.name}:
            yield Finding(
                "warning",
                "dead end",
                f"step {chart.name}.{step.name} can never be left",
                "it has no row to another step that can fire, and no limit that leads to one",
                "add a row out of it",
                chart.place,
            )


def _dead_rows(chart: Chart, rows: _Rows) -> Iterator[Finding]:
    for number, steps in rows.never.items():
        row = _first(chart, number)
        yield Finding(
            "warning",
            "guard never true",
            f"{_row(chart, number)} can never fire {_in_steps(steps)}",
            f"no values make its guard true: {shorten(str(row.guard), 100, placeholder=' ...')}",
            "correct the guard, or remove the row",
            row.place,
        )
    for (number, by), steps in rows.shadowed.items():
        above = f"row {by[0]} is tried" if len(by) == 1 else f"rows {listed([str(n) for n in by])} are tried"
        yield Finding(
            "warning",
            "shadowed transition",
            f"{_row(chart, number)} can never fire {_in_steps(steps)}",
            f"{above} first and {'holds' if len(by) == 1 else 'one of them holds'} whenever its guard does",
            "put the narrower guard first, or remove the row",
            _first(chart, number).place,
        )


def _priority(chart: Chart, rows: _Rows) -> Iterator[Finding]:
    """One note for each row that goes before others; a row from several steps is named once, not with each other."""
    sources: dict[int, set[str]] = {}
    for row in chart.transitions:
        sources.setdefault(row_number(row), set()).add(row.source)
    wins: dict[int, dict[int, list[str]]] = {}
    for (first, second), steps in rows.together.items():
        wins.setdefault(first, {})[second] = steps
    for first, later in sorted(wins.items()):
        steps = sorted({s for found in later.values() for s in found}, key=chart.names.index)
        others = f"row {next(iter(later))}" if len(later) == 1 else f"rows {listed([str(n) for n in sorted(later)])}"
        if len(sources[first]) > 1:
            others = "the rows below it"
        yield Finding(
            "note",
            "priority",
            f"{_row(chart, first)} and {others} can hold together {_in_steps(steps)}",
            f"the order decides: row {first} goes first",
            "",
            _first(chart, first).place,
        )
