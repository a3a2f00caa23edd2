"""The view of a cause-and-effect matrix: marks with what the drills said, then what was wrong.

What it shows is campaign/matrix.py. Rule: a broken cell is told with its first drills; no cell is left out.
"""

from collections.abc import Sequence
from typing import Final

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from simplant.campaign.matrix import Tested
from simplant.campaign.matrix_file import Mark, Matrix
from simplant.rules import Outcome
from simplant.timebase import show

_FEW: Final = 3


def matrix_view(
    machine: str, matrix: Matrix, tested: Sequence[Tested], drills: int, ways: Sequence[str]
) -> RenderableType:
    """Show the matrix of a machine, after so many drills in these ways of use."""
    cells = {(each.cause, each.effect): each for each in tested}
    rows = [(c.name, *(_cell(cells[c.name, e.name]) for e in matrix.effects)) for c in matrix.causes]
    pieces: list[RenderableType] = [
        Text(f"{machine}: {len(tested)} cells, {drills} drills in {', '.join(ways)}", style="bold"),
        _table(("cause", *(effect.name for effect in matrix.effects)), rows),
    ]
    for each in tested:
        if each.wrong:
            pieces.append(
                Text(f"{each.cause} -> {each.effect} ({each.cell.mark.value or 'not marked'}): BROKEN", style="bold")
            )
            pieces += [Text(f"  {what}: {wrong}") for what, wrong in each.wrong[:_FEW]]
            if len(each.wrong) > _FEW:
                pieces.append(Text(f"  and {len(each.wrong) - _FEW} more"))
    counts = [sum(each.outcome is outcome for each in tested) for outcome in _WORDS]
    pieces.append(Text(", ".join(f"{n} {word}" for n, word in zip(counts, _WORDS.values(), strict=True)), style="bold"))
    return Group(*pieces)


def _table(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> Table:
    table = Table(box=None, padding=(0, 1), header_style="dim", show_edge=False)
    for column in columns:
        table.add_column(column, overflow="fold")
    for row in rows:
        table.add_row(*map(Text, row))
    return table


_WORDS: Final = {Outcome.HELD: "held", Outcome.BROKEN: "broken", Outcome.NOT_EXERCISED: "not exercised"}


def _cell(each: Tested) -> str:
    """Give a cell: the mark (`-`: none) and the longest time the effect took, or that it did not hold."""
    mark = each.cell.mark
    if each.outcome is Outcome.BROKEN:
        return f"{mark.value or '-'} BROKEN"
    if each.outcome is Outcome.NOT_EXERCISED:
        return f"{mark.value or '-'} ?"
    return (
        "-" if mark is Mark.NONE else f"{mark.value} {show(each.longest) if each.longest is not None else ''}".rstrip()
    )
