"""Conversions X_TO_Y, TRUNC, division and MOD of IEC 61131-3.

Nothing here wraps a result of arithmetic (that is `ElementaryType.wrap`). Rule: what the
standard leaves open is refused where controllers are known to disagree dangerously (a real
that does not fit an integer), and is otherwise chosen once, in the docstring of `convert`.
"""

import math
import struct
from collections.abc import Callable, Mapping
from fractions import Fraction
from functools import partial
from typing import Any, Final

from simplant.errors import ProgramError
from simplant.timebase import ms
from simplant.values.display import show_value
from simplant.values.elementary import ElementaryType, Kind, Value

_Rule = Callable[[Any, ElementaryType, ElementaryType], Value]  # a rule knows its Python type by the table below


def _low_bits(value: int, _source: ElementaryType, target: ElementaryType) -> Value:
    return target.wrap(value)


def _not_zero(value: float, _source: ElementaryType, _target: ElementaryType) -> Value:
    return value != 0


def _nearest(value: float, source: ElementaryType, target: ElementaryType) -> Value:
    return _fit(round, value, source, target)


def _same_bits(value: float, source: ElementaryType, target: ElementaryType) -> Value:
    if source.bits != target.bits:
        raise _no_way(source, target)
    real, whole = ("<f", "<I") if source.bits == 32 else ("<d", "<Q")
    read, written = (whole, real) if source.kind is Kind.REAL else (real, whole)
    (moved,) = struct.unpack(read, struct.pack(written, value))
    return target.wrap(moved)


def _milliseconds(value: int, _source: ElementaryType, target: ElementaryType) -> Value:
    return target.wrap(value / ms(1) if target.kind is Kind.REAL else divide(value, ms(1)))


def _from_milliseconds(value: float, source: ElementaryType, target: ElementaryType) -> Value:
    if isinstance(value, int):
        return target.wrap(value * ms(1))
    return _fit(lambda exact: round(Fraction(exact) * ms(1)), value, source, target)


_WHOLE: Final = (Kind.BOOL, Kind.INTEGER, Kind.BITS)
_RULES: Final[Mapping[tuple[Kind, Kind], _Rule]] = {
    **{(source, target): _low_bits for source in _WHOLE for target in _WHOLE},
    (Kind.INTEGER, Kind.BOOL): _not_zero,
    (Kind.REAL, Kind.BOOL): _not_zero,
    (Kind.BOOL, Kind.REAL): _low_bits,
    (Kind.INTEGER, Kind.REAL): _low_bits,
    (Kind.REAL, Kind.REAL): _low_bits,
    (Kind.REAL, Kind.INTEGER): _nearest,
    (Kind.REAL, Kind.BITS): _same_bits,
    (Kind.BITS, Kind.REAL): _same_bits,
    (Kind.TIME, Kind.TIME): _low_bits,
    (Kind.TIME, Kind.INTEGER): _milliseconds,
    (Kind.TIME, Kind.REAL): _milliseconds,
    (Kind.INTEGER, Kind.TIME): _from_milliseconds,
    (Kind.REAL, Kind.TIME): _from_milliseconds,
    **{(source, Kind.STRING): lambda value, source, _target: show_value(value, source) for source in Kind},
}


def convert(value: Value, source: ElementaryType, target: ElementaryType) -> Value:
    """Convert a value as the standard's function SOURCE_TO_TARGET does.

    Choices: whole numbers and bit strings keep their low bits (a negative integer is sign-extended); a bit string is
    TRUE by its lowest bit, a number when it is not 0; REAL and DWORD, LREAL and LWORD exchange their bit pattern; a
    duration is a number of milliseconds, as in most controllers: cut toward zero into integers, and a real number of
    milliseconds rounds to the nearest nanosecond; anything becomes the text that `show_value` writes.

    Args:
        value: what `source` holds.
        source: the type of the value.
        target: the type wanted.

    Returns:
        What `target` holds. Real to integer rounds to nearest, ties to even.

    Raises:
        ProgramError: no such conversion (also with `source.default`, so a check before the run finds it); or a real
            that is infinite, not a number or beyond the target: controllers differ, so no program may rely on it.

    Source: IEC 61131-3:2003 Table 22; IEC 61131-3:2013 tables of conversions, from memory
        (tests/external/test_iec_types).
    """
    return converter(source, target)(value)


def converter(source: ElementaryType, target: ElementaryType) -> Callable[[Any], Value]:
    """Give what converts as `convert` does; looked up once for many values."""
    if source.name == target.name:
        return lambda value: value
    rule = _RULES.get((source.kind, target.kind))
    if rule is None:
        return partial(_refused, source=source, target=target)
    return lambda value: rule(value, source, target)


def _refused(_value: Value, source: ElementaryType, target: ElementaryType) -> Value:
    raise _no_way(source, target)


def truncate(value: float, source: ElementaryType, target: ElementaryType) -> Value:
    """Convert a real to an integer toward zero (TRUNC); raises `ProgramError` as `convert` does."""
    return _fit(math.trunc, value, source, target)


def divide(left: float, right: float) -> int | float:
    """Divide exactly: whole numbers and durations toward zero, reals as they are.

    Args:
        left: the dividend.
        right: the divisor.

    Returns:
        A whole number if both are; not yet wrapped (INT -32768 / -1 is 32768 here).

    Raises:
        ProgramError: the divisor is 0, of whole numbers and of reals.
    """
    if right == 0:
        raise ProgramError(
            f"{left} is divided by 0", "the standard calls this an error", "test the divisor before dividing"
        )
    if isinstance(left, int) and isinstance(right, int):
        whole = abs(left) // abs(right)
        return whole if (left < 0) == (right < 0) else -whole
    return left / right


def modulo(left: int, right: int) -> int:
    """Give the remainder of `divide` with the sign of the dividend; by 0 it is 0, as the standard's formula says."""
    if right == 0:
        return 0
    rest = abs(left) % abs(right)
    return -rest if left < 0 else rest


def _fit(rounding: Callable[[float], int], value: float, source: ElementaryType, target: ElementaryType) -> Value:
    if math.isfinite(value):
        whole = rounding(value)
        if target.least <= whole <= target.most:
            return whole
    raise ProgramError(
        f"{show_value(value, source)} does not fit {target.name}",
        f"the standard leaves open what {source.name}_TO_{target.name} then gives, so controllers differ",
        "limit the value before it is converted",
    )


def _no_way(source: ElementaryType, target: ElementaryType) -> ProgramError:
    mend = "change a type" if source.kind is Kind.STRING else "convert through an integer type"
    return ProgramError(f"{source.name}_TO_{target.name} is not offered", "the two kinds have no common value", mend)
