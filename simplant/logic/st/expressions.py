"""Lowering expressions: typed, checked trees from what was read.

Calls of the user's functions become statements before the one they stand in (the standard leaves open whether AND and
OR look at all their operands). Rule: a type is never guessed; what does not fit is said at its place.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from simplant.errors import Place, ProgramError
from simplant.expr import Const, Expr, Op, Unary, evaluate
from simplant.expr.places import NULL
from simplant.expr.rows import flattened
from simplant.logic.st.adapt import Val, adapt, literal
from simplant.logic.st.bare import is_constant
from simplant.logic.st.operators import Operators
from simplant.logic.st.outside import looked_at
from simplant.logic.st.parts import in_a_row
from simplant.logic.st.references import NOTHING
from simplant.logic.st.report import fail
from simplant.logic.st.slips import told_slip
from simplant.logic.st.spots import Spots
from simplant.logic.st.tree import Access, Call, Expression, Field, Infix, Literal, Prefix
from simplant.logic.st.types import Scalar, Standard, elementary
from simplant.values import (
    BOOL,
    REFERENCE,
    Kind,
    Value,
)

LONG: Final = 40
"""Operators in a row that are joined one after the other; more of logic are halved, of numbers are one function."""


class Lowering(Spots, Operators):
    """Lowers the expressions of one frame.

    Args:
        frame: where they stand.
        project: gives the routines of user-written units.

    Attributes:
        before: statements that must run before the one that is being lowered.
    """

    def value(self, node: Expression, wanted: Scalar | None = None) -> Val:
        """Lower an expression; `wanted` only chooses between functions that differ in nothing but their result."""
        match node:
            case Literal():
                return self._literal(node)
            case Access():
                return self._variable(node)
            case Call():
                return self.call(node, wanted)
            case Prefix():
                return self._prefix(node)
            case Infix():
                return self._infix(node, wanted)

    def _infix(self, node: Infix, wanted: Scalar | None) -> Val:
        if not isinstance(node.left, Infix):
            left, right = self.value(node.left, wanted), self.value(node.right, wanted)
            told_slip(node, left, right)
            return self.joined(node.operator, left, right, node.place, wanted)
        first, row = in_a_row(node)
        values = [self.value(each, wanted) for each in (first, *(operator.right for operator in row))]
        if len(row) > LONG and node.operator in ("AND", "OR", "XOR"):
            return self._halved(values, row)
        made = values[0]
        for operator, right in zip(row, values[1:], strict=True):
            told_slip(operator, made, right)
            made = self.joined(operator.operator, made, right, operator.place, wanted)
            if len(row) > LONG:
                made = replace(made, expr=flattened(made.expr))
        return made

    def _halved(self, values: Sequence[Val], row: Sequence[Infix]) -> Val:
        """Join values half and half, which is the same for logic, and no deeper than it must be."""
        if len(values) == 1:
            return values[0]
        middle = len(values) // 2
        left, right = self._halved(values[:middle], row[: middle - 1]), self._halved(values[middle:], row[middle:])
        return self.joined(row[middle - 1].operator, left, right, row[middle - 1].place)

    def call(self, node: Call, wanted: Scalar | None) -> Val:
        """Lower a call of a function: see instances.py, which has all that a call needs."""
        raise NotImplementedError

    def as_type(self, node: Expression, wanted: Scalar, what: str) -> Expr:
        """Lower an expression to a type."""
        return adapt(self.value(node, wanted), wanted, node.place, self.report, what)

    def condition(self, node: Expression, what: str) -> Expr:
        """Lower a condition."""
        given = self.value(node)
        if given.type.base is not BOOL and not given.open:
            mend = "compare it: x <> 0" if given.type.base.is_number or given.type.base.is_bits else ""
            fail(node.place, f"{what} is {given.type.name}", "a condition is BOOL", mend)
        return adapt(given, elementary(BOOL), node.place, self.report, what)

    def constant(self, node: Expression, wanted: Scalar | None, what: str) -> Value:
        """Lower an expression that must be known now; give its value."""
        given = self.value(node, wanted)
        expr = adapt(given, wanted, node.place, self.report, what) if wanted else given.expr
        if not is_constant(expr):
            fail(node.place, f"{what} is not known before the program runs", mend="use literals and constants")
        try:
            return evaluate(expr, {})
        except ProgramError as error:
            fail(node.place, error.what, error.why, error.mend)

    def _literal(self, node: Literal) -> Val:
        if node.enum:
            return self._word(node.place, node.text, node.enum)
        if node.type is None:
            return literal(node.value)
        length = len(node.value) if isinstance(node.value, str) else 0
        return Val(Const(node.value, node.type), Scalar(node.type, node.type.name, length=length))

    def _word(self, place: Place, word: str, enum: str = "") -> Val:
        """Give a name of an enumeration."""
        meant = self.frame.names.words.get(word.upper(), [])
        if enum:
            meant = [m for m in meant if m[0].name.upper() == enum.upper()]
            if not meant:
                known = self.frame.names.types.get(enum.upper())
                words = [w for w, _ in known.words.values()] if isinstance(known, Scalar) and known.words else []
                mend = f"its names: {', '.join(words)}" if words else "write for instance INT#5, T#250ms"
                fail(place, f"{enum}#{word} is nothing", mend=mend, length=len(enum) + len(word) + 1)
        if len(meant) > 1:
            names = ", ".join(f"{m[0].name}#{word}" for m in meant)
            fail(place, f"{word!r} is a name of several enumerations", mend=f"write one of: {names}", length=len(word))
        type_, value = meant[0]
        return Val(Const(value, type_.base), type_)

    def _variable(self, node: Access) -> Val:
        if not node.selectors and self.frame.find(node.name) is None and node.name.upper() in self.frame.names.words:
            return self._word(node.place, node.name)
        dotted = self._dotted_word(node)
        if dotted is not None:
            return dotted
        if node.name.upper() == NULL and not node.selectors and self.frame.find(node.name) is None:
            return Val(Const(NULL, REFERENCE), NOTHING)
        spot = self.spot(node, looking=True)
        if spot.through is not None and spot.elapsed is not None:  # ET is made of all that a timer stores
            spot = self.spot(node)
        if not isinstance(spot.type, Scalar):
            fail(
                node.place,
                f"{node} is {spot.type.name}, not one value",
                mend="name a part of it",
                length=len(node.name),
            )
        looked_at(self, node, spot)
        spot.symbol.read = True
        return Val(self.read(spot), spot.type)

    def _dotted_word(self, node: Access) -> Val | None:
        """Read `Type.name` as the name of an enumeration, which the standard writes `Type#name`."""
        known = self.frame.names.types.get(node.name.upper())
        symbol = self.frame.find(node.name)
        if not isinstance(known, Scalar) or not known.words or not (symbol is None or isinstance(symbol.type, Scalar)):
            return None
        match node.selectors:
            case (Field(name=word),) if word.upper() in known.words:
                what = f"{node} names a value of a type"
                self.report.loose(node.place, what, f"write {node.name}#{word}", len(str(node)))
                return self._word(node.place, word, node.name)
            case _:
                return None

    def _prefix(self, node: Prefix) -> Val:
        given = self.value(node.operand)
        if node.operator == "-":
            if given.constant is not None and given.open:
                value = given.constant
                assert isinstance(value, int | float), "a bare number"
                return literal(-value)
            if given.type.base.kind not in (Kind.INTEGER, Kind.REAL, Kind.TIME) or given.type.is_enum:
                fail(node.place, f"'-' stands before a value of type {given.type.name}", "it needs a number")
            return Val(Unary(Op.NEG, given.expr, given.type.base), elementary(given.type.base), given.open)
        mend = "write NOT (a > b)" if isinstance(node.operand, Access | Call) else ""
        return self.inverted(given, node.place, mend)


__all__ = ["Lowering", "Standard"]
