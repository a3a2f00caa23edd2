"""The time scale of a chart: round instants, as far apart as their numbers need.

Rule: a scale says its unit, and two neighbouring numbers never look the same.
"""

from typing import Final

from simplant.report.svg import CHARACTER

_SECOND: Final = 10**9
_LONG: Final = tuple(_SECOND * n for n in (60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 43200, 86400))


def step_of(span: int, width: int, characters: int = 11) -> int:
    """Give the distance of marks, ns: 1, 2, 5, 10 ... up to 30 s, then round minutes and hours."""
    least = span * characters * CHARACTER / width
    size = 1
    while size <= 10 * _SECOND:
        for factor in (1, 2, 5):
            if size * factor >= least and size * factor < 60 * _SECOND:
                return size * factor
        size *= 10
    return next((long for long in _LONG if long >= least), _LONG[-1])


def told(t: int, step: int) -> str:
    """Give an instant as its mark says it: seconds, or hours, minutes and seconds if marks are minutes apart."""
    if step >= 60 * _SECOND:
        minutes, rest = divmod(t // _SECOND, 60)
        return f"{minutes // 60}:{minutes % 60:02d}:{rest:02d}"
    digits, unit = 0, _SECOND
    while step % unit and digits < 9:
        digits, unit = digits + 1, unit // 10
    whole, rest = divmod(t, _SECOND)
    return f"{whole}" + (f".{rest // unit:0{digits}d}" if digits else "") + " s"
