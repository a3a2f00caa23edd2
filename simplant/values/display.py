"""Values written for people, as the literals of IEC 61131-3.

Used by reports, traces, messages and the conversions to STRING; reading literals is logic/.
Rule: nothing is rounded; what is shown reads back as the same value.
"""

import math
from datetime import UTC, datetime, timedelta
from typing import Final

from simplant.timebase import duration
from simplant.values.elementary import REAL, ElementaryType, Kind, Value

_UNITS: Final = tuple((unit, duration(f"1{unit}")) for unit in ("d", "h", "m", "s", "ms", "us", "ns"))


def show_value(value: Value, type_: ElementaryType) -> str:
    """Write a value as a literal of its type.

    Args:
        value: what the type holds.
        type_: its type.

    Returns:
        `TRUE`, `-12`, `16#00FF`, `0.1`, `T#1s500ms`, `LTIME#2us`, `'it$'s'`. Infinite reals and NaN, for which the
        standard has no literal, are `Infinity`, `-Infinity`, `NaN`.
    """
    match type_.kind, value:
        case Kind.BOOL, _:
            return "TRUE" if value else "FALSE"
        case Kind.BITS, int():
            return f"16#{value:0{type_.bits // 4}X}"
        case Kind.REAL, int() | float():
            return _show_real(float(value), single=type_ == REAL)
        case Kind.TIME, int():
            return f"{'LTIME' if type_.name == 'LTIME' else 'T'}#{_show_duration(value)}"
        case Kind.DATE, int():
            return _show_instant(value, type_.name)
        case Kind.STRING, str():
            return f"'{''.join(_show_letter(letter) for letter in value)}'"
        case _:
            return str(value)


def _show_real(value: float, *, single: bool) -> str:
    if not math.isfinite(value):
        return "NaN" if math.isnan(value) else "Infinity" if value > 0 else "-Infinity"
    text = repr(value)
    if single:  # the fewest digits that read back as this single
        text = next(t for t in (f"{value:.{digits}g}" for digits in range(1, 18)) if REAL.wrap(float(t)) == value)
        text = repr(float(text))
    mantissa, mark, exponent = text.partition("e")
    return mantissa + ("" if "." in mantissa else ".0") + mark + exponent


def _show_duration(span: int) -> str:
    text, rest = "-" if span < 0 else "", abs(span)
    for unit, length in _UNITS:
        amount, rest = divmod(rest, length)
        if amount:
            text += f"{amount}{unit}"
    return text if span else "0s"


def _show_letter(letter: str) -> str:
    if letter in "$'":
        return f"${letter}"
    return letter if letter.isprintable() else f"${ord(letter):02X}"


def _show_instant(value: int, name: str) -> str:
    """Write an instant as `D#2026-01-31`, `TOD#08:30:00` (since midnight) or `DT#2026-01-31-08:30:00`."""
    seconds, rest = divmod(value, 1_000_000_000)
    try:
        instant = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds)
    except OverflowError:
        return str(value)
    clock = f"{instant:%H:%M:%S}" + (f".{rest:09d}".rstrip("0") if rest else "")
    day = f"{instant.year:04d}{instant:-%m-%d}"
    return {"DATE": f"D#{day}", "TOD": f"TOD#{clock}"}.get(name, f"DT#{day}-{clock}")
