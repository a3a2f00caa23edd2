"""A drawing as rows of letters, each with its place, and the boxes in it.

Following the wires is wires.py. Rule: a box that is not closed is told where it is open.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from simplant.errors import Place
from simplant.logic.st.report import Report

_EDGE: Final = re.compile(r"\+-+(?=\+)")
_LETTER: Final = re.compile(r"[^\W_]|_\w")
_JUMPS: Final = re.compile(r">>\s*\w+|<[^<>|]*>|>\w+>")
_WORD: Final = re.compile(r"(?:[^\s|\[\]]|\[[^\]|]*\])+")


@dataclass(frozen=True, slots=True)
class Frame:
    """The outline of a block: rows of its upper and lower edge, columns of its sides."""

    top: int
    bottom: int
    left: int
    right: int


@dataclass(slots=True)
class Sheet:
    """One drawing.

    Args:
        report: of the whole source.
        first: line of its first row in the source, from 1.
        rows: its rows.
    """

    report: Report
    first: int
    rows: list[str]
    frames: list[Frame] = field(default_factory=list)
    _boxed: dict[tuple[int, int], Frame] = field(default_factory=dict)
    _words: dict[int, list[tuple[int, str]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for frame in self._find():
            self.frames.append(frame)
            for row in range(frame.top, frame.bottom + 1):
                for column in range(frame.left, frame.right + 1):
                    self._boxed[row, column] = frame

    def place(self, row: int, column: int) -> Place:
        """Give the place of a letter."""
        return Place(self.report.name, self.first + row, column + 1)

    def at(self, row: int, column: int) -> str:
        """Give a letter; a space where there is none."""
        return self.rows[row][column] if 0 <= row < len(self.rows) and 0 <= column < len(self.rows[row]) else " "

    def wire(self, row: int, column: int) -> str:
        """Give a letter outside boxes; a space inside."""
        return " " if (row, column) in self._boxed else self.at(row, column)

    def box(self, row: int, column: int) -> Frame | None:
        """Give the box in whose outline a letter stands."""
        return self._boxed.get((row, column))

    def error(self, row: int, column: int, what: str, why: str = "", mend: str = "", length: int = 1) -> None:
        """Note what is wrong."""
        self.report.error(self.place(row, column), what, why, mend, length)

    # boxes

    def _find(self) -> Iterator[Frame]:
        taken: set[tuple[int, int]] = set()
        for row, text in enumerate(self.rows):
            for match in _EDGE.finditer(text):
                left, right = match.start(), match.end()
                if (row, left) in taken or not self._is_top(row, left, right):
                    continue
                frame = self._closed(row, left, right)
                if frame is not None:
                    taken |= {(frame.bottom, left), (row, left)}
                    yield frame

    def _is_top(self, row: int, left: int, right: int) -> bool:
        """Say whether an edge is the upper one of a box: nothing is joined to its corners from outside."""
        if self.at(row, left - 1) == "-" or self.at(row, right + 1) == "-" or left == self.margin(row):
            return False
        return "|" not in (self.at(row - 1, left), self.at(row - 1, right)) and self.at(row + 1, left) == "|"

    def margin(self, row: int) -> int:
        """Give the column of the left rail in a row."""
        return len(self.rows[row]) - len(self.rows[row].lstrip())

    def _closed(self, top: int, left: int, right: int) -> Frame | None:
        edge, row = f"+{'-' * (right - left - 1)}+", top + 1
        while self.at(row, left) == "|":
            if self.at(row, right) != "|":
                what = "the box has no right side here"
                self.error(row, min(right, max(len(self.rows[row]) - 1, 0)), what,
                           f"its upper edge ends at column {right + 1}", f"write | at column {right + 1}")  # fmt: skip
                return None
            row += 1
        if self.at(row, left) != "+" and self.at(row, right) == "|":
            self.error(row, min(left, len(self.rows[row]) - 1), "the box has no left side here",
                       f"its upper edge begins at column {left + 1}", f"write | at column {left + 1}")  # fmt: skip
            return None
        if self.rows[row][left : right + 1] == edge if row < len(self.rows) else False:
            return Frame(top, row, left, right)
        why = f"its upper edge goes from column {left + 1} to {right + 1}, {right - left + 1} letters"
        self.error(top, left, "the box that begins here is not closed", why, "draw a lower edge as long as the upper",
                   right - left + 1)  # fmt: skip
        return None

    def names(self, row: int) -> list[tuple[int, str]]:
        """Give the words of a row that may be names, each with its column: outside boxes, in no wire and no contact."""
        if not 0 <= row < len(self.rows):
            return []
        if row not in self._words:
            text = "".join(self.wire(row, c) for c in range(len(self.rows[row])))
            text = _JUMPS.sub(lambda match: " " * len(match[0]), text)
            found = [(m.start(), m[0]) for m in _WORD.finditer(text) if "--" not in m[0] and _LETTER.search(m[0])]
            self._words[row] = [(c, w) for c, w in found if len(w) > 1 or text[c - 1 : c + 2] != f"|{w}|"]
        return self._words[row]
