"""Lowering calls of functions: the standard's and the user's, with positional and named arguments, EN and ENO.

Calls of function block instances are instances.py. Rule: a wrong argument is said at its place, with the names that
the function really has.
"""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING, Final

from simplant.errors import nearest
from simplant.expr import Const, Expr, Ref
from simplant.logic.core import Assign, Core, Perform, Row
from simplant.logic.st.adapt import Val, converted, literal
from simplant.logic.st.enabling import gated, is_gated
from simplant.logic.st.no_function import no_function
from simplant.logic.st.outside import mixed
from simplant.logic.st.references import reference_to
from simplant.logic.st.report import counted, fail
from simplant.logic.st.scope import Symbol, UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.standard import Given, Signature, signature
from simplant.logic.st.tree import Access, Argument, Call, Expression
from simplant.logic.st.types import Array, Cell, Scalar, alike, elementary, leaves
from simplant.values import DINT

if TYPE_CHECKING:
    from simplant.logic.st.moving import Moving as Lowering


MOST_VALUES: Final = 60
"""Values that a function of any number of them takes."""


def call_value(lowering: Lowering, node: Call, wanted: Scalar | None) -> Val:
    """Lower a call of a function in an expression."""
    name = node.callee.name.upper()
    unit = lowering.frame.names.units.get(name)
    own = unit.symbols if unit is not None else {}
    if is_gated(node, own):
        return _enabled(lowering, node, wanted, own)
    if unit is not None and unit.tree.kind == "FUNCTION" and not node.callee.selectors:
        return _user(lowering, node, unit)
    if name == "REF" and unit is None and lowering.frame.find(name) is None:
        return reference_to(lowering, node)
    if name in ("LOWER_BOUND", "UPPER_BOUND") and unit is None:
        return _bound_of(lowering, node, name)
    found = None if node.callee.selectors else signature(name)
    if found is None:
        found = _of_enumeration(lowering, node, name)
    if found is None:
        no_function(lowering, node)
        raise AssertionError("unreachable: the line above fails")
    return _standard(lowering, node, name, found, wanted)


def _of_enumeration(lowering: Lowering, node: Call, name: str) -> Signature | None:
    """Read `Mode_TO_INT(x)` for an enumeration Mode."""
    source, mark, target = name.partition("_TO_")
    known = lowering.frame.names.types.get(source)
    if not mark or not isinstance(known, Scalar) or not known.is_enum:
        return None
    shown = node.callee.name
    lowering.report.loose(node.place, f"{shown} is no function of the standard", f"write TO_{target}(x)", len(shown))
    return signature(f"TO_{target}")


def _enabled(lowering: Lowering, node: Call, wanted: Scalar | None, own: Container[str]) -> Val:
    """Lower a call with EN or ENO; where it is not done, it gives what a variable of its type begins with."""
    result, origin = lowering.frame.fresh("call"), lowering.origin(node.place)

    def lower(call: Call) -> tuple[list[Core], list[Core]]:
        made = call_value(lowering, call, wanted)
        lowering.frame.types[result] = made.type
        default = Assign(result, Const(made.type.initial, made.type.base), origin)
        return [Assign(result, made.expr, origin)], [default]

    gated(lowering, node, own, lower)
    type_ = lowering.frame.types[result]
    return Val(Ref(result, type_.base), type_)


def _standard(lowering: Lowering, node: Call, name: str, found: Signature, wanted: Scalar | None) -> Val:
    placed = _in_order(node, name, found)
    hint = wanted if name in ("MAX", "MIN", "LIMIT", "SEL", "MUX") else None
    values = [lowering.value(value, hint) for value in placed]
    return found.handler(Given(lowering, name, node.place, values, [v.place for v in placed], wanted))


def _in_order(node: Call, name: str, found: Signature) -> list[Expression]:
    """Give the arguments of a standard function in the order of its parameters."""
    positional = [a.value for a in node.arguments if not a.name and a.value is not None]
    if len(positional) == len(node.arguments):
        placed = positional
    elif positional:
        fail(node.place, f"{name} is given both named and unnamed values", mend="name all of them or none")
    else:
        placed = _named(node, name, found)
    most = MOST_VALUES if found.more else len(found.parameters)
    if not found.least <= len(placed) <= most:
        takes = f"{found.least} to {most}" if found.more else str(found.least)
        values = "value" if takes == "1" else "values"
        mend = f"its inputs are {', '.join(found.parameters)}"
        fail(node.place, f"{name} takes {takes} {values} but is given {len(placed)}", mend=mend, length=len(name))
    return placed


