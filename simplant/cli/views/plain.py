"""The plain table that every list in the terminal uses, and how values stand in it.

What stands in a table is in the file of its view. Rule: no lines that an old terminal cannot
draw, and no meaning carried by colour alone.
"""

from collections.abc import Sequence
from typing import Final

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from simplant.scenario.trace import value_text
from simplant.values import Value

Cell = str | Text

_MOST_ROWS: Final = 200
_SHORT: Final = 18  # what is no longer than this is never broken over lines


def plain_table(
    title: str, columns: Sequence[str], rows: Sequence[Sequence[Cell]], *, none: str = "none", most: int = _MOST_ROWS
) -> RenderableType:
    """Make a titled table without lines.

    Args:
        title: stands above it.
        columns: headings; one that begins with `>` is set flush right (times, numbers).
        rows: cells, top to bottom.
        none: what to say if there are no rows.
        most: the most rows to show; of more, the middle is left out and counted.
    """
    heading = Text(title, style="bold")
    if not rows:
        return Group(heading, Text(f"  {none}"))
    table = Table(box=None, pad_edge=True, padding=(0, 1), header_style="dim", show_edge=False)
    table.show_header = any(column.strip(">") for column in columns)
    for column, cells in zip(columns, zip(*rows, strict=True), strict=True):
        right = column.startswith(">")
        short = right or all(len(cell) <= _SHORT for cell in cells)
        table.add_column(column.lstrip(">"), justify="right" if right else "left", no_wrap=short, overflow="fold")
    head, tail = (most - most // 3, most // 3) if len(rows) > most else (len(rows), 0)
    for row in rows[:head]:
        table.add_row(*row)
    if tail:
        table.add_row(*[f"... {len(rows) - head - tail} more ..." if n == 0 else "" for n in range(len(columns))])
        for row in rows[-tail:]:
            table.add_row(*row)
    return Group(heading, table)


def shown(value: Value) -> str:
    """Give a value for people: TRUE, FALSE, a number, a word."""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    return f"{value:.6g}" if isinstance(value, float) else value_text(value)
