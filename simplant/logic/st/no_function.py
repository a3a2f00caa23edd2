"""What is told of a call of what is no function: a method, an instance, an array, a type, a name from elsewhere.

What is a function is calls.py. Rule: the reader learns what the name is, and how what is meant is written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NoReturn

from simplant.errors import nearest
from simplant.logic.st.bases import BASES, block_named
from simplant.logic.st.fields import field_type
from simplant.logic.st.foreign import FUNCTIONS, foreign
from simplant.logic.st.report import fail
from simplant.logic.st.standard import known_functions
from simplant.logic.st.tree import Access, Call, Field
from simplant.logic.st.types import Scalar, Standard, Struct

if TYPE_CHECKING:
    from simplant.logic.st.moving import Moving as Lowering


def no_function(lowering: Lowering, node: Call) -> NoReturn:
    """Tell what a called name is, since it is no function."""
    name, length = str(node.callee), len(node.callee.name)
    symbol = lowering.frame.find(node.callee.name)
    told_method(lowering, node)
    if symbol is not None and isinstance(symbol.type, Standard | Struct):
        what = f"{name} is called inside an expression"
        fail(
            node.place, what, "an instance is called by a statement of its own", f"call it, then read {name}.Q", length
        )
    if symbol is not None:
        mend = "write [ ] around an index"
        fail(node.place, f"{name} is {symbol.type.name}, not a function", mend=mend, length=length)
    _conversion(lowering, node, name)
    unit = lowering.frame.names.units.get(name.upper())
    if unit is not None and unit.tree.kind == "PROGRAM":
        what, mend = f"{name} is a PROGRAM, not a function", "write a FUNCTION_BLOCK, or a CONFIGURATION that runs both"
        fail(node.place, what, mend=mend, length=length)
    if unit is not None or block_named(name.upper()) is not None:
        mend = f"declare an instance, call it, then read its outputs: x : {name};"
        fail(node.place, f"{name} is a function block, not a function", mend=mend, length=length)
    if node.callee.name.upper() in FUNCTIONS:
        foreign(node.place, f"the function {name}", FUNCTIONS[node.callee.name.upper()], length)
    own = [u.tree.name for u in lowering.frame.names.units.values() if u.tree.kind == "FUNCTION"]
    known = {n.upper(): n for n in (*own, *known_functions())}
    told = nearest(node.callee.name.upper(), known)
    mend = told if told.startswith("close") else "declare it as a FUNCTION"
    fail(node.place, f"there is no function {name!r}", mend=mend, length=length)


def _conversion(lowering: Lowering, node: Call, name: str) -> None:
    """Tell of a type, or a conversion to an enumeration, where a function should be."""
    length = len(node.callee.name)
    if name.upper() in BASES and name.upper() not in FUNCTIONS:
        foreign(node.place, f"the type {name} as a function", f"write TO_{name.upper()}(x) instead", length)
    known = lowering.frame.names.types.get(name.upper().rpartition("TO_")[2])
    if isinstance(known, Scalar) and known.is_enum and known.words:
        first, number = next(iter(known.words.values()))
        mend = f"write CASE x OF {number}: y := {first}; ... END_CASE"
        fail(node.place, f"{name} makes no {known.name} of a number", "there is no such function", mend, length)


def told_method(lowering: Lowering, node: Call) -> None:
    """Name a call of a method: of an instance there is nothing by that name."""
    if not node.callee.selectors or lowering.frame.find(node.callee.name) is None:
        return
    *before, last = node.callee.selectors
    spot = lowering.spot(Access(node.callee.place, node.callee.name, tuple(before)))
    if isinstance(last, Field) and field_type(spot.type, last.name) is None:
        instead = f"call the instance and set an input instead: {node.callee.name}(...)"
        foreign(node.place, f"the method call {node.callee}()", instead, len(str(node.callee)))


__all__ = ["no_function", "told_method"]
