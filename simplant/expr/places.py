"""The places that references lead to: rows of values, found by the name of a place, and the names of places.

A reference holds the name of a place as people write it: `speed`, `line[2].motor`; NULL leads nowhere. Which variables
stand in rows for it is logic/st. Rule: a name is a name whatever the layout, so references mean the same in all tasks.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import prod
from typing import Any, Final, NamedTuple

from simplant.errors import ProgramError
from simplant.values import Value

MEMORY: Final = "%memory"
"""The key under which an environment holds the memory of the scan."""

NULL: Final = "NULL"
_INDICES: Final = re.compile(r"\[([^\]]*)\]")


@dataclass(frozen=True, slots=True)
class Home:
    """One row that references lead to: its name, its name with a `{}` for each index, and the indices."""

    name: str
    template: str
    ranges: tuple[tuple[int, int], ...]

    def place(self, index: int, behind: str) -> str:
        """Name a place in the row: number `index` of those that are as large; `behind`: the end of the template."""
        template = self.template[: len(self.template) - len(behind)]
        indices: list[int] = []
        for low, high in reversed(self.ranges[: template.count("{}")]):
            index, here = divmod(index, high - low + 1)
            indices.append(low + here)
        return template.format(*reversed(indices))


class Found(NamedTuple):
    """Where a place is in a row: the row's number, the place's number, and how many values of the row it has."""

    row: int
    number: int
    size: int


class Places:
    """The rows of a task that references lead to, in one order for every scan."""

    def __init__(self, homes: Sequence[Home]) -> None:
        self.homes: Final = tuple(homes)
        self._rows: Final = {home.name: number for number, home in enumerate(homes)}
        self._found: Final[dict[tuple[str, str], Found]] = {}

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Places) and self.homes == other.homes

    def __hash__(self) -> int:
        return hash(self.homes)

    def find(self, reference: str, label: str, suffix: str) -> Found:
        """Find a place, and there the row of a field.

        Raises:
            ProgramError: the reference is NULL.
        """
        found = self._found.get((reference, suffix))
        if found is None:
            if reference == NULL:
                why, mend = "it leads to no variable", f"test it before: IF {label} <> NULL THEN"
                raise ProgramError(f"{label} is NULL", why, mend)
            found = self._found[reference, suffix] = self._look(reference, suffix)
        return found

    def _look(self, reference: str, suffix: str) -> Found:
        row = self._rows[_INDICES.sub("", reference) + suffix]
        ranges = self.homes[row].ranges
        indices = [int(each) for group in _INDICES.findall(reference) for each in group.split(",")]
        number = 0
        for index, (low, high) in zip(indices, ranges, strict=False):
            number = number * (high - low + 1) + index - low
        return Found(row, number, prod(high - low + 1 for low, high in ranges[len(indices) :]))


class Memory:
    """The rows themselves, in one scan."""

    __slots__ = ("places", "rows")

    def __init__(self, places: Places, rows: Sequence[list[Value]]) -> None:
        self.places = places
        self.rows = rows

    def read(self, reference: str, label: str, suffix: str, index: int) -> Value:
        """Read one value at a place; raises `ProgramError` if there is none."""
        row, number, size = self.places.find(reference, label, suffix)
        return self.rows[row][number * size + index]

    def locate(self, reference: str, label: str, suffixes: Sequence[str]) -> tuple[Any, ...]:
        """Give the number of a place, and the row of each field there; raises `ProgramError` if there is none."""
        spots = [self.places.find(reference, label, suffix) for suffix in suffixes]
        return (spots[0].number, *(self.rows[spot.row] for spot in spots))

    def place(self, row: list[Value], index: int, behind: str) -> str:
        """Name the place in one of the rows."""
        number = next(n for n, known in enumerate(self.rows) if known is row)
        return self.places.homes[number].place(index, behind)


__all__ = ["MEMORY", "NULL", "Home", "Memory", "Places"]
