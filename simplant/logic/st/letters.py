"""Single letters of texts, `s[1]`, as edition 3 has them (from memory: IEC 61131-3:2013, 6.4.2.2): from 1, each a CHAR.

A place beyond the declared length is told before the program runs, one beyond the text that is there when it runs.
Rule: a letter is read and written where it is; writing never makes a text longer.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simplant.expr import Expr, Function
from simplant.logic.st.adapt import converted
from simplant.logic.st.operators import kind_of
from simplant.logic.st.report import fail
from simplant.logic.st.spot import Spot
from simplant.logic.st.tree import Index
from simplant.logic.st.types import Scalar, elementary
from simplant.values import DINT, STRING, Kind

if TYPE_CHECKING:
    from simplant.logic.st.spots import Spots


def is_text(spot: Spot) -> bool:
    """Say whether there is a text, which has letters."""
    type_ = spot.type
    return isinstance(type_, Scalar) and type_.base.kind is Kind.STRING and type_.name not in ("CHAR", "WCHAR")


def letter(lowering: Spots, spot: Spot, selector: Index) -> Spot:
    """Go to a letter of a text."""
    assert isinstance(spot.type, Scalar), "a text"
    if len(selector.values) != 1:
        fail(selector.place, f"{spot.symbol.name} is a text, which has one index", mend=f"write {spot.symbol.name}[1]")
    (node,) = selector.values
    given = lowering.value(node, elementary(DINT))
    if given.type.base.kind is not Kind.INTEGER:
        fail(node.place, f"the place of a letter is {kind_of(given)}", "it needs a whole number")
    if isinstance(given.constant, int) and not 1 <= given.constant <= spot.type.length:
        what = f"{spot.symbol.name} has no letter {given.constant}"
        fail(node.place, what, f"its letters go from 1 to {spot.type.length}")
    base = spot.type.base
    one = Scalar(base, "CHAR" if base is STRING else "WCHAR", length=1, initial="")
    return replace(spot, type=one, letter=converted(given.expr, DINT), inside=spot.type)


def read_letter(lowering: Spots, spot: Spot, at: Expr) -> Expr:
    """Give a letter."""
    whole = lowering.read(spot.whole())
    return Function("LETTER_AT", (whole, at), whole.type)


def with_letter(lowering: Spots, spot: Spot, at: Expr, value: Expr) -> Expr:
    """Give the text with another letter."""
    whole = lowering.read(spot.whole())
    return Function("WITH_LETTER", (whole, at, value), whole.type)
