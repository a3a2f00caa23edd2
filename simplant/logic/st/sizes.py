"""How much variables hold: values, and names for them; and how much a file may.

Rule: all elements of an array have one name, so a large array is not many names.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import prod
from typing import Final

from simplant.errors import Place
from simplant.logic.st.initial import MOST_ELEMENTS
from simplant.logic.st.report import fail
from simplant.logic.st.types import Array, Cell, Overlap, Scalar, Standard, Struct, StType

MOST_NAMES: Final = 50_000


@dataclass(frozen=True, slots=True)
class Size:
    """How many values something holds, and how many names they have: all elements of an array have one."""

    values: int
    names: int

    def __add__(self, other: Size) -> Size:
        return Size(self.values + other.values, self.names + other.names)

    def __mul__(self, count: int) -> Size:
        return Size(self.values * count, self.names)


class Sizes:
    """Measures types, each once."""

    def __init__(self) -> None:
        self._sizes: Final[dict[int, tuple[StType, Size]]] = {}

    @staticmethod
    def fitting(size: Size, place: Place, what: str) -> None:
        """Refuse what holds too many values."""
        if size.values > MOST_ELEMENTS or size.names > MOST_NAMES:
            why = f"at most {MOST_ELEMENTS} values of {MOST_NAMES} names are read"
            fail(place, f"{what} holds {size.values} values of {size.names} names", why, length=5)

    def size_of(self, type_: StType) -> Size:
        """Give how much a variable of a type holds."""
        known = self._sizes.get(id(type_))
        if known is None:
            size = Size(1, 1)
            match type_:
                case Scalar():
                    pass
                case Standard():
                    size = Size(len(type_.block.stored), len(type_.block.stored))
                case Array():
                    size = self.size_of(type_.of) * prod(b - a + 1 for a, b in type_.ranges)
                case Overlap():
                    size = Size(type_.size, 1)
                case Cell():
                    size = self.size_of(type_.of)
                case Struct():
                    size = sum((self.size_of(f.type) for f in type_.fields.values()), Size(0, 0))
            known = self._sizes[id(type_)] = (type_, size)  # kept with its size, so that its id stays its own
        return known[1]
