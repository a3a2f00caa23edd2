"""Bringing values to the type that is wanted: what converts by itself, what must be converted, what does not fit.

Conversions that the standard lets happen by themselves never lose anything (IEC 61131-3:2013, figure on implicit
conversion, from memory); a bare number takes the type of what stands around it. Rule: nothing is narrowed silently.
"""

from dataclasses import dataclass
from typing import Final

from simplant.errors import Place, ProgramError
from simplant.expr import Checked, Const, Element, Expr, Function, Pointed, Ref, evaluate
from simplant.expr.checks import LengthCheck, RangeCheck
from simplant.logic.st.bare import is_constant, is_reckoned, is_shifted, numbers, retyped
from simplant.logic.st.report import Report, fail
from simplant.logic.st.types import Scalar, elementary, same_referent
from simplant.values import BOOL, DINT, INT, LINT, LREAL, LTIME, LWORD, REAL, TIME, ULINT, ElementaryType, Kind, Value

_TIMES: Final = ("TIME", "LTIME")


@dataclass(frozen=True, slots=True)
class Val:
    """A value in an expression: `open` if it is made of bare numbers, whose type the surroundings decide (bare.py)."""

    expr: Expr
    type: Scalar
    open: bool = False

    @property
    def constant(self) -> Value | None:
        """Its value if it is known now."""
        return self.expr.value if isinstance(self.expr, Const) else None


def literal(value: Value) -> Val:
    """Give a bare number."""
    return Val(Const(value, natural(value)), elementary(natural(value)), open=True)


def decided(made: Expr, place: Place) -> Val:
    """Give what is made of bare numbers: a bare number itself if it can be reckoned now.

    Raises:
        Fault: reckoning with the numbers fails.
    """
    if made.type.is_bits or not is_constant(made):
        return Val(made, elementary(made.type), open=True)
    try:
        return literal(evaluate(made, {}))
    except ProgramError as error:
        fail(place, error.what, error.why, error.mend)


def natural(value: Value) -> ElementaryType:
    """Give the type of a bare number that stands alone."""
    if isinstance(value, float):
        return LREAL
    return next((t for t in (INT, DINT, LINT, ULINT) if t.least <= int(value) <= t.most), LINT)


def widens(source: ElementaryType, target: ElementaryType) -> bool:
    """Say whether one type becomes another by itself, since nothing can be lost."""
    if source is target or (source.name in _TIMES and target.name in _TIMES):
        return True
    match source.kind, target.kind:
        case Kind.INTEGER, Kind.INTEGER:
            return target.least <= source.least and source.most <= target.most
        case Kind.INTEGER, Kind.REAL:
            return source.bits * 2 <= target.bits
        case Kind.REAL, Kind.REAL:
            return source.bits <= target.bits
        case ((Kind.BOOL | Kind.BITS), Kind.BITS):
            return source.bits <= target.bits
        case _:
            return False


def converted(expr: Expr, target: ElementaryType) -> Expr:
    """Convert without a check."""
    if expr.type is target or (expr.type.name in _TIMES and target.name in _TIMES):
        return expr
    return Function(f"{expr.type.name}_TO_{target.name}", (expr,), target)


def common(left: Val, right: Val) -> ElementaryType | None:
    """Give the type in which two values meet, None if there is none."""
    a, b = left.type.base, right.type.base
    if left.open and right.open:
        if Kind.BITS in (a.kind, b.kind):
            return LWORD if Kind.REAL not in (a.kind, b.kind) else None
        return a if a.kind is Kind.REAL or b is INT else b
    if left.open or right.open:
        return _beside(left, b) if left.open else _beside(right, a)
    if widens(a, b):
        return b
    if widens(b, a):
        return a
    both = {a.kind, b.kind}
    if both == {Kind.INTEGER}:
        least, most = min(a.least, b.least), max(a.most, b.most)
        return next((t for t in (INT, DINT, LINT) if t.least <= least and most <= t.most), None)
    return LREAL if both == {Kind.INTEGER, Kind.REAL} else None


def _beside(number: Val, other: ElementaryType) -> ElementaryType | None:
    """Give the type in which what is made of bare numbers meets a type."""
    kind = number.type.base.kind
    if kind is Kind.BITS:
        return other if other.is_bits else None
    if other.kind is Kind.INTEGER and kind is Kind.REAL:
        return REAL if other.bits <= 16 else LREAL
    if other.kind is Kind.INTEGER:
        for each in numbers(number.expr):
            other = _holding(other, int(each.value))
    return other