def _named(node: Call, name: str, found: Signature) -> list[Expression]:
    places: dict[str, Expression] = {}
    stem = found.parameters[-1].rstrip("0123456789")
    for argument in node.arguments:
        key = argument.name.upper()
        known = key in found.parameters or (found.more and key.startswith(stem) and key[len(stem) :].isdigit())
        if not known or argument.value is None:
            mend = nearest(key, found.parameters)
            fail(argument.place, f"{name} has no input {argument.name!r}", mend=mend, length=len(argument.name))
        places[key] = argument.value
    ordered = sorted(places, key=lambda k: (found.parameters.index(k) if k in found.parameters else 99, len(k), k))
    return [places[k] for k in ordered]


# functions of the user's own


def _user(lowering: Lowering, node: Call, unit: UnitInfo) -> Val:
    result = unit.result
    if not isinstance(result, Scalar):
        shown = "nothing" if result is None else result.name
        fail(node.place, f"{unit.tree.name} gives {shown}, not one value", mend="call it as a statement")
    target = lowering.frame.fresh("call")
    perform_function(lowering, node, unit, {unit.tree.name: target})
    lowering.frame.types[target] = result
    return Val(Ref(target, result.base), result)


def perform_function(lowering: Lowering, node: Call, unit: UnitInfo, targets: dict[str, str]) -> None:
    """Put the call of a user's function before the present statement; `targets`: where results go, by name."""
    unit = as_called(lowering, node, unit)
    mixed(lowering, node)
    routine = lowering.project.routine(unit, node.place)
    given = bound(node, unit, unit.of("VAR_INPUT"), unit.of("VAR_IN_OUT"), unit.of("VAR_OUTPUT"))
    rows: dict[str, Row] = {}
    values: dict[str, Expr] = {}
    after: list[tuple[Argument, Symbol, str]] = []
    back: list[Core] = []
    for symbol in unit.of("VAR_INPUT"):
        lowering.pass_input(symbol, given.get(symbol.name.upper()), values, rows, node.place)
    for symbol in unit.of("VAR_IN_OUT"):
        back += lowering.pass_in_out(symbol, given[symbol.name.upper()], values, rows, targets)
    for symbol in unit.of("VAR_OUTPUT"):
        argument = given.get(symbol.name.upper())
        if argument is not None and argument.target is not None:
            own = lowering.frame.fresh("call")
            lowering.begun(own, symbol.type)
            for inner, outer in zip(leaves(symbol.path, symbol.type), leaves(own, symbol.type), strict=True):
                targets[inner.name] = outer.name
            after.append((argument, symbol, own))
    for leaf in (n for s in unit.given_back() for n in leaves(s.path, s.type, s.initial) if n.is_row):
        rows[leaf.name] = Row(targets.get(leaf.name) or lowering.spare_row(leaf))
    lowering.pass_globals(unit, values, rows, targets)
    arguments = tuple(rows[p] if p in rows else values[p] for p in routine.parameters)
    results = tuple(targets[r] if r in targets else lowering.spare(routine, r) for r in routine.results)
    lowering.before += [Perform(routine, arguments, results, lowering.origin(node.place)), *back]
    for argument, symbol, name in after:
        lowering.before += _taken(lowering, argument, symbol, name, standard=unit.standard)


def as_called(lowering: Lowering, node: Call, unit: UnitInfo) -> UnitInfo:
    """Give a unit as it is for what a call gives to it: ARRAY[*], and variables that references lead to."""
    open_ones = {k: s for k, s in unit.symbols.items() if isinstance(s.type, Array) and s.type.open}
    if not open_ones and not any(_has_place(lowering, argument) for argument in node.arguments):
        return unit
    in_outs = unit.of("VAR_IN_OUT")
    given = bound(node, unit, unit.of("VAR_INPUT"), in_outs, unit.of("VAR_OUTPUT"))
    ranges: dict[str, tuple[tuple[int, int], ...]] = {}
    for key, symbol in open_ones.items():
        argument = given.get(key)
        value = (argument.value or argument.target) if argument is not None else None
        spot = lowering.spot(value) if isinstance(value, Access) else None
        assert isinstance(symbol.type, Array), "an ARRAY[*]"
        fits = spot is not None and isinstance(spot.type, Array) and len(spot.type.ranges) == len(symbol.type.ranges)
        if spot is None or not fits or not isinstance(spot.type, Array):
            mend = f"write {symbol.name} := a variable"
            fail(node.place, f"{symbol.name} of {unit.tree.name} needs an array for ARRAY[*]", mend=mend)
        ranges[key] = spot.type.ranges
    led = (s for s in in_outs if not isinstance(s.type, Array) and _has_place(lowering, given[s.name.upper()]))
    ranges |= {symbol.name.upper(): () for symbol in led}
    return lowering.project.version(unit, ranges) if ranges else unit


