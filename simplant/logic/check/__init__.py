"""What is wrong with a control program before it runs: `check_program`, and the shortest pulses its inputs see.

Each file is one sort of finding; guards.py and view.py are what they stand on. Rule: findings speak in the
source forms that the author wrote, never in what these lower to.
"""

from collections.abc import Iterable, Iterator

from simplant.logic.check.blocks import check_blocks, check_python
from simplant.logic.check.charts import check_charts
from simplant.logic.check.equalities import check_equalities
from simplant.logic.check.findings import Finding, Severity, in_order
from simplant.logic.check.guards import Table, TooManyCasesError, Variable, never_together
from simplant.logic.check.numbers import check_counters, check_divisions
from simplant.logic.check.points import Timing, check_points, shortest_pulses
from simplant.logic.check.view import View
from simplant.logic.check.waits import check_waits
from simplant.logic.check.writers import check_writers
from simplant.logic.program import Program


def check_program(program: Program, *, operator_inputs: Iterable[str] = ()) -> list[Finding]:
    """Look through a program.

    Args:
        program: any, also one that would not run.
        operator_inputs: inputs that people work (buttons, selectors, doors, emergency stop): to wait for them
            without a time limit is usual.

    Returns:
        Findings, gravest first, then as they stand in the program; empty if there is nothing to say.
    """
    return in_order(_findings(View(program), frozenset(operator_inputs)))


def _findings(view: View, operator: frozenset[str]) -> Iterator[Finding]:
    for chart in view.program.charts.values():
        if chart.chart is None:
            what = f"sequence {chart.name!r} has steps but no transitions"
            yield Finding("error", "undeclared", what, "", "call .transitions([...])", chart.place)
    yield from check_points(view)
    yield from check_writers(view)
    yield from check_charts(view)
    yield from check_waits(view, operator)
    yield from check_blocks(view)
    yield from check_counters(view)
    yield from check_divisions(view)
    yield from check_equalities(view)
    yield from check_python(view)


__all__ = [
    "Finding",
    "Severity",
    "Table",
    "Timing",
    "TooManyCasesError",
    "Variable",
    "check_program",
    "never_together",
    "shortest_pulses",
]
