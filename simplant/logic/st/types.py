"""The types of Structured Text beyond the elementary ones, and the stored values that a variable of each consists of.

A variable is kept as its leaves: one for each elementary value in it, or one row of values where arrays are around it.
Rule: a leaf is a name, an elementary type and a shape; everything that runs deals in leaves alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from math import prod
from typing import Any, Final

from simplant.blocks import BlockType, Field
from simplant.errors import Place
from simplant.logic.st.own_places import inside
from simplant.logic.st.referent import Referent
from simplant.values import BYTE, INT, ElementaryType, Value

DEFAULT_LENGTH = 254
"""Letters that a STRING without a length holds."""


@dataclass(frozen=True, slots=True)
class Scalar:
    """An elementary type, or one with a range, a length or names of its own.

    Args:
        base: what it is stored as.
        name: for people.
        least, most: of a subrange; None = the base type's own.
        words: of an enumeration: name in capitals -> (name as declared, value).
        length: of a STRING.
        initial: value of a variable that is given none.
        named: an enumeration with a base type: its values are values of that type, some of which have names.
        refers: of a reference: what it leads to; None of NULL, which fits any.
    """

    base: ElementaryType
    name: str
    least: int | None = None
    most: int | None = None
    words: dict[str, tuple[str, int]] | None = field(default=None, hash=False, compare=False)
    length: int = DEFAULT_LENGTH
    initial: Value = 0
    named: bool = False
    refers: Referent | None = field(default=None, hash=False, compare=False)

    @property
    def is_enum(self) -> bool:
        """Whether it has names for its values."""
        return self.words is not None


@cache
def elementary(base: ElementaryType) -> Scalar:
    """Give an elementary type as it is."""
    return Scalar(base, base.name, initial=base.default)


@dataclass(frozen=True, slots=True)
class Array:
    """ARRAY [low..high, ...] OF; `open`: ARRAY[*], each call says how long it is."""

    ranges: tuple[tuple[int, int], ...]
    of: StType
    initial: object = None
    open: bool = False

    @property
    def name(self) -> str:
        """For people."""
        return f"ARRAY[{', '.join(f'{a}..{b}' for a, b in self.ranges)}] OF {self.of.name}"


@dataclass(frozen=True, slots=True)
class StructField:
    """One field of a structure, or one variable of a function block."""

    name: str
    type: StType
    initial: object
    section: str = "FIELD"
    place: Place | None = None
    refers: bool = False
    """Its first value has references to other variables of the same block."""
    address: str = ""
    """Where it stands in its structure: `%B2`, `%X3.0`."""


@dataclass(frozen=True, slots=True)
class Struct:
    """A structure, or a user's function block as what its instance stores (`unit` names the block then)."""

    name: str
    fields: dict[str, StructField] = field(hash=False)
    unit: str = ""

    def __hash__(self) -> int:
        return hash((self.name, self.unit))


@dataclass(frozen=True, slots=True)
class Standard:
    """A standard function block."""

    block: BlockType

    @property
    def name(self) -> str:
        """For people."""
        return self.block.name


@dataclass(frozen=True, slots=True)
class Cell:
    """A variable that references lead to: its values stand in rows, so that they have a place of their own."""

    of: StType

    @property
    def name(self) -> str:
        """For people."""
        return self.of.name


@dataclass(frozen=True, slots=True)
class Overlap:
    """STRUCT OVERLAP: `size` bytes, of which each field is a view from a byte and a bit on."""

    name: str
    fields: dict[str, StructField] = field(hash=False)
    views: dict[str, tuple[int, int]] = field(hash=False, compare=False)
    size: int = 0


StType = Scalar | Array | Struct | Standard | Cell | Overlap
BYTES: Final = ".%B"
"""What stands behind the name of an OVERLAP in the name of its bytes."""


def plain(type_: StType) -> StType:
    """Give a type whether references lead to it or not."""
    return type_.of if isinstance(type_, Cell) else type_


@dataclass(frozen=True, slots=True)
class Leaf:
    """One stored value, or one row of them.

    Args:
        name: dotted, without indices: `line.motor.speed`.
        type: of each value.
        ranges: the indices of all arrays around it, outermost first; none for a single value.
        initial: one value for each element (one if it is single).
        template: the name with a `{}` for each index.
        cell: references lead to it, so it stands in a row though it may be single.
    """

    name: str
    type: Scalar
    ranges: tuple[tuple[int, int], ...]
    initial: tuple[Value, ...]
    template: str
    cell: bool = False

    @property
    def is_row(self) -> bool:
        """Whether it is stored as a row of values."""
        return self.cell or bool(self.ranges)

    @property
    def count(self) -> int:
        """How many values it holds."""
        return prod(b - a + 1 for a, b in self.ranges)

    def names(self) -> Iterator[str]:
        """Give the name of each value: `rows[2].level`."""
        if not self.ranges:
            yield self.name
            return
        for flat in range(self.count):
            indices, rest = [], flat
            for low, high in reversed(self.ranges):
                rest, place = divmod(rest, high - low + 1)
                indices.append(low + place)
            yield self.template.format(*reversed(indices))