def _holding(base: ElementaryType, number: int) -> ElementaryType:
    """Give the type that holds both the values of a type and a bare number: mostly the type itself."""
    if base.least <= number <= base.most:
        return base
    wider = (t for t in (DINT, LINT) if t.least <= min(number, base.least) and max(number, base.most) <= t.most)
    return next(wider, base)


def adapt(given: Val, wanted: Scalar, place: Place, report: Report, what: str) -> Expr:
    """Give a value as the wanted type.

    Args:
        given: the value.
        wanted: the type it goes into.
        place: of the value.
        report: for what is loose.
        what: what it goes into, for messages: `count`, `input PT of timer`.

    Raises:
        Fault: it does not fit.
    """
    if Kind.REFERENCE in (wanted.base.kind, given.type.base.kind):
        return _reference(given, wanted, place, what)
    if wanted.is_enum or given.type.is_enum:
        return _enum(given, wanted, place, report, what)
    expr = _open(given, wanted, place, report, what) if given.open else _typed(given, wanted, place, report, what)
    return _limited(expr, given, wanted, place, what)


def _reference(given: Val, wanted: Scalar, place: Place, what: str) -> Expr:
    """Give a reference as one that may lead to the same."""
    if wanted.base is not given.type.base or not same_referent(wanted, given.type):
        kind = "a number" if given.open else given.type.name
        mend = "write REF(variable) or NULL" if given.type.refers is None else ""
        fail(place, f"{what} is {wanted.name}, the value is {kind}", mend=mend)
    return given.expr


def _enum(given: Val, wanted: Scalar, place: Place, report: Report, what: str) -> Expr:
    if given.type.name == wanted.name:
        return given.expr
    if given.type.named and not wanted.is_enum and widens(given.type.base, wanted.base):
        return converted(given.expr, wanted.base)
    if wanted.named and not given.type.is_enum:
        plain = _open if given.open else _typed
        return plain(given, elementary(wanted.base), place, report, what)
    if wanted.is_enum and given.open and isinstance(given.constant, int):
        words = [name for name, value in (wanted.words or {}).values() if value == given.constant]
        report.loose(place, f"{what} is a {wanted.name}, not a number", f"write {words[0] if words else 'a name'}")
        if not wanted.base.least <= given.constant <= wanted.base.most:
            fail(
                place, f"{what} is a {wanted.name}, {given.constant} is none of its values", mend="use one of its names"
            )
        return Const(given.constant, wanted.base)
    if given.type.is_enum and not wanted.is_enum and wanted.base.kind is Kind.INTEGER:
        report.loose(place, f"a {given.type.name} goes into {what}, which is {wanted.name}")
        return converted(given.expr, wanted.base)
    fail(place, f"{what} is {wanted.name}, the value is {given.type.name}", mend="use one of its names")


def _open(given: Val, wanted: Scalar, place: Place, report: Report, what: str) -> Expr:
    """Give what is made of bare numbers as a type."""
    base, kind = wanted.base, given.type.base.kind
    if isinstance(given.expr, Const):
        return _number(given.expr.value, wanted, place, report, what)
    if kind is Kind.BITS and not base.is_bits:
        mend = "give a number in it a type, for instance WORD#1, and convert it"
        fail(place, f"{what} is {wanted.name}, the value is a bit string", mend=mend)
    if kind is Kind.REAL and base.kind is not Kind.REAL:
        fail(place, f"{what} is {wanted.name}, the value is a real number", mend=f"write REAL_TO_{base.name}(...)")
    if base is BOOL and is_shifted(given.expr):
        fail(place, f"{what} is BOOL, the value is a bit string", mend="compare it: ... <> 0")
    if base.is_bits and is_reckoned(given.expr):
        fail(place, f"{what} is {wanted.name}, the value is a number", mend=f"write TO_{base.name}(...)")
    return retyped(given.expr, base, lambda each: _number(each.value, wanted, place, report, what))


