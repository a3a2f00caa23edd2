"""The standard functions beyond those of Python-authored expressions: what each computes, by name.

Who may call them with what is logic/st. Rule: pure, on plain values; the result is brought into its type by the caller;
what the standard calls an error is a `ProgramError`.
"""

import math
from collections.abc import Callable
from fractions import Fraction
from functools import reduce
from itertools import pairwise
from typing import Any, Final

from simplant.errors import ProgramError
from simplant.expr.rows import ROW, row
from simplant.expr.texts import TEXTS, read_as
from simplant.values import DATE_TYPES, TIME, TYPES, ElementaryType, Kind, Value, convert, divide, show_value, truncate
from simplant.values.written import clock_of, day_of

_Compute = Callable[..., Any]
_DAY: Final = 86_400_000_000_000
SECONDS: Final = 32
"""Bits in which everybody counts seconds since 1970; more hold milliseconds."""


def library_function(name: str, result: ElementaryType) -> _Compute | None:
    """Give what computes a function with a result of this type; None if it is not one of these."""
    if name in _PLAIN:
        return _PLAIN[name]
    if name in _BY_TYPE:
        return _BY_TYPE[name](result)
    if name in TEXTS:
        return TEXTS[name]
    return row(name.removeprefix(ROW), result) if name.startswith(ROW) else _conversion(name, result)


def _error(what: str, mend: str = "") -> ProgramError:
    return ProgramError(what, "the standard calls this an error", mend)


def _real(compute: Callable[[float], float], name: str) -> _Compute:
    def guarded(value: float) -> float:
        try:
            return compute(value)
        except ValueError:
            raise _error(f"{name} of {value} does not exist", "limit the value before") from None
        except OverflowError:
            return math.inf

    return guarded


def _power(base: float, exponent: float) -> float:
    """EXPT, and `**`: of whole numbers whole (with a negative exponent cut toward zero)."""
    try:
        if isinstance(base, int) and isinstance(exponent, int):
            if exponent < 0:
                return divide(1, int(base) ** -exponent)
            return int(pow(base, exponent, 1 << 64)) if exponent > 64 else int(base**exponent)
        return math.pow(base, exponent)
    except (ValueError, ZeroDivisionError):
        raise _error(f"{base} ** {exponent} does not exist") from None
    except OverflowError:
        return math.inf


def _shift(count: int) -> int:
    if count < 0:
        raise _error(f"a shift by {count}", "shift by 0 or more")
    return min(count, 64)


def _rotated_left(type_: ElementaryType) -> _Compute:
    return lambda value, count: _turned(value, _turn(count), type_.bits)


def _rotated_right(type_: ElementaryType) -> _Compute:
    return lambda value, count: _turned(value, -_turn(count), type_.bits)


def _turn(count: int) -> int:
    if count < 0:
        raise _error(f"a rotation by {count}", "rotate by 0 or more")
    return count


def _turned(value: int, count: int, bits: int) -> int:
    by = count % bits
    return value << by | value >> bits - by


def _mux(choice: int, *values: Value) -> Value:
    if not 0 <= choice < len(values):
        raise _error(f"MUX chooses input {choice} of {len(values)}", f"K goes from 0 to {len(values) - 1}")
    return values[choice]


def _times(span: int, factor: float) -> int:
    return span * factor if isinstance(factor, int) else round(Fraction(factor) * span)


def _parts(span: int, divisor: float) -> int:
    if divisor == 0:
        raise _error("a time is divided by 0", "test the divisor before")
    return int(divide(span, divisor)) if isinstance(divisor, int) else round(Fraction(span) / Fraction(divisor))


def _bit(value: int, number: int, size: int) -> int:
    return value >> number * size & (1 << size) - 1


def _with_bit(value: int, number: int, size: int, part: int) -> int:
    mask = (1 << size) - 1
    return value & ~(mask << number * size) | (part & mask) << number * size


def _swapped(value: int, count: int) -> int:
    """Turn the order of so many bytes round."""
    return int.from_bytes((value & (1 << 8 * count) - 1).to_bytes(count, "little"), "big")


def _ordered(test: Callable[[Any, Any], bool]) -> _Compute:
    return lambda *values: all(test(a, b) for a, b in pairwise(values))


def _from_bcd(value: int) -> int:
    text = f"{value:X}"
    if not text.isdigit():
        raise _error(f"16#{text} is no BCD number")
    return int(text)