def leaves(name: str, type_: StType, initial: object = None) -> list[Leaf]:
    """Give what a variable stores.

    Args:
        name: of the variable.
        type_: its type.
        initial: a value; a list for an array; a dict by field name (in capitals) for a structure; None = the type's.
    """
    if isinstance(type_, Scalar):
        return [Leaf(name, type_, (), _values(type_, [initial]), name)]
    return list(_leaves(name, name, type_, (), [initial]))


def _leaves(
    name: str, template: str, type_: StType, around: tuple[tuple[int, int], ...], initials: list[object]
) -> Iterator[Leaf]:
    """Give the leaves below one point; `initials` has one entry for each element of the arrays around."""
    match type_:
        case Scalar():
            yield Leaf(name, type_, around, _values(type_, initials), template)
        case Array():
            count = prod(b - a + 1 for a, b in type_.ranges)
            inner = [each for i in initials for each in _spread(type_.initial if i is None else i, count)]
            indices = ", ".join("{}" for _ in type_.ranges)
            yield from _leaves(name, f"{template}[{indices}]", type_.of, around + type_.ranges, inner)
        case Struct():
            yield from _of_structure(name, template, type_, around, initials)
        case Standard():
            yield from _of_block(name, template, type_.block, around, initials)
        case Overlap():
            none = (0,) * (len(initials) * type_.size)
            ranges = (*around, (0, type_.size - 1))
            yield Leaf(name + BYTES, elementary(BYTE), ranges, none, f"{template}{BYTES}[{{}}]")
        case Cell():
            yield from map(_led, _leaves(name, template, type_.of, around, initials))


def _of_structure(
    name: str, template: str, type_: Struct, around: tuple[tuple[int, int], ...], initials: list[object]
) -> Iterator[Leaf]:
    for key, each in type_.fields.items():
        given = [_field(i, key, each.initial) for i in initials]
        given = [inside(value, name) for value in given] if each.refers else given
        below, pattern = f"{name}.{each.name}", f"{template}.{each.name}"
        if isinstance(each.type, Scalar):  # most are: no generator for each of these
            yield Leaf(below, each.type, around, _values(each.type, given), pattern)
        else:
            yield from _leaves(below, pattern, each.type, around, given)


def _values(type_: Scalar, initials: list[object]) -> tuple[Value, ...]:
    values = tuple(type_.initial if i is None else i for i in initials)
    return values if type_.refers is None else tuple(map(str, values))  # type: ignore[return-value]  # checked; named


def _of_block(
    name: str, template: str, block: BlockType, around: tuple[tuple[int, int], ...], initials: list[object]
) -> Iterator[Leaf]:
    if id(block) not in _STORED:
        _STORED[id(block)] = [(each, each.name.upper(), elementary(each.type)) for each in block.stored]
    for stored, key, scalar in _STORED[id(block)]:
        values: tuple[Any, ...] = tuple(_field(i, key, stored.initial) for i in initials)
        yield Leaf(f"{name}.{stored.name}", scalar, around, values, f"{template}.{stored.name}")


_STORED: Final[dict[int, Sequence[tuple[Field, str, Scalar]]]] = {}
"""Each stored value of a block with its name in capitals and its type; blocks are few, and last."""


def _led(leaf: Leaf) -> Leaf:
    return replace(leaf, cell=True)


def _spread(initial: object, count: int) -> list[object]:
    """Give one initial value for each element of an array; what is not said is the type's own."""
    if isinstance(initial, list):
        return (initial + [None] * count)[:count]
    return [initial] * count


def _field(initial: object, key: str, default: object) -> object:
    return initial.get(key, default) if isinstance(initial, dict) else default


ENUM_BASE = INT
"""What an enumeration without a base type is stored as."""


def alike(one: StType, other: StType) -> bool:
    """Say whether two types store the same."""
    one, other = plain(one), plain(other)
    if isinstance(one, Struct | Overlap) or isinstance(other, Struct | Overlap):
        return type(one) is type(other) and one.name.upper() == other.name.upper()
    if isinstance(one, Scalar) and isinstance(other, Scalar):
        return one.base is other.base and same_referent(one, other)
    if not isinstance(one, Array) or not isinstance(other, Array):
        return one == other
    return [b - a for a, b in one.ranges] == [b - a for a, b in other.ranges] and alike(one.of, other.of)


def same_referent(one: Scalar, other: Scalar) -> bool:
    """Say whether two references may lead to the same; NULL fits any. A range or a length is part of a type."""
    if one.refers is None or other.refers is None or one.refers is other.refers:
        return True
    mine, theirs = one.refers.type(), other.refers.type()
    if isinstance(mine, Scalar) and isinstance(theirs, Scalar) and mine.refers and theirs.refers:
        return same_referent(mine, theirs)
    return mine.name.upper() == theirs.name.upper()
