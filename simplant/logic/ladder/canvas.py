"""A sheet of letters on which a rung is drawn, each letter with the points whose power it shows.

What is drawn where is draw.py. Rule: a letter is never drawn over another one, unless it is the same.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

Point = tuple[int, str]
"""A point on a rung: the number of an element, and `in`, `out` or (of a contact) `conducts`."""

Tag = tuple[Point, ...]
"""The points of which one at least must have power for a letter to have it; none: it shows no power."""

RAIL: Final[Tag] = ((-1, "out"),)
"""The left rail, which always has power."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A rung as drawn: its rows of text, and by row and column (from 0) what each letter shows."""

    rows: tuple[str, ...]
    tags: dict[tuple[int, int], Tag]


@dataclass(slots=True)
class Canvas:
    """Takes letters anywhere; rows may be negative until it is done."""

    letters: dict[tuple[int, int], str] = field(default_factory=dict)
    tags: dict[tuple[int, int], Tag] = field(default_factory=dict)

    def put(self, x: int, y: int, text: str, tag: Tag = ()) -> None:
        """Write text from a column on."""
        for at, letter in enumerate(text, x):
            if letter != " ":
                assert self.letters.get((y, at), letter) == letter, f"two letters at row {y}, column {at}"
                self.letters[y, at] = letter
                if tag:
                    self.tags[y, at] = tag

    def wire(self, x: int, end: int, y: int, tag: Tag) -> None:
        """Draw a wire from a column up to before another."""
        self.put(x, y, "-" * (end - x), tag)

    def height(self) -> tuple[int, int]:
        """Give the first and the last row."""
        rows = [y for y, _ in self.letters]
        return min(rows), max(rows)

    def drawing(self) -> Drawing:
        """Give what was drawn, from row 0 on."""
        first, last = self.height()
        width = 1 + max(x for _, x in self.letters)
        rows = ("".join(self.letters.get((y, x), " ") for x in range(width)).rstrip() for y in range(first, last + 1))
        return Drawing(tuple(rows), {(y - first, x): tag for (y, x), tag in self.tags.items()})
