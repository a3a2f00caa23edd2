"""Joining values by operators: which types meet, and in what.

Rule: IEC 61131-3:2003 Tables 24 to 30 and 55; what does not fit is said at the operator.
"""

from typing import Final

from simplant.errors import Place
from simplant.expr import Binary, Expr, Function, Op, Unary
from simplant.logic.st.adapt import Val, adapt, as_other, common, converted, decided, widens
from simplant.logic.st.bare import numbers
from simplant.logic.st.report import Report, fail
from simplant.logic.st.types import Scalar, elementary, same_referent
from simplant.values import (
    BOOL,
    DATE,
    DT,
    INT,
    LINT,
    LREAL,
    LWORD,
    REAL,
    REFERENCE,
    STRING,
    TIME,
    TOD,
    ElementaryType,
    Kind,
)

_OPS: Final = {op.spelling: op for op in Op if op not in (Op.NOT, Op.NEG)}
_NUMBERS: Final = {8: "USINT", 16: "UINT", 32: "UDINT", 64: "ULINT"}
_COMPARED: Final = ("=", "<>", "<", ">", "<=", ">=")
_DATES: Final[dict[tuple[str, str, str], ElementaryType]] = {
    ("TOD", "+", "TIME"): TOD, ("DT", "+", "TIME"): DT, ("TOD", "-", "TIME"): TOD, ("DT", "-", "TIME"): DT,
    ("DATE", "-", "DATE"): TIME, ("TOD", "-", "TOD"): TIME, ("DT", "-", "DT"): TIME,
}  # fmt: skip


