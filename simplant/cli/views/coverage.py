"""Coverage against the source: how much was seen, then each line with what was not.

Counting is logic/coverage. Rule: a line is shown as it stands in its file; what is missing stands below it.
"""

from collections.abc import Iterator
from io import StringIO
from itertools import groupby
from pathlib import Path

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from simplant.logic.coverage.sheet import Sheet
from simplant.logic.st.source_text import read_source
from simplant.rig.coverage import Coverage
from simplant.rig.plans import MAIN


def coverage_view(coverage: Coverage) -> RenderableType:
    """Show the coverage of every program."""
    rows = [(Path(f).name, name, s) for f, sheets in coverage.sheets.items() for name, s in sheets.items()]
    return Group(*(part for machine, name, sheet in rows for part in _program(_title(machine, name), sheet)))


def coverage_text(coverage: Coverage, width: int = 120) -> str:
    """Give the same as plain text."""
    out = StringIO()
    Console(file=out, width=width, no_color=True, highlight=False).print(coverage_view(coverage))
    return out.getvalue()


def _title(machine: str, controller: str) -> str:
    return f"coverage of {machine}" if controller == MAIN else f"coverage of {machine}, controller {controller}"


def _program(title: str, sheet: Sheet) -> Iterator[RenderableType]:
    yield Text(title, style="bold")
    table = Table(box=None, pad_edge=False)
    table.add_column("")
    for name in ("seen", "of", "%"):
        table.add_column(name, justify="right")
    for kind, count in sheet.counts().items():
        table.add_row(kind, str(count.seen), str(count.all), f"{100 * count.seen // count.all}")
    yield table
    for file, places in groupby(sheet.gaps(), key=lambda gap: gap[0].file):
        yield Text(file, style="bold")
        lines = _lines(file)
        for number, gaps in groupby(places, key=lambda gap: gap[0].line):
            line = lines[number - 1] if 0 < number <= len(lines) else ""
            yield Text(f"{number:5} | {line}", no_wrap=True, overflow="ellipsis")
            yield from (Text(f"      | {told}", style="yellow") for _, told in gaps)
    yield Text("")


def _lines(file: str) -> list[str]:
    path = Path(file)
    return read_source(path).split("\n") if path.is_file() else []
