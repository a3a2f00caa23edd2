"""Structures whose fields have addresses: where each stands in the bytes; fields that share them, read and written.

A STRUCT OVERLAP is stored as its bytes, the least of a number first (the standard leaves the order open); any other
structure as its fields. Rule: fields that cover one another without OVERLAP are wrong.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from math import prod
from typing import TYPE_CHECKING, Final

from simplant.errors import Place
from simplant.expr import Binary, Const, Expr, Function, Op, Ref, evaluate
from simplant.logic.core import Assign, Core
from simplant.logic.st.adapt import converted
from simplant.logic.st.declared import Structure
from simplant.logic.st.report import Report, fail
from simplant.logic.st.spot import Spot
from simplant.logic.st.types import (
    BYTES,
    Array,
    Overlap,
    Scalar,
    Struct,
    StructField,
    StType,
    elementary,
)
from simplant.values import BOOL, BYTE, DINT, TYPES, ElementaryType, Kind

if TYPE_CHECKING:
    from simplant.logic.st.moving import Moving
    from simplant.logic.st.spots import Spots

_RELATIVE: Final = re.compile(r"%([XBWDL])(\d+)(?:\.(\d+))?")
_BITS: Final = {"X": 1, "B": 8, "W": 16, "D": 32, "L": 64}
_STRINGS: Final = {8: "BYTE", 16: "WORD", 32: "DWORD", 64: "LWORD"}
MOST_BYTES: Final = 10_000


def laid_out(name: str, fields: dict[str, StructField], spec: Structure, report: Report) -> Struct | Overlap:
    """Lay out a structure whose fields have addresses, or share their bytes."""
    views: dict[str, tuple[int, int]] = {}
    taken: list[tuple[range, str]] = []
    end = 0
    for key, each in fields.items():
        start = _start(each, 0 if spec.overlap else -(-end // 8) * 8)
        bits = range(start, start + _bits_of(each.type, each.place or spec.place))
        for other, known in taken:
            if not spec.overlap and bits.start < other.stop and other.start < bits.stop:
                what, place = f"{each.name} covers {known}", each.place or spec.place
                report.error(place, what, "they share bits", "write STRUCT OVERLAP", len(each.name))
        taken.append((bits, each.name))
        views[key], end = divmod(start, 8), max(end, bits.stop)
    if not spec.overlap:
        return Struct(name, fields)
    first = next((each for each in fields.values() if each.initial is not None), None)
    if first is not None:
        why = "the fields of an OVERLAP share their bytes, so they begin with zeros"
        report.error(first.place or spec.place, f"{first.name} has a first value", why, length=len(first.name))
    return Overlap(name, fields, views, max(1, -(-end // 8)))


def _start(field: StructField, following: int) -> int:
    """Give the bit at which a field begins."""
    if not field.address:
        return following
    match = _RELATIVE.fullmatch(field.address)
    if match is None:
        assert field.place is not None, "a field of a structure has a place"
        fail(field.place, f"{field.address} is no address inside a structure", mend="write for instance %B2 or %X3.0",
             length=len(field.name))  # fmt: skip
    number = int(match[2]) * (8 if match[3] else _BITS[match[1]]) + int(match[3] or 0)
    return min(number, 8 * MOST_BYTES)


def _bits_of(type_: StType, place: Place) -> int:
    """Give how many bits a type takes; what stands in an array or a structure begins at a whole byte."""
    match type_:
        case Scalar() if type_.base is BOOL:
            return 1
        case Scalar() if type_.base.bits:
            return type_.base.bits
        case Scalar() if type_.base.kind is Kind.STRING:
            return 8 * (type_.length + 1)
        case Array():
            return 8 * _bytes_of(type_.of, place) * prod(b - a + 1 for a, b in type_.ranges)
        case Struct() if not type_.unit:
            views, end = offsets(type_), 0
            for key, each in type_.fields.items():
                end = max(end, 8 * views[key][0] + views[key][1] + _bits_of(each.type, place))
            return end
        case Overlap():
            return 8 * type_.size
        case _:
            fail(place, f"{type_.name} has no layout", "only values have one")


def _bytes_of(type_: StType, place: Place) -> int:
    return -(-_bits_of(type_, place) // 8)


def offsets(type_: Struct | Overlap) -> dict[str, tuple[int, int]]:
    """Give the byte and the bit at which each field of a structure begins."""
    if isinstance(type_, Overlap):
        return type_.views
    found: dict[str, tuple[int, int]] = {}
    end = 0
    for key, each in type_.fields.items():
        assert each.place is not None, "a field of a structure has a place"
        start = _start(each, -(-end // 8) * 8)
        found[key], end = divmod(start, 8), max(end, start + _bits_of(each.type, each.place))
    return found


# fields in bytes


def _reckoned(made: Binary) -> Expr:
    steady = isinstance(made.left, Const) and isinstance(made.right, Const)
    return Const(evaluate(made, {}), DINT) if steady else made


def _sum(index: Expr, by: int) -> Expr:
    return index if by == 0 else _reckoned(Binary(Op.ADD, index, Const(by, DINT), DINT))


def field_view(spot: Spot, name: str, type_: StType) -> Spot:
    """Go to a field of an OVERLAP, or of what stands in one."""
    assert isinstance(spot.type, Struct | Overlap), "only a structure has fields"
    byte, bit = offsets(spot.type)[name.upper()]
    index: Expr = Const(0, DINT) if spot.index is None else spot.index
    path = spot.path
    if spot.view is None:
        assert isinstance(spot.type, Overlap), "bytes begin with one"
        path += BYTES
        if spot.index is not None:
            index = _reckoned(Binary(Op.MUL, spot.index, Const(spot.type.size, DINT), DINT))
    return replace(spot, path=path, type=type_, index=_sum(index, byte), view=bit, cell=False)


def element_view(spot: Spot, flat: Expr) -> Spot:
    """Go to an element of an array in an OVERLAP."""
    assert isinstance(spot.type, Array), "only an array has elements"
    assert spot.index is not None, "bytes are counted"
    size = Const(_bytes_of(spot.type.of, spot.symbol.place), DINT)
    index = _reckoned(Binary(Op.ADD, spot.index, _reckoned(Binary(Op.MUL, flat, size, DINT)), DINT))
    return replace(spot, type=spot.type.of, index=index, view=0)


def _byte(spot: Spot, number: int) -> Spot:
    assert spot.index is not None, "bytes are counted"
    return replace(spot, type=elementary(BYTE), index=_sum(spot.index, number), view=None)


def read_view(lowering: Spots, spot: Spot) -> Expr:
    """Give the value of a field in the bytes of an OVERLAP."""
    assert isinstance(spot.type, Scalar), "only a single value is read"
    base = spot.type.base
    if base is BOOL:
        return Function("BIT", (lowering.read(_byte(spot, 0)), Const(spot.view or 0, DINT), Const(1, DINT)), BOOL)
    _viewed(spot, base)
    pieces = tuple(lowering.read(_byte(spot, n)) for n in range(base.bits // 8))
    raw = TYPES[_STRINGS[base.bits]] if base.kind is Kind.REAL else base
    return converted(Function("JOINED", pieces, raw), base)


def put_view(lowering: Moving, spot: Spot, value: Expr, place: Place) -> list[Core]:
    """Write a field in the bytes of an OVERLAP."""
    assert isinstance(spot.type, Scalar), "only a single value is written"
    base = spot.type.base
    if base is BOOL:
        whole = _byte(spot, 0)
        arguments = (lowering.read(whole), Const(spot.view or 0, DINT), Const(1, DINT), value)
        return lowering.put(whole, Function("WITH_BIT", arguments, BYTE), place)
    _viewed(spot, base)
    raw = TYPES[_STRINGS[base.bits]] if base.kind is Kind.REAL else base
    own = lowering.frame.fresh("bytes")
    lowering.frame.types[own] = elementary(raw)
    made: list[Core] = [Assign(own, converted(value, raw), lowering.origin(place))]
    for number in range(base.bits // 8):
        piece = Function("PART", (Ref(own, raw), Const(number, DINT), Const(8, DINT)), BYTE)
        made += lowering.put(_byte(spot, number), piece, place)
    return made


def _viewed(spot: Spot, base: ElementaryType) -> None:
    if base.bits % 8 or spot.view:
        fail(spot.symbol.place, f"{spot.symbol.name} holds a {base.name} that cannot be looked at in an OVERLAP",
             "only whole bytes and single bits can", length=len(spot.symbol.name))  # fmt: skip


def pairs(target: Spot, source: Spot) -> Iterator[tuple[Spot, Spot]]:
    """Give each single value of what is copied into or out of an OVERLAP, with where it comes from."""
    match target.type, source.type:
        case Scalar(), _:
            yield target, source
        case Array(), Array():
            for number in range(prod(b - a + 1 for a, b in target.type.ranges)):
                yield from pairs(_element(target, number), _element(source, number))
        case ((Struct() | Overlap()), (Struct() | Overlap())):
            for key, each in target.type.fields.items():
                other = source.type.fields[key]
                yield from pairs(_inner(target, each), _inner(source, other))
        case _:
            fail(target.symbol.place, f"{target.symbol.name} cannot be copied", "it is no structure of values")


def _inner(spot: Spot, field: StructField) -> Spot:
    if spot.view is not None or isinstance(spot.type, Overlap):
        return field_view(spot, field.name, field.type)
    return spot.field(field.name, field.type, field.section)


def _element(spot: Spot, number: int) -> Spot:
    assert isinstance(spot.type, Array), "only an array has elements"
    flat: Expr = Const(number, DINT)
    if spot.view is not None:
        return element_view(spot, flat)
    if spot.index is not None:
        count = prod(b - a + 1 for a, b in spot.type.ranges)
        flat = _reckoned(Binary(Op.ADD, _reckoned(Binary(Op.MUL, spot.index, Const(count, DINT), DINT)), flat, DINT))
    return spot.element(flat)
