"""What the literals of Structured Text mean: numbers, durations, dates, texts.

Finding them in a source is tokens.py. Rule: exact; a number without a type leaves its type open, since what stands
around it decides.
"""

import re
from datetime import date
from decimal import Decimal
from typing import Final

from simplant.errors import ProgramError
from simplant.timebase import duration
from simplant.values import (
    BOOL,
    DATE,
    DT,
    LTIME,
    STRING,
    TIME,
    TOD,
    TYPES,
    WSTRING,
    ElementaryType,
    Kind,
    Value,
)

_DURATIONS: Final = {"T": TIME, "TIME": TIME, "LT": LTIME, "LTIME": LTIME}
_DAYS: Final = {"D", "DATE", "LD", "LDATE"}
_CLOCKS: Final = {"TOD", "TIME_OF_DAY", "LTOD", "LTIME_OF_DAY"}
_INSTANTS: Final = {"DT", "DATE_AND_TIME", "LDT", "LDATE_AND_TIME"}
_UNITS: Final = ("d", "h", "m", "s", "ms", "us", "ns")
_LIMITS: Final = {"h": 24, "m": 60, "s": 60, "ms": 1000, "us": 1000, "ns": 1000}
_PART: Final = re.compile(r"(\d[\d_]*(?:\.\d[\d_]*)?)_?(ms|us|ns|[dhms])_?")
_ESCAPES: Final = {"$": "$", "'": "'", '"': '"', "L": "\n", "N": "\n", "P": "\f", "R": "\r", "T": "\t"}

Read = tuple[Value, ElementaryType | None]
"""A value, and its type where the literal says it."""


def read_literal(text: str) -> Read:
    """Read one literal.

    Raises:
        ProgramError: it is written wrongly, or does not fit the type that it names.
    """
    try:
        return _read(text)
    except (ValueError, IndexError, ArithmeticError):
        raise ProgramError(f"{text} is no literal", mend="write for instance INT#5, D#2026-01-31, T#250ms") from None


def _read(text: str) -> Read:
    if text[0] in "'\"":
        return read_text(text), STRING if text[0] == "'" else WSTRING
    head, mark, rest = text.partition("#")
    prefix = head.upper()
    if not mark or prefix[0].isdigit():
        return read_number(text), None
    if prefix in _DURATIONS:
        return read_duration(rest), _DURATIONS[prefix]
    if prefix in _DAYS:
        return read_day(rest), DATE
    if prefix in _CLOCKS:
        return read_clock(rest), TOD
    if prefix in _INSTANTS:
        day, clock = rest[: (cut := rest.index("-", rest.index("-", 1 + rest.index("-")) + 1))], rest[cut + 1 :]
        return read_day(day) + read_clock(clock), DT
    return _typed(prefix, rest)


def _typed(prefix: str, rest: str) -> Read:
    if prefix in ("STRING", "WSTRING", "CHAR", "WCHAR") and rest[0] in "'\"":
        return read_text(rest), WSTRING if prefix[0] == "W" else STRING
    type_ = TYPES.get(prefix)
    if type_ is None:
        raise ProgramError(f"there is no type {prefix!r}", mend="write for instance INT#5, 16#FF, T#250ms")
    if type_ is BOOL and rest.upper() in ("TRUE", "FALSE"):
        return rest.upper() == "TRUE", BOOL
    if type_.kind is Kind.TIME or not (rest[0].isdigit() or rest[0] in "+-"):
        raise ProgramError(f"{prefix}#{rest} is no literal", mend=f"write for instance {prefix}#1")
    value = read_number(rest)
    if isinstance(value, float) and type_.kind is not Kind.REAL:
        raise ProgramError(f"{prefix}#{rest} is no whole number")
    return type_.check(value), type_


def read_number(text: str) -> int | float:
    """Read `12`, `-1_000`, `16#FF`, `3.14e-2`."""
    sign, digits = (-1, text[1:]) if text[0] == "-" else (1, text.lstrip("+"))
    base, mark, rest = digits.partition("#")
    if mark:
        return sign * _based(base, rest, text)
    if "__" in digits or digits.endswith("_"):
        raise ProgramError(f"{text} has an underscore too many", mend="one underscore stands between two digits")
    plain = digits.replace("_", "")
    return sign * (int(plain) if plain.isdigit() else float(plain))


