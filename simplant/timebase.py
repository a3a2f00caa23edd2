"""Integer nanoseconds: the one clock unit, from scenario to trace.

Nothing here knows what happens at an instant; that is kernel/ and rig/. This is the only
file that knows the unit. Rule: text, whole numbers and decimals convert exactly or raise;
floats are refused, since 0.1 s is not a float.
"""

import re
from decimal import Decimal, InvalidOperation
from math import ceil
from typing import Final, NewType

from simplant.errors import UsageError

Ns = NewType("Ns", int)

NEVER: Final = Ns(2**63 - 1)
"""Later than any instant of any run."""

_UNITS: Final = {
    "ns": 1,
    "us": 1_000,
    "ms": 1_000_000,
    "s": 1_000_000_000,
    "m": 60_000_000_000,
    "min": 60_000_000_000,
    "h": 3_600_000_000_000,
    "d": 86_400_000_000_000,
}
_PART: Final = re.compile(r"(\d[\d_]*(?:\.\d+)?)\s*(ns|us|ms|min|s|m|h|d)")


def _exact(amount: int | str | Decimal, unit: str) -> Ns:
    if isinstance(amount, bool) or not isinstance(amount, int | str | Decimal):
        raise UsageError(
            f"expected a whole number, text or Decimal of {unit} but got {amount!r}",
            f"it is of type {type(amount).__name__}, which cannot hold every duration exactly",
            f'write it as text, for instance seconds("{amount}")',
        )
    try:
        scaled = Decimal(amount) * _UNITS[unit]
    except InvalidOperation:
        raise UsageError(f"{amount!r} is not a number of {unit}", mend='write for instance "2.5"') from None
    if not scaled.is_finite() or scaled != int(scaled):
        raise UsageError(f"{amount} {unit} is not a whole number of nanoseconds", mend="round it first")
    return Ns(int(scaled))


def us(amount: int | str | Decimal) -> Ns:
    """Give microseconds as `Ns`, exactly; raises `UsageError` on a float or a part of a nanosecond."""
    return _exact(amount, "us")


def ms(amount: int | str | Decimal) -> Ns:
    """Give milliseconds as `Ns`, exactly; raises `UsageError` on a float or a part of a nanosecond."""
    return _exact(amount, "ms")


def seconds(amount: int | str | Decimal) -> Ns:
    """Give seconds as `Ns`, exactly; raises `UsageError` on a float or a part of a nanosecond."""
    return _exact(amount, "s")


def minutes(amount: int | str | Decimal) -> Ns:
    """Give minutes as `Ns`, exactly; raises `UsageError` on a float or a part of a nanosecond."""
    return _exact(amount, "m")


def duration(text: str) -> Ns:
    """Read a duration such as `250ms`, `1.5 s`, `10m` or `1h 30m`.

    Args:
        text: amounts with units ns, us, ms, s, m (or min), h, d, largest first; a leading minus is refused.

    Returns:
        The duration, exactly.

    Raises:
        UsageError: the text is not a duration or not a whole number of nanoseconds.
    """
    rest, total = text.strip(), 0
    if not rest:
        raise UsageError("a duration is empty", mend='write for instance "250ms" or "1.5s"')
    while rest:
        match = _PART.match(rest)
        if match is None:
            raise UsageError(
                f"{text!r} is not a duration", mend='write a number with a unit (ns us ms s m h d), for instance "1.5s"'
            )
        total += _exact(Decimal(match[1].replace("_", "")), match[2])
        rest = rest[match.end() :].lstrip(" _")
    return Ns(total)


def from_float_seconds(value: float) -> Ns:
    """Round a physical time in seconds up to the next microsecond: the only door from plant maths into the clock.

    What lies less than a thousandth of a nanosecond above a microsecond is that microsecond: 0.0079 s is 7,900 us,
    although the nearest float is a trifle more.
    """
    return Ns(ceil(round(value * 1e6, 6)) * 1_000)


def to_seconds(t: int) -> float:
    """Give an instant in seconds, for plant maths and plots only (never for the clock)."""
    return t / 1e9


def show(t: int) -> str:
    """Write an instant or duration for people: `4.000 s`, `12 ms`, `250 us`; never rounds."""
    if t < 0:
        return "-" + show(-t)
    if t >= 1_000_000_000 or t == 0:
        whole, rest = divmod(t, 1_000_000_000)
        digits = f"{rest:09d}".rstrip("0").ljust(3, "0")
        return f"{whole}.{digits} s"
    for unit in ("ms", "us"):
        if t >= _UNITS[unit]:
            return f"{Decimal(t) / _UNITS[unit]:f} {unit}"
    return f"{t} ns"
