"""Thinning for the screen: what one column of pixels holds of a course, however many changes that is.

The same code for the page is assets/columns.js; a test holds both against the trace. Rule: a column in which something
changed is never drawn as if nothing had: every change is counted, every extreme kept.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from math import floor


def edges(first: int, last: int, width: int) -> list[int]:
    """Give the instants at which columns begin, and one past the window's end."""
    pace = (last - first) / width
    return [*(first + floor(pace * column) for column in range(width)), last + 1]


def columns(times: Sequence[int], first: int, last: int, width: int) -> tuple[list[int], list[int]]:
    """Give how many changes each column holds, and the number of the entry that stands at its end.

    Args:
        times: of a course; its first entry is no change.
        first: begin of the window, ns.
        last: its end, ns, included.
        width: columns.
    """
    counts, after = [], []
    begins = edges(first, last, width)
    here = max(1, bisect_left(times, begins[0]))
    for right in begins[1:]:
        there = max(here, bisect_left(times, right, here))
        counts.append(there - here)
        after.append(there - 1)
        here = there
    return counts, after


def at(times: Sequence[int], values: Sequence[float], t: int) -> float:
    """Give where a line is at an instant; at a jump, after it."""
    n = max(0, bisect_right(times, t) - 1)
    if n + 1 == len(times) or t <= times[n]:
        return values[n]
    return values[n] + (values[n + 1] - values[n]) * ((t - times[n]) / (times[n + 1] - times[n]))


def spans(
    times: Sequence[int], values: Sequence[float], first: int, last: int, width: int, *, line: bool
) -> list[tuple[float, float]]:
    """Give least and greatest value of a numeric course in each column, what it brings in and carries out included.

    Args:
        times: of the course.
        values: of the course.
        first: begin of the window, ns.
        last: its end, ns.
        width: columns.
        line: it is straight between its entries; otherwise it steps.
    """
    begins = edges(first, last, width)
    counts, after = columns(times, first, last, width)
    found = []
    for column in range(width):
        if line:
            ends = [at(times, values, begins[column]), at(times, values, min(begins[column + 1], last))]
        else:
            ends = [values[after[column] - counts[column]]]
        inside = values[after[column] - counts[column] + 1 : after[column] + 1]
        found.append((min(*ends, *inside), max(*ends, *inside)) if len(inside) + len(ends) > 1 else (ends[0],) * 2)
    return found
