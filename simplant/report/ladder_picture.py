"""Rungs as SVG: the same drawing as in the terminal, lines as lines, power by their weight.

What is drawn where is logic/ladder/draw.py. Rule: no colour carries anything; a heavy line has power.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.logic.ladder.canvas import Drawing
from simplant.logic.ladder.flow import RungFlow
from simplant.report.svg import alone, element, text

WIDE: Final = 8
HIGH: Final = 16
DROP: Final = 4
"""How far above the lower edge of its row a text stands."""
_PIECE: Final = r"[^\s|+-](?:(?!--|-[+|])[^\s|])*"
_WORD: Final = re.compile(rf"\([ /SRPN]\)|{_PIECE}(?: (?:[+-] )?{_PIECE})*|(?<=\|)[PN/](?=\|)")
"""A coil; names and numbers, sums of them too; what stands between the bars of a contact."""
_SIDES: Final = ((0, -1, "-+()>OTQ"), (0, 1, "-+(<>"), (-1, 0, "|+"), (1, 0, "|+"))


@dataclass(frozen=True, slots=True)
class Shown:
    """A rung: what stands above it, its drawing, what it did, what stands below."""

    head: Sequence[str]
    drawing: Drawing
    flow: RungFlow | None
    foot: Sequence[str]


def ladder_picture(title: str, rungs: Sequence[Shown]) -> str:
    """Draw rungs below one another.

    Args:
        title: what it shows.
        rungs: from top to bottom.
    """
    body, row = [text(title, WIDE, HIGH, "name")], 2
    for rung in rungs:
        for line in rung.head:
            body.append(text(line, WIDE, (row + 1) * HIGH - DROP, "small"))
            row += 1
        body += _rung(rung, row)
        row += len(rung.drawing.rows)
        for line in rung.foot:
            body.append(text(line, WIDE, (row + 1) * HIGH - DROP, "small"))
            row += 1
        row += 1
    columns = max((len(line) for rung in rungs for line in (*rung.head, *rung.drawing.rows, *rung.foot)), default=40)
    return alone((columns + 2) * WIDE, (row + 1) * HIGH, title, "".join(body), "ladder.css")


def _rung(rung: Shown, first: int) -> Iterator[str]:
    for y, row in enumerate(rung.drawing.rows):
        covered: set[int] = set()
        for match in _WORD.finditer(row):
            covered |= set(range(match.start(), match.end()))
            x, base = (match.start() + 1) * WIDE, (first + y + 1) * HIGH - DROP
            length = (match.end() - match.start()) * WIDE
            yield element("text", _escaped(match[0]), x=x, y=base, textLength=length, class_="letter")
        for x, letter in enumerate(row):
            if letter in "-|+" and x not in covered:
                yield from _line(rung, y, x, letter, first)


def _escaped(words: str) -> str:
    return words.replace("&", "&amp;").replace("<", "&lt;")


def _line(rung: Shown, y: int, x: int, letter: str, first: int) -> Iterator[str]:
    """Draw a piece of a line in its cell."""
    tag = rung.drawing.tags.get((y, x), ())
    powered = rung.flow is not None and any(rung.flow.has(point) for point in tag)
    left, top = (x + 1) * WIDE, (first + y) * HIGH
    middle, centre = left + WIDE / 2, top + HIGH / 2
    ends = [(left, centre), (left + WIDE, centre), (middle, top), (middle, top + HIGH)]
    arms = {"-": (0, 1), "|": (2, 3)}.get(letter, tuple(_arms(rung.drawing.rows, y, x)))
    for arm in arms:
        px, py = ends[arm]
        yield element("line", x1=middle, y1=centre, x2=px, y2=py, class_="wire on" if powered else "wire")


def _arms(rows: Sequence[str], y: int, x: int) -> Iterator[int]:
    """Give the sides on which a cross goes on."""
    for side, (down, right, wanted) in enumerate(_SIDES):
        row, column = y + down, x + right
        if 0 <= row < len(rows) and 0 <= column < len(rows[row]) and rows[row][column] in wanted:
            yield side
