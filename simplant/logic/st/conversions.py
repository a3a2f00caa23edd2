"""What type a call of a conversion has: X_TO_Y, TRUNC, to and from letters and BCD.

The other functions of the standard are handlers.py. Rule: what has no value in common is told, not made up.
"""

from functools import cache
from typing import Final

from simplant.errors import ProgramError
from simplant.expr import Const, Expr, Function, evaluate
from simplant.expr.library import SECONDS
from simplant.logic.st.adapt import Val, converted
from simplant.logic.st.handlers import Given, Handler
from simplant.logic.st.report import fail
from simplant.logic.st.types import Scalar, elementary
from simplant.values import DINT, LWORD, REFERENCE, STRING, TOD, TYPES, ULINT, ElementaryType, Kind

_NUMBERS: Final = {8: "USINT", 16: "UINT", 32: "UDINT", 64: "ULINT"}


def conversion(source: ElementaryType | None, target: ElementaryType) -> Handler:
    """X_TO_Y, and TO_Y."""

    def handler(given: Given) -> Val:
        value = given.values[0]
        base = source or value.type.base
        if base is REFERENCE:
            given.wrong(0, "a value, not a reference")
        if source is None and value.open and base.is_bits:
            given.wrong(0, "a type that says how many bits", "write for instance WORD#16#0F")
        scalar = Scalar(target, target.name, length=80, initial=target.default) if target.kind is Kind.STRING else None
        expr = given.as_type(0, base) if source is not None and not value.type.is_enum else value.expr
        made = _steps(expr, target)
        if not _exists(expr.type, target):
            what = f"{expr.type.name}_TO_{target.name} does not exist"
            fail(given.place, what, "the two kinds have no common value", length=len(given.name))
        _of_date(given, expr.type, target)
        return Val(made, scalar or elementary(target))

    return handler


def _of_date(given: Given, source: ElementaryType, target: ElementaryType) -> None:
    """Tell of a date as a number or a number as a date: the standard has no such conversion."""
    dated = next((t for t in (source, target) if t.kind is Kind.DATE), None)
    number = source if dated is target else target
    if dated is None or number.kind in (Kind.DATE, Kind.STRING):
        return
    counts = "seconds since 1970" if number.bits == SECONDS else "milliseconds since 1970"
    counts = "milliseconds since midnight" if dated is TOD else counts
    what = f"{given.name} is no conversion of the standard: the number is of {counts}"
    mend = "use the difference of two dates, which is a TIME, or SPLIT_" + dated.name
    given.lowering.report.loose(given.place, what, mend, len(given.name))


def _steps(expr: Expr, target: ElementaryType) -> Expr:
    """Convert in one step or two: bits of another length than a real one are a number; WSTRING by way of STRING."""
    base = expr.type
    if target.name == "WSTRING" and base.kind is not Kind.STRING:
        return Function("SAME", (converted(expr, STRING),), target)
    if {base.kind, target.kind} == {Kind.BITS, Kind.REAL} and base.bits != target.bits:
        bits = base if base.kind is Kind.BITS else target
        return converted(converted(expr, TYPES[_NUMBERS[bits.bits]]), target)
    return converted(expr, target)


@cache
def _exists(source: ElementaryType, target: ElementaryType) -> bool:
    """Say whether a value of one type can be one of another at all; from a text any can."""
    if source.kind is Kind.STRING:
        return True
    try:
        evaluate(_steps(Const(source.default, source), target), {})
    except ProgramError:
        return False
    return True


def lettered(name: str, target: ElementaryType) -> Handler:
    """To and from CHAR: by its code."""

    def handler(given: Given) -> Val:
        if name == "LETTER":
            if given.values[0].type.base.kind not in (Kind.INTEGER, Kind.BITS):
                given.wrong(0, "a whole number, the code of a letter")
            whole = converted(given.values[0].expr, DINT) if not given.values[0].open else given.as_type(0, DINT)
            return Val(Function(name, (whole,), target), Scalar(target, target.name, length=1, initial=""))
        if given.values[0].type.base.kind is not Kind.STRING:
            given.wrong(0, "a CHAR")
        return Val(Function(name, (given.values[0].expr,), target), elementary(target))

    return handler


def cut_off(target: ElementaryType | None) -> Handler:
    """TRUNC."""

    def handler(given: Given) -> Val:
        value = given.values[0]
        if value.type.base.kind is not Kind.REAL:
            given.wrong(0, "a real number")
        wanted = given.wanted.base if given.wanted and given.wanted.base.is_integer else DINT
        result = target or wanted
        return Val(Function(f"TRUNC_{value.type.base.name}", (value.expr,), result), elementary(result))

    return handler


def from_decimal(source: ElementaryType | None, target: ElementaryType) -> Handler:
    """WORD_BCD_TO_UINT, BCD_TO_UINT."""

    def handler(given: Given) -> Val:
        value = given.values[0]
        if not value.open and value.type.base.kind is not Kind.BITS:
            given.wrong(0, "a bit string")
        base = source or (LWORD if value.open else value.type.base)
        _signed(given, target)
        return Val(Function("BCD_TO", (given.as_type(0, base),), target), elementary(target))

    return handler


def to_decimal(source: ElementaryType | None, target: ElementaryType) -> Handler:
    """UINT_TO_BCD_WORD, TO_BCD_WORD."""

    def handler(given: Given) -> Val:
        value = given.values[0]
        if not value.type.base.is_integer:
            given.wrong(0, "an unsigned whole number")
        base = source or (ULINT if value.open else value.type.base)
        _signed(given, base)
        return Val(Function("TO_BCD", (given.as_type(0, base),), target), elementary(target))

    return handler


def _signed(given: Given, base: ElementaryType) -> None:
    """Tell of a number with a sign: the standard has BCD of unsigned ones only."""
    if base.signed:
        what = f"{given.name} is of a signed number, {base.name}"
        given.lowering.report.loose(given.place, what, f"use U{base.name}", len(given.name))
