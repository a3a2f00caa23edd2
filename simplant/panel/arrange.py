"""Where each pane stands on a screen of some size, and which are seen at all.

Rule: the desk and one chosen pane are always seen; a larger screen shows more of the others, and none covers another.
"""

from dataclasses import dataclass
from typing import Final

DESK: Final = 37
"""Columns of the desk, the gap beside it included."""

NAMES: Final = ("desk", "plan", "alarms", "points", "steps", "rules", "faults", "log")
"""The panes in the order of their number keys, from 1."""


@dataclass(frozen=True, slots=True)
class Place:
    """Column and row of the top left corner, width and height."""

    x: int
    y: int
    width: int
    height: int


def alone(width: int, height: int, chosen: str) -> dict[str, Place]:
    """Give one pane the whole space."""
    return {chosen: Place(0, 0, width, height)}


def arrange(width: int, height: int, chosen: str) -> dict[str, Place]:
    """Give the panes that are seen, and where.

    Args:
        width: of the space for panes, in columns.
        height: of it, in rows.
        chosen: the pane that somebody wants to see.
    """
    columns = [["desk"], *_columns(width, height, chosen)]
    spans = _shares(width - DESK, len(columns) - 1) if width >= 2 * DESK else [width]
    if width < 2 * DESK:
        columns, spans = [[chosen]], [width]
    else:
        spans = [DESK, *spans]
    places: dict[str, Place] = {}
    x = 0
    for names, span in zip(columns, spans, strict=True):
        y = 0
        for name, rows in zip(names, _rows(height, names), strict=True):
            places[name] = Place(x, y, span - 1, rows)
            y += rows
        x += span
    return places


def _columns(width: int, height: int, chosen: str) -> list[list[str]]:
    """Give the panes of each column right of the desk; the chosen one is among them, or stands in the last place."""
    tall = height >= 36
    if width < 116:
        columns = [["plan", "points"]] if tall else [["points"]]
    elif width < 168:
        columns = [["plan", "alarms"], ["points", "log"] if tall else ["points"]]
    else:
        columns = [["plan", "alarms"], ["steps", "log"], ["points", "rules"] if tall else ["points"]]
    if chosen != "desk" and not any(chosen in names for names in columns):
        last = columns[-1]
        last[last.index("points")] = chosen
    return columns


def _rows(height: int, names: list[str]) -> list[int]:
    """Give the rows of the panes of a column; the plan gets more than what stands below it."""
    if len(names) == 2 and names[0] == "plan":
        return [height * 3 // 5, height - height * 3 // 5]
    return _shares(height, len(names))


def _shares(whole: int, count: int) -> list[int]:
    return [whole * (n + 1) // count - whole * n // count for n in range(count)]
