"""Reading values from how the standard writes them: numbers, durations, dates, times of day.

Which literal is meant is logic/st/literals.py, conversions from texts are expr/texts.py; writing is display.py. Rule:
exact, and what does not exist (the 30th of February, the hour 25) is a `ProgramError`, never another value.
"""

import re
from datetime import date
from decimal import Decimal
from typing import Final

from simplant.errors import ProgramError
from simplant.timebase import duration
from simplant.values.elementary import DATE, DT, TIME

_UNITS: Final = ("d", "h", "m", "s", "ms", "us", "ns")
_LIMITS: Final = {"h": 24, "m": 60, "s": 60, "ms": 1000, "us": 1000, "ns": 1000}
_PART: Final = re.compile(r"(\d[\d_]*(?:\.\d[\d_]*)?)_?(ms|us|ns|[dhms])_?")
_DAY: Final = int(duration("1d"))


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
    year, month, day = text.split("-")
    if len(year) <= 2 and len(day) == 4:
        mend = f"write {day}-{month}-{year}" if month == year or int(year) > 12 else "write for instance 2026-01-31"
        raise ProgramError(f"{text} is no date", "the year comes first, then the month, then the day", mend)
    return day_of(int(year), int(month), int(day))


def read_clock(text: str) -> int:
    """Read `08:30:00.5`, as nanoseconds since midnight."""
    hour, minute, second = (*text.replace("_", "").split(":"), "0")[:3]
    if int(hour) > 23 or int(minute) > 59 or Decimal(second) >= 60:
        raise ProgramError(f"{text} is no time of day", mend="write for instance TOD#08:30:00")
    return int(hour) * int(duration("1h")) + int(minute) * int(duration("1m")) + _exact(second, "s")


def read_instant(text: str) -> int:
    """Read `2026-01-31-08:30:00`, as nanoseconds since 1970."""
    if text.count("-") < 3:
        raise ProgramError(f"{text} has no time of day", mend=f"write {text}-00:00:00, or D#{text} for a day")
    year, month, day, clock = text.split("-")
    return int(DT.check(read_day(f"{year}-{month}-{day}") + read_clock(clock)))


def day_of(year: int, month: int, day: int) -> int:
    """Give a day as nanoseconds since 1970; raises `ProgramError` if there is no such, or DATE cannot hold it."""
    shown = f"{year:04d}-{month:02d}-{day:02d}"
    try:
        number = (date(year, month, day) - date(1970, 1, 1)).days
    except (ValueError, OverflowError) as error:
        raise ProgramError(f"{shown} is no date", str(error), "write for instance D#2026-01-31") from None
    if not DATE.least <= number * _DAY <= DATE.most:
        raise ProgramError(f"{shown} does not fit DATE", "it counts nanoseconds, from 1677-09-22 to 2262-04-11")
    return number * _DAY


def clock_of(hour: int, minute: int, second: int, millisecond: int) -> int:
    """Give a time of day as nanoseconds since midnight; raises `ProgramError` if there is no such."""
    for number, most, what in ((hour, 23, "hour"), (minute, 59, "minute"), (second, 59, "second"),
                               (millisecond, 999, "millisecond")):  # fmt: skip
        if not 0 <= number <= most:
            raise ProgramError(f"{what} {number} is no time of day", f"it goes from 0 to {most}", "test it before")
    seconds = (hour * 60 + minute) * 60 + second
    return (seconds * 1000 + millisecond) * int(duration("1ms"))
