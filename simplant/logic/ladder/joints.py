"""Where wires meet: crosses joined by lines up and down, and the two rails.

Rule: a line up or down leads from one cross to another; the right rail is what ends the rows.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from simplant.logic.ladder.sheet import Sheet

START: Final = 0
"""The left rail."""

END: Final = 1
"""The right rail."""

_SLACK: Final = 4
"""Columns by which the right rail may be out of line."""

_CONTACT: Final = re.compile(r"(?<=[-+|)])\|[^|]\|(?=[-+|(]|\s*$)|(?<=[-+)])\|[^|]\|")
Cell = tuple[int, int]


class Joints:
    """The joints of a drawing.

    Args:
        sheet: the drawing.
        used: letters that belong to boxes and values; takes those of rails and joints.

    Attributes:
        of: joint of each cross.
        right: cells of the right rail.
    """

    def __init__(self, sheet: Sheet, used: set[Cell]) -> None:
        self.sheet = sheet
        self._taken = frozenset(used)
        self.of: dict[Cell, int] = {}
        self.right: set[Cell] = set()
        self._named: dict[str, tuple[Cell, int]] = {}
        self._next = END + 1
        ends = self._ends()
        farthest = max((column for _, column in ends), default=0)
        for row in range(len(sheet.rows)):
            used.add((row, sheet.margin(row)))
        for group in self._groups():
            crosses = [cell for cell in group if sheet.at(*cell) == "+"]
            if set(group) <= ends and group[0][1] >= farthest - _SLACK:
                self.right |= set(group)
                used |= set(group)
            elif crosses:
                self._join(crosses, used)

    def _ends(self) -> set[Cell]:
        """Give the last letters of rows that may be part of the right rail."""
        found = set()
        for row, text in enumerate(self.sheet.rows):
            column = len(text.rstrip()) - 1
            if column > self.sheet.margin(row) and self.sheet.wire(row, column) in "+|":
                found.add((row, column))
        return found

    def _groups(self) -> Iterator[list[Cell]]:
        """Give cells that stand below one another, joined or joining: + and |, but not in boxes and contacts."""
        columns: dict[int, list[int]] = {}
        for row, text in enumerate(self.sheet.rows):
            bars = {c for m in _CONTACT.finditer(text) for c in (m.start(), m.end() - 1)}
            for column, letter in enumerate(text):
                if letter in "+|" and self._free(row, column) and column not in bars:
                    columns.setdefault(column, []).append(row)
        for column, rows in columns.items():
            group: list[Cell] = []
            for row in rows:
                if group and row != group[-1][0] + 1:
                    yield group
                    group = []
                group.append((row, column))
            yield group

    def _free(self, row: int, column: int) -> bool:
        return column != self.sheet.margin(row) and (row, column) not in self._taken

    def _join(self, crosses: list[Cell], used: set[Cell]) -> None:
        """Make one joint of crosses in a column, the lines between them included."""
        first, last = crosses[0][0], crosses[-1][0]
        for cell in crosses:
            self.of[cell] = self._next
        used |= {(row, crosses[0][1]) for row in range(first, last + 1)}
        self._next += 1

    def crossings(self) -> Iterator[tuple[Cell, int]]:
        """Give each cross with its joint, in the order of reading."""
        yield from sorted(self.of.items())

    def named(self, name: str, row: int, column: int) -> int:
        """Give the joint that stands for an arrow with a name, wherever it was seen first."""
        if name not in self._named:
            self._named[name] = ((row, column), self._next)
            self._next += 1
        return self._named[name][1]

    def everywhere(self) -> Iterator[tuple[Cell, int]]:
        """Give each cross and each arrow with its joint."""
        yield from self.crossings()
        yield from self._named.values()
