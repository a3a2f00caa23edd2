"""A continuous truth as a line: its curve pieces turned into points that are straight between each other.

The curves are curves/; drawing is draw.py. Rule: the line is nowhere further from the curve than `CLOSE` of the whole
range of the run, which is less than a pixel of its row however far one zooms; jumps stay jumps.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from simplant.curves import Curve, Pieces
from simplant.curves.mapped import Scaled
from simplant.part import Signal
from simplant.report.courses import Course, Kind
from simplant.timebase import Ns

CLOSE: Final = 1 / 500
"""Share of the range by which the line may miss the curve."""
_FINEST: Final = 2_000
"""Two points closer than this, ns, are not parted further."""

Piece = tuple[int, Signal]
"""(since when, what it is from then on: a curve or a number)."""


def line_of(name: str, pieces: Sequence[Piece], end: int) -> Course:
    """Give a truth as a line.

    Args:
        name: `part.terminal`.
        pieces: in order of time, at least one.
        end: where the last piece ends, ns.
    """
    course = Course(name, Kind.LINE)
    close = max(_range(pieces, end) * CLOSE, 1e-12)
    for start, stop, signal in _spans(pieces, end):
        if isinstance(signal, Curve):
            for t, y in _along(signal, start, stop, close):
                _put(course, t, y)
        else:
            _put(course, start, float(signal))
            _put(course, stop, float(signal))
    return course


def _spans(pieces: Sequence[Piece], end: int) -> Iterator[tuple[int, int, Signal]]:
    ends = [*(at for at, _ in pieces[1:]), end]
    for (start, signal), stop in zip(pieces, ends, strict=True):
        if stop > start or start == end:
            yield start, stop, signal


def _range(pieces: Sequence[Piece], end: int) -> float:
    least, most = float("inf"), float("-inf")
    for start, stop, signal in _spans(pieces, end):
        low, high = signal.extremes(Ns(start), Ns(stop)) if isinstance(signal, Curve) else (float(signal),) * 2
        least, most = min(least, low), max(most, high)
    return most - least


def _put(course: Course, t: int, y: float) -> None:
    """Add a point, less those that a straight line passes through anyway."""
    times, values = course.times, course.values
    if times and times[-1] == t and values[-1] == y:
        return
    if len(times) > 1 and values[-1] == values[-2] == y and times[-1] > times[-2]:
        times[-1] = t
        return
    times.append(t)
    values.append(y)


def _along(curve: Curve, start: int, stop: int, close: float) -> Iterator[tuple[int, float]]:
    knots = sorted({start, stop, *(k for k in knots_of(curve) if start < k < stop)})
    yield start, curve.at(Ns(start))
    for left, right in pairwise(knots):
        yield from _bend(curve, (left, curve.at(Ns(left))), (right, curve.at(Ns(right))), close)


def _bend(curve: Curve, left: tuple[int, float], right: tuple[int, float], close: float) -> Iterator[tuple[int, float]]:
    """Give the points after `left` up to `right`, halved until straight lines are close enough."""
    (t0, y0), (t1, y1) = left, right
    quarters = [(t0 + (t1 - t0) * n // 4, y0 + (y1 - y0) * n / 4) for n in (1, 2, 3)]
    if t1 - t0 > _FINEST and any(abs(curve.at(Ns(t)) - y) > close for t, y in quarters):
        middle = quarters[1][0], curve.at(Ns(quarters[1][0]))
        yield from _bend(curve, left, middle, close)
        yield from _bend(curve, middle, right, close)
    else:
        yield right


def knots_of(curve: Curve) -> Iterator[int]:
    """Give the instants at which a curve may bend sharply."""
    if isinstance(curve, Scaled):
        yield from knots_of(curve.inner)
    elif isinstance(curve, Pieces):
        for at, piece in curve.pieces:
            yield at
            yield from knots_of(piece)
    elif hasattr(curve, "start"):
        yield curve.start