class Operators:
    """Joins values.

    Attributes:
        report: where what is loose or wrong goes.
    """

    report: Report

    def joined(self, operator: str, left: Val, right: Val, place: Place, wanted: Scalar | None = None) -> Val:
        """Join two values by an operator; `wanted` says whether a power of whole numbers is whole."""
        if operator == "**":
            return self._power(left, right, place, wanted)
        if operator in _COMPARED:
            return self._compared(operator, left, right, place)
        if operator in ("AND", "OR", "XOR"):
            return self._logic(operator, left, right, place)
        left, right = as_other(left, right), as_other(right, left)
        timed = self._timed(operator, left, right, place)
        if timed is not None:
            return timed
        base = common(left, right)
        if base is None or base.kind not in (Kind.INTEGER, Kind.REAL) or (operator == "MOD" and base.kind is Kind.REAL):
            why = "MOD needs whole numbers" if operator == "MOD" else "it needs numbers"
            fail(
                place,
                f"{operator!r} joins {kind_of(left)} and {kind_of(right)}",
                why,
                _hint(left, right),
                len(operator),
            )
        return self._computed(_OPS[operator], base, left, right, place)

    def _computed(self, op: Op, base: ElementaryType, left: Val, right: Val, place: Place) -> Val:
        if op in (Op.DIV, Op.MOD) and right.constant == 0:
            fail(place, "a division by 0", "the standard calls this an error", length=len(op.spelling))
        if left.open and right.open:
            base = base if base.kind is Kind.REAL else LINT
        what = f"the value beside {op.spelling}"
        made: Expr = Binary(op, self._meet(left, base, place, what), self._meet(right, base, place, what), base)
        if not (left.open and right.open):
            return Val(made, elementary(base))
        return decided(made, place)

    def _meet(self, given: Val, base: ElementaryType, place: Place, what: str) -> Expr:
        if given.open:
            return adapt(given, elementary(base), place, self.report, what)
        return converted(given.expr, base)

    def _power(self, left: Val, right: Val, place: Place, wanted: Scalar | None) -> Val:
        """Join by `**`, which takes a real base; a whole result is given only where one is wanted."""
        kinds = (left.type.base.kind, right.type.base.kind)
        if any(kind not in (Kind.INTEGER, Kind.REAL) for kind in kinds):
            fail(place, f"'**' joins {kind_of(left)} and {kind_of(right)}", "it needs numbers", length=2)
        if Kind.REAL not in kinds and self._is_whole(left, right, place, wanted):
            whole = LINT if left.open and right.open else _whole_base(left, wanted)
            made = Function("EXPT", (self._meet(left, whole, place, "the base of **"), right.expr), whole)
            return decided(made, place) if left.open and right.open else Val(made, elementary(whole))
        base = LREAL if left.open else left.type.base
        if base.kind is Kind.INTEGER:
            real = next((t.base for t in (right.type, wanted) if t is not None and t.base.kind is Kind.REAL), None)
            base = real if real is not None and not right.open else REAL if base.bits <= INT.bits else LREAL
        made = Function("EXPT", (self._meet(left, base, place, "the base of **"), right.expr), base)
        return decided(made, place) if left.open else Val(made, elementary(base))

    def _is_whole(self, left: Val, right: Val, place: Place, wanted: Scalar | None) -> bool:
        """Say whether a power of whole numbers is whole: one that is known, or is wanted so, which is loose."""
        if left.open and isinstance(right.constant, int):
            return right.constant >= 0
        if wanted is None or not wanted.base.is_integer:
            return False
        self.report.loose(place, "'**' gives a real number", f"write REAL_TO_{wanted.base.name}(...)", 2)
        return True

    def _compared(self, operator: str, left: Val, right: Val, place: Place) -> Val:
        enums = [v.type for v in (left, right) if v.type.is_enum]
        if enums:
            other = right if enums[0] is left.type else left
            alike = other.type.name == enums[0].name or (enums[0].named and widens(other.type.base, enums[0].base))
            base: ElementaryType | None = enums[0].base if other.open or alike else None
            if other.open:
                what = f"a {enums[0].name} is compared with the number {other.constant}"
                self.report.loose(place, what, "use one of its names", len(operator))
        else:
            left, right = as_other(left, right), as_other(right, left)
            left, right = self._as_strings(left, right, place=place)
            base = common(left, right)
        if base is REFERENCE and (operator not in ("=", "<>") or not same_referent(left.type, right.type)):
            base = None
        if base is LWORD and left.open and right.open:
            what, mend = "the bits of bare numbers are compared", "give one of them a type, for instance WORD#16#0F"
            fail(place, what, "no type says how many they are", mend, len(operator))
        if base is None:
            fail(place, f"{operator!r} compares {kind_of(left)} with {kind_of(right)}", mend="convert one of them",
                 length=len(operator))  # fmt: skip
        number = left.constant if left.open else right.constant
        if base.kind is Kind.TIME and (left.open or right.open) and number is not None:
            fail(place, f"a time is compared with {number}, which has no unit", mend=f"write T#{number}ms")
        what = f"the value beside {operator}"
        a, b = self._meet(left, base, place, what), self._meet(right, base, place, what)
        return Val(Binary(_OPS[operator], a, b, BOOL), elementary(BOOL))

    def _as_strings(self, *values: Val, place: Place) -> list[Val]:
        """Give a WSTRING beside a STRING as one: people write "..." for it."""
        if {v.type.base.name for v in values} != {"STRING", "WSTRING"}:
            return list(values)
        self.report.loose(place, "a STRING is compared with a WSTRING", "write '...' for a STRING")
        return [v if v.type.base is STRING else Val(Function("SAME", (v.expr,), STRING), elementary(STRING))
                for v in values]  # fmt: skip

    def _logic(self, operator: str, left: Val, right: Val, place: Place) -> Val:
        base = common(left, right)
        both = left.open and right.open
        if both and base is not None and base.kind is Kind.INTEGER:
            base = LWORD
        if base is None or not base.is_bits:
            wrong = next((v for v in (left, right) if not v.type.base.is_bits), left)
            mend = "convert it, for instance INT_TO_WORD(x)" if wrong.type.base.is_integer else _hint(left, wrong)
            fail(place, f"{operator} joins {kind_of(left)} and {kind_of(right)}", "it needs BOOL or bit strings", mend,
                 len(operator))  # fmt: skip
        what = f"the value beside {operator}"
        made = Binary(_OPS[operator], self._meet(left, base, place, what), self._meet(right, base, place, what), base)
        return decided(made, place) if both else Val(made, elementary(base))

    def inverted(self, given: Val, place: Place, mend: str = "") -> Val:
        """Give NOT of a value."""
        base, whole = given.type.base, [each.value for each in numbers(given.expr)] if given.open else []
        if given.open and base.kind is not Kind.REAL and all(isinstance(n, int) and n >= 0 for n in whole):
            return decided(Unary(Op.NOT, self._meet(given, LWORD, place, "the value behind NOT"), LWORD), place)
        if given.open or not base.is_bits:
            kind = "number" if given.open else given.type.name
            fail(place, f"NOT stands before a value of type {kind}", "it needs BOOL or a bit string", mend, 3)
        return Val(Unary(Op.NOT, given.expr, base), elementary(base))

    def _timed(self, operator: str, left: Val, right: Val, place: Place) -> Val | None:
        """Join durations and dates; None if there is none among them."""
        a, b = ("TIME" if v.type.base.kind is Kind.TIME else v.type.base.name for v in (left, right))
        if a == b == "TIME" and operator in ("+", "-"):
            return Val(Binary(_OPS[operator], left.expr, right.expr, TIME), elementary(TIME))
        result = _DATES.get((a, operator, b))
        if result is not None:
            name = "SUM" if operator == "+" else "DIFFERENCE"
            return Val(Function(name, (left.expr, right.expr), result), elementary(result))
        if a == "TIME" and operator in ("*", "/") and right.type.base.is_number:
            name = "MUL_TIME" if operator == "*" else "DIV_TIME"
            return Val(Function(name, (left.expr, right.expr), TIME), elementary(TIME))
        if b == "TIME" and operator == "*" and left.type.base.is_number:
            return Val(Function("MUL_TIME", (right.expr, left.expr), TIME), elementary(TIME))
        if "TIME" in (a, b) or DATE.name in (a, b):
            number = next((v for v in (left, right) if v.type.base.is_integer), None)
            mend = f"write {number.type.name}_TO_TIME(x), in milliseconds" if number is not None else ""
            mend = "write the number with a unit, for instance T#5s" if left.open or right.open else mend
            fail(place, f"{operator!r} joins {kind_of(left)} and {kind_of(right)}", mend=mend, length=len(operator))
        return None


def _whole_base(left: Val, wanted: Scalar | None) -> ElementaryType:
    """Give the whole numbers in which a power is reckoned: what is wanted, if it holds the base."""
    assert wanted is not None, "a whole number is wanted"
    return wanted.base if left.open or widens(left.type.base, wanted.base) else left.type.base


def _hint(left: Val, right: Val) -> str:
    """Say how to reckon with what is no number."""
    for each in (left, right):
        if each.type.base.kind is Kind.BITS:
            number = _NUMBERS[each.type.base.bits]
            return f"{each.type.name} is a bit string: declare {number}, or write {each.type.name}_TO_{number}(x)"
        if each.type.base.kind is Kind.STRING:
            return "join texts with CONCAT(a, b)"
    return ""


def kind_of(given: Val) -> str:
    """Say what a value is, for messages."""
    if given.open and given.constant is None:
        return "bits without a type" if given.type.base.is_bits else "a bare number"
    return f"the number {given.constant}" if given.open else given.type.name
