"""References: what `r^` leads to, REF of a variable, and the variables that references may lead to.

How they are stored is types.py (`Cell`), how places are found expr/places.py. Rule: a reference never leads to what
lives shorter than itself, nor to what nobody may write.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

from simplant.errors import Place
from simplant.expr import Address, Const, Ref
from simplant.expr.places import NULL, Home
from simplant.logic.core import Locate
from simplant.logic.st.adapt import Val
from simplant.logic.st.declared import FieldInit, File, Init, ListInit, Unit
from simplant.logic.st.own_places import OwnPlace
from simplant.logic.st.parts import every, expressions_of, within
from simplant.logic.st.referent import Referent
from simplant.logic.st.report import fail
from simplant.logic.st.scope import Symbol, UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.tree import Access, Call, Expression
from simplant.logic.st.types import Cell, Scalar, StType, leaves
from simplant.values import DINT, REFERENCE

if TYPE_CHECKING:
    from simplant.logic.st.spots import Spots

NOTHING: Final = Scalar(REFERENCE, NULL, initial=NULL)
"""The type of NULL, which fits any reference."""

_SHORT: Final = {
    "VAR_TEMP": "a VAR_TEMP lives for one scan only",
    "VAR_IN_OUT": "a VAR_IN_OUT is lent for one call only",
    "VAR_EXTERNAL": "nothing declares it",
}


def led(lowering: Spots, spot: Spot, node: Access, place: Place, *, looking: bool) -> Spot:
    """Go where a reference leads.

    Args:
        lowering: where it stands.
        spot: the reference.
        node: the reference as it was written.
        place: of the `^`.
        looking: the value there is read when the expression comes to it; else it is found before the statement.
    """
    type_ = spot.type
    if not isinstance(type_, Scalar) or type_.refers is None:
        fail(place, f"{node} is {type_.name}, not a reference", mend=f"declare it as REF_TO {type_.name}")
    spot.symbol.read = True
    referent, reference, label = type_.refers.type(), lowering.read(spot), str(node)
    symbol = Symbol(f"{label}^", "", referent, "VAR", place)
    if looking:
        return Spot(symbol, "", referent, through=reference, label=label)
    own = lowering.frame.fresh("deref")
    inner = leaves("", referent)
    for leaf in inner:
        lowering.frame.types[own + leaf.name] = leaf.type
    lowering.frame.types[f"{own}.%"] = Scalar(DINT, DINT.name)
    rows = tuple((own + leaf.name, leaf.name) for leaf in inner)
    lowering.before.append(Locate(reference, label, f"{own}.%", rows, lowering.origin(node.place)))
    return Spot(symbol, own, referent, Ref(f"{own}.%", DINT))


def reference_to(lowering: Spots, node: Call) -> Val:
    """Give REF(variable); raises `Fault` if no reference may lead there."""
    spot = _referred(lowering, node)
    first = leaves("", spot.type)[0]
    index = spot.index
    if index is None:  # references are laid out before anything is lowered, from what could be read
        fail(node.place, f"{node} leads nowhere", "what it leads to could not be read", "mend the other mistakes first")
    return Val(Address(spot.path + first.name, index, first.template), _type_of(spot.type))


def first_reference(lowering: Spots, node: Call, wanted: Scalar) -> str:
    """Give REF(variable) as a first value: the name of its place, known before the program runs."""
    spot = _referred(lowering, node)
    found = _type_of(spot.type)
    if wanted.refers is None or found.refers is None or wanted.refers.type().name != found.refers.type().name:
        fail(node.place, f"{found.name} does not fit {wanted.name}", mend="declare it as " + found.name)
    first = leaves("", spot.type)[0]
    leaf = next(n for n in leaves(spot.symbol.path, spot.symbol.type) if n.name == spot.path + first.name)
    if not isinstance(spot.index, Const):
        fail(node.place, "this place is not known before the program runs", mend="use literals and constants")
    name = Home(leaf.name, leaf.template, leaf.ranges).place(int(spot.index.value), first.template)
    return name if spot.symbol.is_global else OwnPlace(name)


def _type_of(type_: StType) -> Scalar:
    return Scalar(REFERENCE, f"REF_TO {type_.name}", initial=NULL, refers=Referent(lambda: type_))


def _referred(lowering: Spots, node: Call) -> Spot:
    values = [a.value for a in node.arguments]
    target = values[0] if len(values) == 1 else None
    if not isinstance(target, Access):
        fail(node.place, "REF takes one variable", mend="write REF(x)", length=3)
    spot = lowering.spot(target)
    symbol = spot.symbol
    symbol.read = symbol.written = True
    why = why_not(symbol, lowering.frame.unit)
    if spot.view is not None:
        why = "a part of an OVERLAP has no place of its own"
    if spot.is_part:
        why = "a part of a bit string or a text has no place of its own"
    if not leaves("", spot.type):
        why = f"{spot.type.name} holds nothing"
    if why:
        fail(target.place, f"no reference leads to {target}", why, length=len(target.name))
    return spot


def why_not(symbol: Symbol, unit: UnitInfo | None) -> str:
    """Say why no reference may lead to a variable; empty if one may."""
    if symbol.name.endswith("^"):  # what a reference leads to already
        return ""
    if symbol.constant:
        return "a constant is never written"
    if symbol.edge:
        return f"an input with {symbol.edge} is an edge, not a value"
    if symbol.at("%I"):
        return "the machine gives an input its value: copy it into a variable"
    if symbol.section in _SHORT:
        return _SHORT[symbol.section]
    inside = unit is not None and unit.tree.kind == "FUNCTION" and not symbol.is_global
    return "what a FUNCTION has lives for one call only" if inside else ""


def referred(unit: Unit) -> Iterator[str]:
    """Give the names, in capitals, of variables that REF is taken of in a unit."""
    for node in every(unit.statements):
        for expression in expressions_of(node):
            yield from _named(expression)
    for variable in unit.variables:
        yield from referred_at_first(variable.initial)


def referred_at_first(initial: Init | None) -> Iterator[str]:
    """Give the names of variables that REF is taken of in a first value."""
    match initial:
        case None:
            return
        case ListInit() | FieldInit():
            inner: Iterable[Init | None] = [item[-1] for item in initial.items]
            for each in inner:
                yield from referred_at_first(each)
        case _:
            yield from _named(initial)


def _named(expression: Expression) -> Iterator[str]:
    for each in within(expression):
        if isinstance(each, Call) and each.callee.name.upper() == "REF":
            for argument in each.arguments:
                if isinstance(argument.value, Access) and not argument.value.leads:
                    yield argument.value.name.upper()


def globals_referred(file: File) -> frozenset[str]:
    """Give the names, in capitals, of the globals that REF is taken of."""
    names: set[str] = set()
    for unit in file.units:
        own = {v.name.upper() for v in unit.variables if v.section.word not in ("VAR_EXTERNAL", "VAR_GLOBAL")}
        names |= set(referred(unit)) - own
    for variable in (*file.variables, *(v for c in file.configurations for v in c.variables)):
        names |= set(referred_at_first(variable.initial))
    return frozenset(names)


def led_to(symbols: Iterable[Symbol]) -> tuple[tuple[Home, ...], list[Symbol]]:
    """Give the rows that references lead to, and the variables among some that they are of."""
    homes: dict[str, Home] = {}
    led: list[Symbol] = []
    for symbol in symbols:
        cells = [leaf for leaf in leaves(symbol.path, symbol.type) if leaf.cell]
        homes |= {leaf.name: Home(leaf.name, leaf.template, leaf.ranges) for leaf in cells}
        led += [symbol] if cells else []
    return tuple(homes.values()), led


def as_cell(symbol: Symbol, unit: UnitInfo | None) -> None:
    """Let references lead to a variable, if they may."""
    if not why_not(symbol, unit) and not isinstance(symbol.type, Cell):
        symbol.type = Cell(symbol.type)