def _to_bcd(result: ElementaryType) -> _Compute:
    most = int("9" * (result.bits // 4))

    def compute(value: int) -> int:
        if not 0 <= value <= most:
            raise _error(f"{value} has no BCD in a {result.name}", f"it goes from 0 to {most}: limit the value before")
        return int(str(value), 16)

    return compute


def _from_decimal(result: ElementaryType) -> _Compute:
    return lambda value: result.check(_from_bcd(value))


def _code(text: str) -> int:
    """Give the code of a CHAR; of an empty one 0."""
    return ord(text[0]) if text else 0


def _letter(code: int) -> str:
    """Give the CHAR of a code."""
    if not 0 <= code <= 0x10FFFF:
        raise _error(f"{code} is the code of no letter")
    return chr(code)


_PLAIN: Final[dict[str, _Compute]] = {
    "SQRT": _real(math.sqrt, "SQRT"), "LN": _real(math.log, "LN"), "LOG": _real(math.log10, "LOG"),
    "EXP": _real(math.exp, "EXP"), "SIN": _real(math.sin, "SIN"), "COS": _real(math.cos, "COS"),
    "TAN": _real(math.tan, "TAN"), "ASIN": _real(math.asin, "ASIN"), "ACOS": _real(math.acos, "ACOS"),
    "ATAN": _real(math.atan, "ATAN"), "ATAN2": math.atan2, "EXPT": _power,
    "SHL": lambda value, count: value << _shift(count), "SHR": lambda value, count: value >> _shift(count),
    "MUX": _mux, "MUL_TIME": _times, "DIV_TIME": _parts,
    "IS_VALID": math.isfinite, "IS_VALID_BCD": lambda value: f"{value:X}".isdigit(),
    "JOINED": lambda *values: sum(value << 8 * number for number, value in enumerate(values)),
    "BIT": lambda value, number, _size: value >> number & 1 == 1,
    "PART": _bit, "WITH_BIT": _with_bit, "SUM": lambda *values: sum(values), "DIFFERENCE": lambda a, b: a - b,
    "PRODUCT": lambda *values: reduce(lambda a, b: a * b, values),
    "DT_TO_DATE": lambda value: value - value % _DAY, "DT_TO_TOD": lambda value: value % _DAY,
    "CONCAT_DATE_TOD": lambda day, clock: day + clock, "CONCAT_DATE": day_of, "CONCAT_TOD": clock_of,
    "CONCAT_DT": lambda year, month, day, *clock: day_of(year, month, day) + clock_of(*clock),
    "SAME": lambda value: value, "CODE": _code, "LETTER": _letter,
    "GT": _ordered(lambda a, b: a > b), "GE": _ordered(lambda a, b: a >= b), "EQ": _ordered(lambda a, b: a == b),
    "LE": _ordered(lambda a, b: a <= b), "LT": _ordered(lambda a, b: a < b),
    "DAY_OF_WEEK": lambda day: (day // _DAY + 4) % 7,
}  # fmt: skip

_BY_TYPE: Final[dict[str, Callable[[ElementaryType], _Compute]]] = {
    "ROL": _rotated_left,
    "ROR": _rotated_right,
    "BCD_TO": _from_decimal,
    "TO_BCD": _to_bcd,
    "SWAPPED": lambda type_: lambda value: _swapped(value, type_.bits // 8),
}


def _conversion(name: str, result: ElementaryType) -> _Compute | None:
    """Conversions that `values.convert` does not have: from text, with dates, cutting off, of raw durations."""
    source, mark, target = name.partition("_TO_")
    if name.startswith("TRUNC_"):
        given = TYPES[name.removeprefix("TRUNC_")]
        return lambda value: truncate(value, given, result)
    if not mark or target not in (result.name, "STRING", "WSTRING"):
        return None
    if source in ("STRING", "WSTRING"):
        return lambda text: read_as(text, result)
    if source in ("DATE", "TOD", "DT"):
        return _from_date(source, result)
    if result.kind is Kind.DATE and source in TYPES:
        return _to_date(TYPES[source], result)
    if source in TYPES and {TYPES[source].kind, result.kind} == {Kind.TIME, Kind.BITS}:
        whole = TYPES["LINT"]
        return lambda value: convert(convert(value, TYPES[source], whole), whole, result)
    if target == "STRING" and source in TYPES:
        return lambda value: _shown(value, TYPES[source])
    return None


def _shown(value: Value, type_: ElementaryType) -> str:
    """Write a value as text; a bit string as its number."""
    return str(value) if type_.kind is Kind.BITS else show_value(value, type_)


def _from_date(source: str, result: ElementaryType) -> _Compute:
    if result.kind is Kind.STRING:
        return lambda value: show_value(value, DATE_TYPES[source])
    if result.kind is Kind.DATE:
        return lambda value: value
    if result.kind not in (Kind.INTEGER, Kind.BITS):
        return lambda value: convert(value, TIME, result)
    unit = _unit(source, result)
    return lambda value: result.check(value // unit)


def _to_date(source: ElementaryType, result: ElementaryType) -> _Compute:
    if source.kind not in (Kind.INTEGER, Kind.BITS):
        return lambda value: int(convert(value, source, TIME))
    unit = _unit(result.name, source)
    return lambda value: result.check(value * unit)


def _unit(day: str, number: ElementaryType) -> int:
    """Give what a number counts for a date: in 32 bits seconds since 1970, else (and of a time of day) milliseconds."""
    return 1_000_000_000 if number.bits == SECONDS and day != "TOD" else 1_000_000


__all__ = ["SECONDS", "library_function"]
