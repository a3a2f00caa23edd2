"""The columns of the I/O list that only numbers have, and those that only a BOOL has.

The other columns are io_file.py, what a range and a scale do is analog_span.py. Rule: nothing is guessed; a range
without a unit or a scale that its type cannot hold is a mistake.
"""

import re
from typing import Final

from simplant.errors import WiringError
from simplant.values import BOOL, ElementaryType, Value
from simplant.wiring.analog_span import AnalogSpan
from simplant.wiring.csv_rows import Row

_DIGITAL: Final = ("contact", "signal", "input", "filter")
_ANALOG: Final = ("range", "scale")
_NUMBER: Final = r"([-+]?\d+(?:\.\d+)?)"
_ENDS: Final = re.compile(rf"{_NUMBER}\s*(?:\.\.|-)\s*{_NUMBER}\s*(\S*)")
_ELECTRICAL: Final = {"MA": "mA", "V": "V"}


def read_span(row: Row, kind: ElementaryType) -> AnalogSpan | None:
    """Read range and scale of a number; on a mistake note it and give None."""
    if not row.text("range"):
        mend = "name it in column 'range', for instance 4-20mA or 0-10V"
        row.blame("type", f"nothing says what comes over the wire of this {kind.name}", "", mend)
        return None
    ends = row.read("range", _range)
    if ends is None:
        return None
    plain = "0..10000" if kind.is_integer else f"{ends[0]}..{ends[1]}"
    scale = row.read("scale", lambda text: _scale(text or plain, kind))
    return AnalogSpan(*ends, *scale) if scale else None


def read_safe(row: Row, kind: ElementaryType) -> Value | None:
    """Read the safe number of an output; on a mistake note it and give None."""
    return row.read("safe", lambda text: _number(text or "0", kind))


def blame_foreign(row: Row, kind: ElementaryType) -> None:
    """Refuse what only a BOOL or only a number can have."""
    foreign, only = (_ANALOG, "a number") if kind is BOOL else (_DIGITAL, "a BOOL")
    for column in foreign:
        if text := row.text(column):
            what = f"column {column!r} is {text!r} for {kind.name}"
            row.blame(column, what, f"only {only} has this column", "leave it empty")


def _range(text: str) -> tuple[float, float, str]:
    """Read `4-20mA`, `-10..10 V` or `0..120 degC`: low end, high end, unit.

    Raises:
        WiringError: it is no range, its ends are in the wrong order, or it has no unit.
    """
    match = _ENDS.fullmatch(text)
    if match is None or not match[3]:
        raise WiringError(f"{text!r} is not a range", mend="write for instance 4-20mA, 0-10V, -10..10V or 0..120 degC")
    low, high = float(match[1]), float(match[2])
    if low >= high:
        raise WiringError(f"{text!r} goes from {low:g} to {high:g}", mend="write the lower end first")
    return low, high, _ELECTRICAL.get(match[3].upper(), match[3])


def _scale(text: str, kind: ElementaryType) -> tuple[float, float]:
    """Read `0..10000`: the number at the low and at the high end of the range; each must suit the type.

    Raises:
        WiringError: it is no pair of numbers, or both are the same.
        ProgramError: a number does not fit the type.
    """
    match = _ENDS.fullmatch(text)
    if match is None or match[3]:
        raise WiringError(f"{text!r} is not a scale", mend="write the numbers at both ends, for instance 0..10000")
    for end in (match[1], match[2]):
        _number(end, kind)
    low, high = float(match[1]), float(match[2])
    if low == high:
        raise WiringError(f"{text!r} has the same number at both ends", mend="write two that differ")
    return low, high


def _number(text: str, kind: ElementaryType) -> Value:
    """Read a number of a type; raises `WiringError` if it is none, `ProgramError` if it does not fit."""
    if not re.fullmatch(_NUMBER, text):
        raise WiringError(f"{text!r} is not a number", mend="write for instance 0")
    return kind.check(float(text) if "." in text or not kind.is_integer else int(text))
