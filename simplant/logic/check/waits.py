"""Steps that wait for an input and would wait for ever if it did not come.

The rows themselves are charts.py. Rule: a way out by time is one that opens whatever the inputs are; a step that
only people's inputs lead out of waits on purpose, and is only named.
"""

from collections.abc import Iterator, Sequence

from simplant.expr import Elapsed, Expr, StepActive
from simplant.logic.check.findings import Finding, listed
from simplant.logic.check.guards import Table, TooManyCasesError
from simplant.logic.check.reading import active, names_in, rows_from
from simplant.logic.check.view import Spot, View
from simplant.logic.lower import since_ref
from simplant.logic.nodes import AlarmTable, Chart


def check_waits(view: View, operator: frozenset[str]) -> Iterator[Finding]:
    """Give the steps without a time limit; those that only wait for `operator` inputs in one note for each chart."""
    for spot, chart in view.charts:
        people: list[str] = []
        asked: list[str] = []
        for step in chart.steps:
            if step.limit is not None:
                continue
            inputs = _waits_for(view, spot, chart, step.name)
            if inputs and inputs <= operator:
                people.append(step.name)
                asked += sorted(inputs)
            elif inputs:
                yield _warning(chart, step.name, sorted(inputs - operator))
        if people:
            what = (
                f"{chart.name}: {listed(people)} wait{'s' if len(people) == 1 else ''} for {listed(sorted(set(asked)))}"
            )
            yield Finding("note", "waits for people", f"{what} with no time limit", place=chart.place)


def _warning(chart: Chart, step: str, inputs: list[str]) -> Finding:
    return Finding(
        "warning",
        "wait without limit",
        f"step {chart.name}.{step} waits for {listed(inputs)} with no time limit",
        "if a sensor or wire fails, it waits for ever and nobody is told",
        f'give it one: Step("{step}", limit=seconds(...), on_limit="...")',
        chart.place,
    )


def _waits_for(view: View, spot: Spot, chart: Chart, step: str) -> frozenset[str]:
    """Give the inputs that the ways out of a step hang on; none if time alone opens one."""
    guards = [view.expand(row.guard, spot) for row in rows_from(chart, step)]
    inputs = frozenset().union(*(inputs_behind(view, g) for g in guards))
    if not inputs or _monitored(view, chart, step, guards):
        return frozenset()
    timed = [g for g in guards if _is_timed(view, chart, g)]
    return frozenset() if timed and _opens(view, chart, step, timed) else inputs


def inputs_behind(view: View, node: Expr) -> frozenset[str]:
    """Give the inputs that an expression looks at: directly, through the blocks it reads and through plain rungs."""
    found: set[str] = set()
    seen: set[str] = set()
    edge = list(names_in(node))
    while edge:
        name = edge.pop()
        if name in seen:
            continue
        seen.add(name)
        if view.is_input(name):
            found.add(name)
        for behind in _behind(view, name):
            edge += names_in(behind)
    return frozenset(found)


def _behind(view: View, name: str) -> list[Expr]:
    """Give the expressions that a block output or a tag with one rung comes from."""
    defined = view.definition(name)
    if defined is not None:
        return [defined[1]]
    calls = view.calls.get(name.partition(".")[0], []) if "." in name else []
    return [argument for call in calls for argument in call.arguments.values()]


def _is_timed(view: View, chart: Chart, guard: Expr) -> bool:
    """Whether a guard looks at the step's time, or at a timer."""
    since = since_ref(chart.name).name
    for part in guard.walk():
        if isinstance(part, Elapsed) and part.since.name == since:
            return True
        for name in names_in(part):
            calls = view.calls.get(name.partition(".")[0], []) if "." in name else []
            if any(c.instance.block.elapsed for c in calls):
                return True
    return False


def _opens(view: View, chart: Chart, step: str, guards: Sequence[Expr]) -> bool:
    """Whether, whatever the inputs are, time (and memory) can make one of the guards true."""
    here = active(chart, step)
    try:
        table = Table((*guards, here), view.steps)
    except TooManyCasesError:
        return any(not inputs_behind(view, guard) for guard in guards)
    column = 0
    for guard in guards:
        column |= table.column(guard) & table.column(here)
    for n, variable in enumerate(table.variables):
        if not any(inputs_behind(view, atom) for atom in variable.atoms):
            column = table.somehow(column, n)
    return column == table.every


def _monitored(view: View, chart: Chart, step: str, guards: Sequence[Expr]) -> bool:
    """Whether a timer that runs in this step leads, through rungs and alarms, to one of the guards."""
    seen: set[str] = set()
    edge = [name for guard in guards for name in names_in(guard)]
    while edge:
        name = edge.pop()
        if name in seen:
            continue
        seen.add(name)
        behind = [*_behind(view, name), *_causes(view, name)]
        timers = view.calls.get(name.partition(".")[0], []) if "." in name else []
        if any(c.instance.block.elapsed for c in timers) and any(_names_step(e, chart, step) for e in behind):
            return True
        edge += [n for e in behind for n in names_in(e)]
    return False


def _causes(view: View, name: str) -> list[Expr]:
    """Give the causes behind an alarm, or behind a table's first-out."""
    tables = [node for node in view.nodes.values() if isinstance(node, AlarmTable)]
    return [a.cause for t in tables for a in t.alarms if name in (a.name, f"{t.name}_first_out")]


def _names_step(node: Expr, chart: Chart, step: str) -> bool:
    return any(isinstance(p, StepActive) and p.chart == chart.name and step in p.steps for p in node.walk())
