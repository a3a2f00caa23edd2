"""What the literals of Structured Text mean: numbers, durations, dates, texts.

Finding them in a source is tokens.py, reading what stands behind a prefix values/written.py. Rule: exact; a number
without a type leaves its type open, since what stands around it decides.
"""

import re
from typing import Final

from simplant.errors import ProgramError
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
from simplant.values.written import read_clock, read_day, read_duration, read_instant, read_number

_DURATIONS: Final = {"T": TIME, "TIME": TIME, "LT": LTIME, "LTIME": LTIME}
_DAYS: Final = {"D", "DATE", "LD", "LDATE"}
_CLOCKS: Final = {"TOD", "TIME_OF_DAY", "LTOD", "LTIME_OF_DAY"}
_INSTANTS: Final = {"DT", "DATE_AND_TIME", "LDT", "LDATE_AND_TIME"}
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
        return read_instant(rest), DT
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
