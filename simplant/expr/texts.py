"""The string functions of the standard, and reading values from text.

Positions count from 1. Rule: a position or length outside the text is an error, as the standard says, but a part that
merely ends beyond the text ends with it.
"""

import re
from collections.abc import Callable
from typing import Any, Final

from simplant.errors import ProgramError
from simplant.values import ElementaryType, Kind, Value
from simplant.values.written import read_clock, read_day, read_duration, read_instant, read_number


def _count(number: int, what: str) -> int:
    if number < 0:
        raise ProgramError(f"{what} is {number}", "the standard calls this an error", "use 0 or more")
    return number


def _start(position: int) -> int:
    if position < 1:
        raise ProgramError(f"a position in a text is {position}", "the first letter is at position 1")
    return position - 1


def _left(text: str, length: int) -> str:
    return text[: _count(length, "a length")]


def _right(text: str, length: int) -> str:
    return text[max(0, len(text) - _count(length, "a length")) :]


def _mid(text: str, length: int, position: int) -> str:
    start = _start(position)
    return text[start : start + _count(length, "a length")]


def _insert(text: str, other: str, position: int) -> str:
    where = _count(position, "a position")
    return text[:where] + other + text[where:]


def _delete(text: str, length: int, position: int) -> str:
    start = _start(position)
    return text[:start] + text[start + _count(length, "a length") :]


def _replace(text: str, other: str, length: int, position: int) -> str:
    start = _start(position)
    return text[:start] + other + text[start + _count(length, "a length") :]


def _letter_at(text: str, position: int) -> str:
    return text[_there(text, position)]


def _with_letter(text: str, position: int, letter: str) -> str:
    here = _there(text, position)
    if not letter:
        raise ProgramError(f"letter {position} of a text is given an empty CHAR", mend="write DELETE to take it out")
    return text[:here] + letter + text[here + 1 :]


def _there(text: str, position: int) -> int:
    if not 1 <= position <= len(text):
        why = f"it has {len(text)}" if text else "it is empty"
        raise ProgramError(f"the text {text!r} has no letter {position}", why, "test LEN before")
    return position - 1


TEXTS: Final[dict[str, Callable[..., Any]]] = {
    "LEN": len, "LEFT": _left, "RIGHT": _right, "MID": _mid, "CONCAT": lambda *texts: "".join(texts),
    "INSERT": _insert, "DELETE": _delete, "REPLACE": _replace, "LETTER_AT": _letter_at, "WITH_LETTER": _with_letter,
    "FIND": lambda text, other: text.find(other) + 1,
}  # fmt: skip
"""Source: IEC 61131-3:2003 Table 29, from memory (tests/external/test_st_functions)."""


def read_as(text: str, wanted: ElementaryType) -> Value:
    """Read a value from text, as STRING_TO_X does: what X_TO_STRING writes, with and without the prefix of a literal.

    Raises:
        ProgramError: the text is no such value.
    """
    if wanted.kind is Kind.STRING:
        return text
    try:
        return _READ[wanted.kind](text.strip(), wanted)
    except (ValueError, KeyError, IndexError, ArithmeticError, ProgramError):
        raise ProgramError(f"the text {text!r} is no {wanted.name}", mend="test the text before") from None


def _plain(text: str) -> str:
    return text.replace("_", "")


def _real(text: str, wanted: ElementaryType) -> Value:
    """Read digits only: 'nan' and 'inf', which Python would take, are no literals."""
    if not _REAL.fullmatch(_plain(text)):
        raise ValueError
    return wanted.check(float(_plain(text)))


def _whole(text: str, wanted: ElementaryType) -> Value:
    number = read_number(_plain(text))
    if not isinstance(number, int):
        raise ValueError
    return wanted.check(number)


def _date(text: str, wanted: ElementaryType) -> Value:
    heads, read = _DATES[wanted.name]
    return read(_bare(text, heads))


def _bare(text: str, heads: tuple[str, ...]) -> str:
    """Take the prefix of a literal from a text, if it has one."""
    head, mark, rest = text.upper().rpartition("#")
    if mark and head.removeprefix("L") not in heads:
        raise ValueError
    return rest


_REAL: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_DATES: Final = {
    "DATE": (("D", "DATE"), read_day), "TOD": (("TOD", "TIME_OF_DAY"), read_clock),
    "DT": (("DT", "DATE_AND_TIME"), read_instant),
}  # fmt: skip
_BOOLS: Final = {"TRUE": True, "FALSE": False, "1": True, "0": False}
_READ: Final[dict[Kind, Callable[[str, ElementaryType], Value]]] = {
    Kind.BOOL: lambda text, _wanted: _BOOLS[text.upper()],
    Kind.REAL: _real,
    Kind.TIME: lambda text, _wanted: read_duration(_plain(_bare(text, ("T", "TIME"))).replace(" ", "")),
    Kind.DATE: _date,
    Kind.INTEGER: _whole,
    Kind.BITS: _whole,
}
