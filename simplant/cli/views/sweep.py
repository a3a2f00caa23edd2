"""The view of a sweep: where along its axis what changes, worst first.

Sweeping is campaign/. Rule: what a rule's trigger never met is counted, not listed; the JSON lists it.
"""

from typing import Final

from rich.console import Group, RenderableType
from rich.text import Text

from simplant.campaign import Span, Sweep
from simplant.cli.views.plain import plain_table
from simplant.scenario.trace import seconds_text
from simplant.timebase import show

_SAID: Final = {
    "failed": "FAILED: ",
    "broken": "RULE BROKEN: ",
    "accepted": "accepted hazard: ",
    "broken under more faults": "broken, not demanded: ",
    "unmet": "",
    "undecided": "undecided: ",
    "held": "holds: ",
}
_COUNTED: Final = ("not exercised", "exercised")


def sweep_view(swept: Sweep) -> RenderableType:
    """Make the table: the range, how many runs it has, the step of the story then, what is not as in the base run."""
    columns = [f">{swept.axis.at}", ">to", ">runs", "step then", "what changes"]
    rows: dict[tuple[str, int, int], list[Span]] = {}
    for span in swept.spans:
        if span.change.kind in _SAID:
            rows.setdefault((span.change.kind, span.first.at, span.last.at), []).append(span)
    title = f"{swept.axis.title} ({len(swept.axis.cases)} runs)"
    cells = [_row(swept, spans) for spans in rows.values()]
    if not swept.axis.in_time:
        columns.pop(3)
        cells = [[*row[:3], row[4]] for row in cells]
    untried = dict.fromkeys(span.change.what for span in swept.spans if span.change.kind in _COUNTED)
    table = plain_table(title, columns, cells, none="nothing changes")
    if not untried:
        return table
    told = f"  in some runs other rules are put to the test than in the base run: {len(untried)} of them (--json)"
    return Group(table, Text(told, style="dim"))


def _row(swept: Sweep, spans: list[Span]) -> list[str | Text]:
    span = spans[0]
    at = seconds_text if swept.axis.in_time else show
    to = "" if span.runs == 1 else at(span.last.at)
    style = "bold red" if span in swept.found else ""
    what = Text(_SAID[span.change.kind] + "; ".join(s.change.what for s in spans), style=style)
    return [at(span.first.at), to, str(span.runs), _steps(span.steps), what]


def _steps(steps: tuple[str, ...]) -> str:
    return ", ".join(steps) if len(steps) <= 2 else f"{steps[0]} to {steps[-1]}"
