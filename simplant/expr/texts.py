"""The string functions of the standard, and reading values from text.

Positions count from 1. Rule: a position or length outside the text is an error, as the standard says, but a part that
merely ends beyond the text ends with it.
"""

from collections.abc import Callable
from typing import Any, Final

from simplant.errors import ProgramError
from simplant.timebase import duration
from simplant.values import ElementaryType, Kind, Value


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


TEXTS: Final[dict[str, Callable[..., Any]]] = {
    "LEN": len, "LEFT": _left, "RIGHT": _right, "MID": _mid, "CONCAT": lambda *texts: "".join(texts),
    "INSERT": _insert, "DELETE": _delete, "REPLACE": _replace, "FIND": lambda text, other: text.find(other) + 1,
}  # fmt: skip
"""Source: IEC 61131-3:2003 Table 29, from memory (tests/external/test_st_functions)."""


def read_as(text: str, wanted: ElementaryType) -> Value:
    """Read a value from text, as STRING_TO_X does.

    Raises:
        ProgramError: the text is no such value.
    """
    plain = text.strip().replace("_", "")
    try:
        match wanted.kind:
            case Kind.STRING:
                return text
            case Kind.BOOL:
                return {"TRUE": True, "FALSE": False, "1": True, "0": False}[plain.upper()]
            case Kind.REAL:
                return wanted.wrap(float(plain))
            case Kind.TIME:
                return int(duration(plain.lower().rpartition("#")[2]))
            case _:
                base, mark, digits = plain.partition("#")
                return wanted.check(int(digits, int(base)) if mark else int(plain))
    except (ValueError, KeyError, ProgramError):
        raise ProgramError(f"the text {text!r} is no {wanted.name}", mend="test the text before") from None
