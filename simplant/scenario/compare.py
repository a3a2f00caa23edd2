"""Where two traces of one run part: the first differing line, its neighbours, and each name's own first instant.

Showing it is cli/views/difference.py. Rule: headers are never compared.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import zip_longest
from typing import Final

from simplant.scenario.trace import EVENT, Row, Rows, event_or_value, rows_text, value_text
from simplant.timebase import Ns

NEIGHBOURS: Final = 4
"""Lines shown before and after a difference."""


@dataclass(frozen=True, slots=True)
class NameDifference:
    """One name whose course differs.

    Args:
        name: tag, chart or truth; `!` for events.
        at: first instant at which it differs, ns.
        stored, now: its value from then on in either trace, as text; "" if it has none.
    """

    name: str
    at: Ns
    stored: str
    now: str


@dataclass(frozen=True, slots=True)
class Difference:
    """The first difference of two traces.

    Args:
        line: number of the first differing line below the header, from 1.
        before: lines common to both, just above it.
        stored, now: the lines from there on in either trace; empty if it has ended.
        names: every name that differs, by instant.
    """

    line: int
    before: tuple[str, ...]
    stored: tuple[str, ...]
    now: tuple[str, ...]
    names: tuple[NameDifference, ...]


def first_difference(stored: Rows, now: Rows) -> Difference | None:
    """Compare a stored trace with one just made.

    Args:
        stored: the older trace.
        now: the newer one.

    Returns:
        None if they have the same rows; else where they part and which names differ.
    """
    left, right = list(stored), list(now)
    for index, (a, b) in enumerate(zip_longest(left, right)):
        if a is None or b is None or not _same(a, b):
            return Difference(
                index + 1,
                _lines(left[max(0, index - NEIGHBOURS) : index]),
                _lines(left[index : index + NEIGHBOURS]),
                _lines(right[index : index + NEIGHBOURS]),
                _by_name(left, right),
            )
    return None


def _same(a: Row, b: Row) -> bool:
    """Compare as written: 1 and TRUE are one, 1 and 1.0 are not."""
    return a[:2] == b[:2] and event_or_value(a[1], a[2]) == event_or_value(b[1], b[2])


def _lines(rows: Iterable[Row]) -> tuple[str, ...]:
    return tuple(rows_text(rows).split("\n")[:-1])


def _by_name(left: list[Row], right: list[Row]) -> tuple[NameDifference, ...]:
    of_left, of_right = _courses(left), _courses(right)
    names = dict.fromkeys((*of_left, *of_right))
    found = [_course_difference(name, of_left.get(name, []), of_right.get(name, [])) for name in names]
    return tuple(sorted((d for d in found if d is not None), key=lambda d: (d.at, d.name)))


def _courses(rows: list[Row]) -> dict[str, list[Row]]:
    courses: dict[str, list[Row]] = {}
    for row in rows:
        courses.setdefault(row[1], []).append(row)
    return courses


def _course_difference(name: str, left: list[Row], right: list[Row]) -> NameDifference | None:
    for index, (a, b) in enumerate(zip_longest(left, right)):
        if a is None or b is None or not _same(a, b):
            at = min(row[0] for row in (a, b) if row is not None)
            return NameDifference(name, Ns(at), _value_at(left, index, at), _value_at(right, index, at))
    return None


def _value_at(course: list[Row], index: int, at: int) -> str:
    """Give the value at an instant: of the row at `index` if it is due by then, else of the one before."""
    if index < len(course) and course[index][0] == at:
        return event_or_value(course[index][1], course[index][2])
    if index and course[index - 1][1] != EVENT:
        return value_text(course[index - 1][2])
    return ""