def _based(base: str, digits: str, text: str) -> int:
    if base not in ("2", "8", "16"):
        raise ProgramError(f"{text} is to base {base}", "the standard has the bases 2, 8 and 16")
    try:
        if digits.startswith("_") or digits.endswith("_") or "__" in digits:
            raise ValueError
        return int(digits.replace("_", ""), int(base))
    except ValueError:
        raise ProgramError(f"{text} is no number to base {base}") from None


def read_duration(text: str) -> int:
    """Read `5d14h12m18s3.5ms` or `-1.5s`, as nanoseconds, exactly.

    Units come largest first; only the first may exceed its range, only the last may have a fraction; units may be
    left out between (an addition of edition 3). Source: IEC 61131-3:2003 Table 7, B.1.2.3.1
    (tests/external/test_st_literals).
    """
    sign, rest = (-1, text[1:]) if text[0] == "-" else (1, text.lstrip("+"))
    total, last, here, fraction = 0, -1, 0, False
    lowered = rest.lower()
    while here < len(lowered):
        match = _PART.match(lowered, here)
        if match is None:
            mend = f"write T#{text}s or T#{text}ms" if text.isdigit() else "write for instance T#1m30s or T#250ms"
            raise ProgramError(f"{text} is no duration", mend=mend)
        amount, unit = match[1].replace("_", ""), match[2]
        if _UNITS.index(unit) <= last or fraction:
            raise ProgramError(
                f"the units of {text} are out of order", "largest first; only the last may have a fraction"
            )
        if last >= 0 and Decimal(amount) >= _LIMITS[unit]:
            raise ProgramError(f"{amount}{unit} stands after a larger unit", f"only up to {_LIMITS[unit] - 1} may")
        total += _exact(amount, unit)
        last, here, fraction = _UNITS.index(unit), match.end(), "." in amount
    return int(TIME.check(sign * total))


def _exact(amount: str, unit: str) -> int:
    """Give an amount in nanoseconds; what is finer is cut off."""
    scaled = Decimal(amount) * int(duration(f"1{unit}"))
    return int(scaled)


def read_day(text: str) -> int:
    """Read `2026-01-31`, as nanoseconds since 1970."""
    year, month, day = (int(part) for part in text.split("-"))
    try:
        return (date(year, month, day) - date(1970, 1, 1)).days * int(duration("1d"))
    except ValueError as error:
        raise ProgramError(f"{text} is no date", str(error), "write for instance D#2026-01-31") from None


def read_clock(text: str) -> int:
    """Read `08:30:00.5`, as nanoseconds since midnight."""
    hour, minute, second = (*text.replace("_", "").split(":"), "0")[:3]
    if int(hour) > 23 or int(minute) > 59 or Decimal(second) >= 60:
        raise ProgramError(f"{text} is no time of day", mend="write for instance TOD#08:30:00")
    return int(hour) * int(duration("1h")) + int(minute) * int(duration("1m")) + _exact(second, "s")


def read_text(text: str) -> str:
    """Read a text in quotes with its $ escapes: `$$ $' $" $L $N $P $R $T $0A` (in double quotes `$000A`)."""
    digits, inside = 2 if text[0] == "'" else 4, text[1:-1]
    out, here = "", 0
    while here < len(inside):
        if inside[here] != "$":
            out, here = out + inside[here], here + 1
            continue
        sign = inside[here + 1].upper() if here + 1 < len(inside) else ""
        code = inside[here + 1 : here + 1 + digits]
        if sign in _ESCAPES and sign:
            out, here = out + _ESCAPES[sign], here + 2
        elif len(code) == digits and re.fullmatch(r"[0-9A-Fa-f]+", code):
            out, here = out + chr(int(code, 16)), here + 1 + digits
        else:
            raise ProgramError(f"${sign} in a text means nothing", mend="write $$ for the sign itself")
    return out


__all__ = ["Read", "read_literal"]