def _number(value: Value, wanted: Scalar, place: Place, report: Report, what: str) -> Expr:
    """Give a bare number as a type."""
    base = wanted.base
    if base is BOOL and value in (0, 1):
        report.loose(place, f"{what} is BOOL, {value} is a number", f"write {'TRUE' if value else 'FALSE'}")
        return Const(bool(value), BOOL)
    if base.kind is Kind.TIME:
        fail(place, f"{what} is a time, {value} has no unit", mend=f"write T#{value}ms or T#{value}s")
    if base.kind not in (Kind.INTEGER, Kind.BITS, Kind.REAL):
        fail(place, f"{what} is {wanted.name}, the value is a number")
    if isinstance(value, float) and base.kind is not Kind.REAL:
        shown = value if report.line(place.line)[place.column - 1 :].startswith(str(value)) else "..."
        fail(place, f"{what} is {wanted.name}, {value} is a real number", mend=f"write REAL_TO_{base.name}({shown})")
    try:
        return Const(base.check(value), base)
    except ProgramError as error:
        fail(place, f"{value} does not fit {what}", error.why, error.mend)


def _typed(given: Val, wanted: Scalar, place: Place, report: Report, what: str) -> Expr:
    source, base = given.type.base, wanted.base
    if widens(source, base):
        if (source, base) == (LTIME, TIME):
            report.loose(
                place, f"{what} is TIME, the value is LTIME", "declare it as LTIME, or write LTIME_TO_TIME(...)"
            )
        return converted(given.expr, base)
    if _of_one_size(given, base, what):
        return converted(given.expr, base)
    whole = _whole_inside(given.expr) if (source, base) == (LREAL, REAL) else source
    if whole is not None and whole.kind is Kind.INTEGER and base.kind is Kind.REAL:
        mend = f"write {whole.name}_TO_{base.name}(...)"
        report.loose(place, f"{what} is {base.name}, which may round a {whole.name}", mend)
        return converted(given.expr, base)
    if source.kind is Kind.STRING and base.kind is Kind.STRING:
        report.loose(
            place, f"{what} is {base.name}, the value is {source.name}", f"write {source.name}_TO_{base.name}(...)"
        )
        return Function("SAME", (given.expr,), base)
    mend = f"write {source.name}_TO_{base.name}(...)"
    if source.kind is Kind.TIME and base.kind in (Kind.INTEGER, Kind.REAL):
        mend += ", which gives milliseconds"
    fail(place, f"{what} is {wanted.name}, the value is {given.type.name}", mend=mend)


def _whole_inside(expr: Expr) -> ElementaryType | None:
    """Give the type of the whole numbers that made an expression LREAL, None if something in it is LREAL itself."""
    if isinstance(expr, Function) and "_TO_" in expr.name:
        return None
    stored = [n.type for n in expr.walk() if isinstance(n, Ref | Element | Pointed)]
    whole = [type_ for type_ in stored if type_.kind is Kind.INTEGER]
    return whole[0] if whole and LREAL not in stored else None


def _of_one_size(given: Val, base: ElementaryType, what: str) -> bool:
    """Say whether a value comes from, or goes to, a bare address (%IW3): that says a size, and no type."""
    source = given.type.base
    read = isinstance(given.expr, Ref) and given.expr.name.startswith("%")
    bits, other = (source, base) if read else (base, source)
    fits = bits.kind is Kind.BITS and other.kind in (Kind.INTEGER, Kind.REAL) and bits.bits == other.bits
    return fits and (read or what.startswith("%"))


def as_other(given: Val, other: Val) -> Val:
    """Give what comes from a bare address (%IW3) as the type of the number beside it, if that has its size."""
    base = other.type.base
    if other.open or not base.is_number or not _of_one_size(given, base, ""):
        return given
    return Val(converted(given.expr, base), elementary(base))


def _limited(expr: Expr, given: Val, wanted: Scalar, place: Place, what: str) -> Expr:
    """Check a range or a length: now if the value is known, else when it runs."""
    check: RangeCheck | LengthCheck
    if wanted.least is not None and wanted.most is not None:
        if not given.open and given.type.least is not None and given.type.name == wanted.name:
            return expr
        check = RangeCheck(what, wanted.least, wanted.most)
    elif wanted.base.kind is Kind.STRING and given.type.length > wanted.length:
        check = LengthCheck(wanted.length)
    else:
        return expr
    if isinstance(expr, Const):
        try:
            check(expr.value)
        except ProgramError as error:
            fail(place, error.what, error.why, error.mend)
        return expr
    return Checked(expr, check, expr.type)
