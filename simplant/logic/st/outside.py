"""What may be done from outside with the variables of an instance, and within with the inputs of a unit.

Source: IEC 61131-3:2003 Table 32 (from memory): outside, outputs are read and inputs are written, and nothing else;
inside, inputs are only read. Rule: what people do and what has one meaning all the same is loose; what would change a
variable behind the back of its block is wrong.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simplant.logic.st.report import fail
from simplant.logic.st.scope import Frame
from simplant.logic.st.spot import Spot
from simplant.logic.st.tree import Access, Call
from simplant.logic.st.types import Struct

if TYPE_CHECKING:
    from simplant.logic.st.spots import Spots

_OWN = ("VAR", "VAR_TEMP")
_CONTROLS = ("EN", "ENO")


def entered(frame: Frame, spot: Spot, name: str, section: str) -> str:
    """Give what says whose own variable is reached on the way to a field: `s of F`; empty if it is none's."""
    if section not in _OWN or spot.inner or not isinstance(spot.type, Struct):
        return spot.inner
    unit = frame.names.units.get(spot.type.unit.upper())
    if unit is not None and name.upper() in unit.symbols:
        unit.symbols[name.upper()].read = True
    return f"{name} of {spot.type.name}"


def looked_at(lowering: Spots, node: Access, spot: Spot) -> None:
    """Tell that a variable of an instance is read which is none of its outputs."""
    length = len(node.name)
    if spot.inner:
        what = f"{node} reads {spot.inner}, a variable that the block keeps for itself"
        lowering.report.loose(node.place, what, "declare it as VAR_OUTPUT", length)
    elif spot.section == "VAR_INPUT":
        what = f"{node} reads an input of an instance from outside"
        lowering.report.loose(node.place, what, "read the variable that is given to it", length)


def written(lowering: Spots, node: Access, spot: Spot) -> None:
    """Let a variable be written, as far as instances and inputs are concerned.

    Raises:
        Fault: it is a block's own, or an output of an instance, or an input that the machine gives a value.
    """
    symbol, length, unit = spot.symbol, len(node.name), lowering.frame.unit
    if spot.inner:
        what = f"{node} writes {spot.inner}, a variable that the block keeps for itself"
        fail(node.place, what, "only the block itself writes it", "declare it as VAR_INPUT", length)
    if spot.section == "VAR_OUTPUT":
        fail(node.place, f"{node} is an output of {symbol.name}", "only the block itself writes it", length=length)
    if symbol.section != "VAR_INPUT" or spot.section not in ("", "FIELD"):
        return
    if unit is None or unit.tree.kind == "PROGRAM" or symbol.edge:
        fail(node.place, f"{node} is an input", "only a caller gives it a value", "use a variable", length)
    what, told = f"{symbol.name} is an input of {unit.tree.name} and is written in it", lowering.frame.told
    if what not in told:
        told.add(what)
        lowering.report.loose(node.place, what, "copy it into a variable, and write that", length)


def mixed(lowering: Spots, node: Call) -> None:
    """Tell of a call with both named and unnamed values."""
    named = [a for a in node.arguments if a.name and a.name.upper() not in _CONTROLS]
    if named and len(named) < len([a for a in node.arguments if a.name.upper() not in _CONTROLS]):
        what = f"{node.callee} is given both named and unnamed values"
        lowering.report.loose(node.place, what, "name all of them or none", len(node.callee.name))


__all__ = ["entered", "looked_at", "mixed", "written"]
