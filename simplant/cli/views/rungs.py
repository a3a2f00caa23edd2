"""A rung in the terminal: its drawing, and with a scan at hand its power by weight of line.

The drawing is logic/ladder/draw.py, the power flow.py. Rule: power is shown by heavy lines, in bold, never by colour.
"""

from collections.abc import Mapping
from typing import Final

from rich.text import Text

from simplant.logic.ladder.canvas import Drawing
from simplant.logic.ladder.flow import RungFlow

HEAVY: Final = {"-": "━", "|": "┃", "+": "╋"}
PLAIN: Final = {"-": "=", "|": "#", "+": "#"}


def heavy_for(encoding: str, *, legacy: bool = False) -> Mapping[str, str]:
    """Choose the heavy lines that a terminal can show.

    Args:
        encoding: of the terminal.
        legacy: it is an old Windows console.
    """
    try:
        "".join(HEAVY.values()).encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return PLAIN
    return PLAIN if legacy else HEAVY


def rung_text(drawing: Drawing, flow: RungFlow | None, heavy: Mapping[str, str]) -> Text:
    """Draw a rung.

    Args:
        drawing: it.
        flow: what it did in a scan; None = no scan is looked at.
        heavy: the heavy letter for each light one.
    """
    text = Text()
    for y, row in enumerate(drawing.rows):
        for x, letter in enumerate(row):
            tag = drawing.tags.get((y, x), ())
            powered = flow is not None and any(flow.has(point) for point in tag)
            text.append(heavy.get(letter, letter) if powered else letter, style="bold" if powered else "")
        text.append("\n")
    return text


def rows_of(drawing: Drawing, flow: RungFlow | None, heavy: Mapping[str, str]) -> list[str]:
    """Give the rows of a drawing with its power, for JSON."""
    return rung_text(drawing, flow, heavy).plain.rstrip("\n").split("\n")