def _has_place(lowering: Lowering, argument: Argument) -> bool:
    """Say whether a call is given a whole variable that references lead to."""
    value = argument.value
    if not isinstance(value, Access) or value.selectors:
        return False
    symbol = lowering.frame.find(value.name)
    return symbol is not None and isinstance(symbol.type, Cell)


def _bound_of(lowering: Lowering, node: Call, name: str) -> Val:
    """Give LOWER_BOUND(array, dimension) or UPPER_BOUND(array, dimension)."""
    values = [a.value for a in node.arguments]
    spot = lowering.spot(values[0]) if values and isinstance(values[0], Access) else None
    if len(values) != 2 or values[1] is None or spot is None or not isinstance(spot.type, Array):
        fail(node.place, f"{name} takes an array and the number of an index", mend=f"write {name}(a, 1)")
    number = int(lowering.constant(values[1], elementary(DINT), "the number of an index"))
    if not 1 <= number <= len(spot.type.ranges):
        fail(node.place, f"the array has {len(spot.type.ranges)} indices, not {number}")
    return literal(spot.type.ranges[number - 1][name == "UPPER_BOUND"])


def _taken(lowering: Lowering, argument: Argument, symbol: Symbol, name: str, *, standard: bool) -> list[Core]:
    """Write what a function gave back by a parameter; an output of the standard's own fits any whole number."""
    access = argument.target
    assert access is not None, "there is somebody who takes it"
    target = lowering.writable(access)
    if not isinstance(symbol.type, Scalar):
        if not alike(target.type, symbol.type):
            fail(access.place, f"{symbol.name} is {symbol.type.name}, {access} is {target.type.name}")
        lowering.same_bounds(access, target.type, symbol.type, symbol.name)
        return lowering.copy(target, Spot(symbol, name, symbol.type), access.place)
    value = lowering.turned(argument, Val(Ref(name, symbol.type.base), symbol.type))
    whole = standard and isinstance(target.type, Scalar) and target.type.base.is_integer
    if whole and symbol.type.base.is_integer:
        assert isinstance(target.type, Scalar), "a whole number"
        return lowering.put(target, converted(value.expr, target.type.base), access.place)
    return lowering.store(access, value, access.place)


def bound(node: Call, unit: UnitInfo, *groups: list[Symbol]) -> dict[str, Argument]:
    """Give the arguments of a call by the name of the parameter (in capitals) that each is for.

    Raises:
        Fault: a parameter does not exist, is given twice or the wrong way, or a VAR_IN_OUT is left out.
    """
    inputs, in_outs, outputs = groups
    paths = {s.path for s in (*inputs, *in_outs)}
    order = [s for s in unit.symbols.values() if s.path in paths]
    names = {s.name.upper(): s for s in (*order, *outputs)}
    found: dict[str, Argument] = {}
    for number, argument in enumerate(node.arguments):
        if not argument.name and number >= len(order):
            fail(argument.place, f"{unit.tree.name} takes {counted(len(order), 'value')}, this is one more")
        key = argument.name.upper() or order[number].name.upper()
        if key not in names:
            known = [s.name for s in names.values()]
            what = f"{unit.tree.name} has no parameter {argument.name!r}"
            fail(argument.place, what, mend=nearest(argument.name, known), length=len(argument.name))
        _check_way(argument, names[key], key in found, unit)
        found[key] = argument
    for symbol in in_outs:
        if symbol.name.upper() not in found:
            what = f"{unit.tree.name} is not given {symbol.name}"
            fail(node.place, what, "a VAR_IN_OUT must be given in every call", f"write {symbol.name} := a variable")
    return found


def _check_way(argument: Argument, symbol: Symbol, twice: bool, unit: UnitInfo) -> None:  # noqa: FBT001 - a fact
    if twice:
        fail(argument.place, f"{symbol.name} is given twice to {unit.tree.name}")
    output = symbol.section == "VAR_OUTPUT"
    if output and argument.value is not None:
        what = f"{symbol.name} is an output of {unit.tree.name}"
        fail(argument.place, what, "':=' gives a value to an input", f"write {symbol.name} => variable")
    if not output and argument.target is not None:
        what = f"{symbol.name} is an input of {unit.tree.name}"
        fail(argument.place, what, "'=>' takes a value from an output", f"write {symbol.name} := value")


__all__ = ["bound", "call_value", "perform_function"]
