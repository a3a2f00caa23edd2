"""The way gone at a speed that is itself a curve: the angle of a wheel, the travel of a belt.

Each kind of speed has its area in closed form; the crossings of the way have none (a first-order run-up)
and are bracketed. Rule: between two instants at which the speed is 0 the way goes one way only.
"""

from dataclasses import dataclass
from math import atan, ceil, cos, expm1, log, sqrt
from typing import Final

from simplant.curves.curve import Curve
from simplant.curves.decay import Approach, Coast
from simplant.curves.pieces import Pieces
from simplant.curves.polynomial import Line, Parabola, Steady
from simplant.timebase import NEVER, Ns

_GRID: Final = 1000
_STRETCHES: Final = 20
"""Reversals that are looked at."""
_LONG: Final = 10**13
"""What has stood still so long stands for good."""
_FAR: Final = 9e15
"""Microseconds ahead beyond which a root counts as never."""
_SLIDES: Final = 8
"""Tangents that are tried before the level is bracketed."""


_MOVING: Final = (Line, Parabola, Approach, Coast)


@dataclass(frozen=True, slots=True)
class Turned(Curve):
    """y' = speed, y = value at `start`.

    Args:
        start: instant from which on it counts.
        value: at `start`, in the unit of `speed` times seconds.
        speed: per second; any curve of this package but the made ones.
    """

    start: Ns
    value: float
    speed: Curve

    def at(self, t: Ns) -> float:
        """Give the way at `t`."""
        return self.value + swept(self.speed, self.start, t) if t > self.start else self.value

    def rate(self, t: Ns) -> float:
        """Give the speed at `t` (0 before the start)."""
        return self.speed.at(t) if t >= self.start else 0.0

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the first crossing ahead: stretch by stretch, each bracketed, then closed in on."""
        here = max(after, self.start)
        gap = level - self.at(here)
        for _ in range(_STRETCHES):
            end = self.speed.crossing(0.0, here)
            if gap:
                found = self._slide(level, gap, here, end)
                if found == NEVER:
                    found = self._bracket(level, gap, here, end)
                if found != NEVER:
                    return found
            if end == NEVER:
                return NEVER
            here, gap = end, level - self.at(end)
        return NEVER

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give the ends, and where it turns back between them."""
        values, here = [self.at(first), self.at(last)], max(first, self.start)
        while (here := self.speed.crossing(0.0, here)) < last:
            values.append(self.at(here))
        return min(values), max(values)

    def _slide(self, level: float, gap: float, here: Ns, end: Ns) -> Ns:
        """Follow the tangent to the level, as it mostly can be; `NEVER` if that leads nowhere within the stretch."""
        side, t = (1 if gap > 0 else -1), here
        for _ in range(_SLIDES):
            pace = side * self.rate(t)
            if pace <= 0:
                return NEVER
            way = side * gap / pace * 1e6
            if not -_FAR < way < _FAR:
                return NEVER
            t = Ns((t // _GRID + ceil(way)) * _GRID)
            if not here < t < end:
                return NEVER
            gap = level - self.at(t)
            if -1 <= way <= 1 and gap * side <= 0 < side * (level - self.at(Ns(max(t - _GRID, here)))):
                return t
        return NEVER

    def _bracket(self, level: float, gap: float, here: Ns, end: Ns) -> Ns:
        """Give the first microsecond of a stretch at which the level is reached, by halving; `NEVER` if it is not."""
        side, low = (1 if gap > 0 else -1), Ns(here // _GRID * _GRID)
        high = self._beyond(level, side, here) if end == NEVER else Ns(end // _GRID * _GRID)
        if high == NEVER or (level - self.at(high)) * side > 0:
            return NEVER
        while high - low > _GRID:
            middle = Ns((low + high) // (2 * _GRID) * _GRID)
            if (level - self.at(middle)) * side <= 0:
                high = middle
            else:
                low = middle
        return high

    def _beyond(self, level: float, side: int, here: Ns) -> Ns:
        """Find an instant past the level in a stretch without an end; `NEVER` if it stands or goes off."""
        step, value = 10**6, self.at(here)
        while step < _FAR * _GRID:
            t = Ns((here + step) // _GRID * _GRID)
            there = self.at(t)
            if (level - there) * side <= 0:
                return t
            if (there - value) * side < 0 or (there == value and step > _LONG):
                return NEVER
            value, step = there, step * 4
        return NEVER


def swept(speed: Curve, first: Ns, last: Ns) -> float:
    """Give the area under a curve between two instants, value times seconds; in closed form for each kind."""
    if isinstance(speed, Pieces):
        return _pieces(speed, first, last)
    if isinstance(speed, Steady):
        return speed.value * ((last - first) / 1e9)
    assert isinstance(speed, _MOVING), f"the area under a {type(speed).__name__} is unknown"
    begins = max(first, speed.start)
    if last <= begins:
        return speed.value * ((last - first) / 1e9)
    x, value = (last - begins) / 1e9, speed.at(begins)
    return speed.value * ((begins - first) / 1e9) + _area(speed, value, speed.rate(begins), x)


def _area(speed: Line | Parabola | Approach | Coast, value: float, rate: float, x: float) -> float:
    """Give the area over `x` seconds from where the curve has this value and rate."""
    match speed:
        case Line():
            return (value + rate * x / 2) * x
        case Parabola():
            return (value + (rate / 2 + speed.acceleration * x / 6) * x) * x
        case Approach():
            return speed.target * x + (speed.target - value) * speed.tau * expm1(min(-x / speed.tau, 700.0))
        case Coast(windage=0):
            x = min(x, value / speed.friction)
            return (value - speed.friction * x / 2) * x
        case Coast():
            k = sqrt(speed.friction / speed.windage)
            phase = atan(value / k)
            return log(cos(max(0.0, phase - speed.friction * x / k)) / cos(phase)) / speed.windage


def _pieces(speed: Pieces, first: Ns, last: Ns) -> float:
    whole, here = 0.0, first
    for index, (_, curve) in enumerate(speed.pieces):
        end = speed.pieces[index + 1][0] if index + 1 < len(speed.pieces) else last
        end = min(end, last)
        if end > here:
            whole += swept(curve, here, end)
            here = end
    return whole
