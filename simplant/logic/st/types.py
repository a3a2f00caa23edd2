"""The types of Structured Text beyond the elementary ones, and the stored values that a variable of each consists of.

A variable is kept as its leaves: one for each elementary value in it, or one row of values where arrays are around it.
Rule: a leaf is a name, an elementary type and a shape; everything that runs deals in leaves alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from math import prod

from simplant.blocks import BlockType
from simplant.blocks.steps import STEP
from simplant.errors import Place
from simplant.values import BOOL, INT, TIME, ElementaryType, Value

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
    """

    base: ElementaryType
    name: str
    least: int | None = None
    most: int | None = None
    words: dict[str, tuple[str, int]] | None = field(default=None, hash=False, compare=False)
    length: int = DEFAULT_LENGTH
    initial: Value = 0

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


StType = Scalar | Array | Struct | Standard


@dataclass(frozen=True, slots=True)
class Leaf:
    """One stored value, or one row of them.

    Args:
        name: dotted, without indices: `line.motor.speed`.
        type: of each value.
        ranges: the indices of all arrays around it, outermost first; none for a single value.
        initial: one value for each element (one if it is single).
        template: the name with a `{}` for each index.
    """

    name: str
    type: Scalar
    ranges: tuple[tuple[int, int], ...]
    initial: tuple[Value, ...]
    template: str

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
    return list(_leaves(name, name, type_, (), [initial]))


def _leaves(
    name: str, template: str, type_: StType, around: tuple[tuple[int, int], ...], initials: list[object]
) -> Iterator[Leaf]:
    """Give the leaves below one point; `initials` has one entry for each element of the arrays around."""
    match type_:
        case Scalar():
            values = tuple(type_.initial if i is None else i for i in initials)
            yield Leaf(name, type_, around, values, template)  # type: ignore[arg-type]  # checked by the reader
        case Array():
            count = prod(b - a + 1 for a, b in type_.ranges)
            inner = [each for i in initials for each in _spread(type_.initial if i is None else i, count)]
            indices = ", ".join("{}" for _ in type_.ranges)
            yield from _leaves(name, f"{template}[{indices}]", type_.of, around + type_.ranges, inner)
        case Struct():
            for key, each in type_.fields.items():
                below = [_field(i, key, each.initial) for i in initials]
                yield from _leaves(f"{name}.{each.name}", f"{template}.{each.name}", each.type, around, below)
        case Standard():
            for stored in type_.block.stored:
                given = [_field(i, stored.name.upper(), stored.initial) for i in initials]
                scalar = elementary(stored.type)
                yield from _leaves(f"{name}.{stored.name}", f"{template}.{stored.name}", scalar, around, given)


def _spread(initial: object, count: int) -> list[object]:
    """Give one initial value for each element of an array; what is not said is the type's own."""
    if isinstance(initial, list):
        return (initial + [None] * count)[:count]
    return [initial] * count


def _field(initial: object, key: str, default: object) -> object:
    return initial.get(key, default) if isinstance(initial, dict) else default


def field_type(type_: StType, name: str) -> tuple[str, StType, str] | None:
    """Find a field, or a value of a function block: its name as declared, its type and its section."""
    if isinstance(type_, Struct):
        found = type_.fields.get(name.upper())
        return (found.name, found.type, found.section) if found else None
    if isinstance(type_, Standard) and type_.block is STEP:
        part = _OF_STEP.get(name.upper())
        return (part[0], elementary(part[1]), "VAR_OUTPUT") if part else None
    if isinstance(type_, Standard):
        block = type_.block
        for section, group in (("VAR_INPUT", block.inputs), ("VAR_OUTPUT", block.outputs)):
            for each in group:
                if each.name == name.upper():
                    return each.name, elementary(each.type), section
    return None


def field_names(type_: StType) -> list[str]:
    """Give the names that may follow a dot."""
    if isinstance(type_, Struct):
        return [f.name for f in type_.fields.values()]
    if isinstance(type_, Standard) and type_.block is STEP:
        return list(_OF_STEP)
    if isinstance(type_, Standard):
        return [f.name for f in (*type_.block.inputs, *type_.block.outputs)]
    return []


_OF_STEP = {"X": ("X", BOOL), "T": ("ET", TIME)}
"""What may follow the name of a step, and where it is stored."""

ENUM_BASE = INT
"""What an enumeration without a base type is stored as."""


def alike(one: StType, other: StType) -> bool:
    """Say whether two types store the same."""
    if isinstance(one, Struct) and isinstance(other, Struct):
        return one.name.upper() == other.name.upper()
    if isinstance(one, Scalar) and isinstance(other, Scalar):
        return one.base is other.base
    if type(one) is not type(other):
        return False
    mine, theirs = leaves("", one), leaves("", other)
    return [(a.count, a.type.base) for a in mine] == [(b.count, b.type.base) for b in theirs]


def is_instance(type_: StType) -> bool:
    """Say whether a variable of a type is an instance of a function block, or an array of such."""
    while isinstance(type_, Array):
        type_ = type_.of
    return isinstance(type_, Standard) or (isinstance(type_, Struct) and type_.unit != "")
