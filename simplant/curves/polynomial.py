"""Curves by powers of time: at rest, at constant rate, at constant acceleration.

Rule: roots by closed form, the first ahead.
"""

from dataclasses import dataclass
from math import copysign, sqrt

from simplant.curves.curve import Curve, reach
from simplant.timebase import NEVER, Ns


@dataclass(frozen=True, slots=True)
class Steady(Curve):
    """A value that stays as it is.

    Args:
        value: in the quantity's unit.
    """

    value: float

    def at(self, t: Ns) -> float:
        """Give the value."""
        return self.value

    def rate(self, t: Ns) -> float:
        """Give 0."""
        return 0.0

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give `NEVER`."""
        return NEVER

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give the value twice."""
        return self.value, self.value


@dataclass(frozen=True, slots=True)
class Line(Curve):
    """Constant rate: y = value + slope x.

    Args:
        start: instant from which on it moves.
        value: at `start`.
        slope: per second.
    """

    start: Ns
    value: float
    slope: float

    def at(self, t: Ns) -> float:
        """Give the value at `t`."""
        return self.value + self.slope * ((t - self.start) / 1e9) if t > self.start else self.value

    def rate(self, t: Ns) -> float:
        """Give the slope (0 before the start)."""
        return self.slope if t >= self.start else 0.0

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the one crossing ahead, if it lies ahead."""
        gap = level - self.at(after)
        if gap == 0 or self.slope == 0 or (gap > 0) != (self.slope > 0):
            return NEVER
        return reach(self, max(after, self.start), gap / self.slope, level, after, gap)


@dataclass(frozen=True, slots=True)
class Parabola(Curve):
    """Constant acceleration: y = value + speed x + acceleration x^2 / 2.

    Args:
        start: instant from which on it moves.
        value: at `start`.
        speed: per second, at `start`.
        acceleration: per second squared.
    """

    start: Ns
    value: float
    speed: float
    acceleration: float

    def at(self, t: Ns) -> float:
        """Give the value at `t`."""
        if t <= self.start:
            return self.value
        x = (t - self.start) / 1e9
        return self.value + (self.speed + 0.5 * self.acceleration * x) * x

    def rate(self, t: Ns) -> float:
        """Give the speed at `t` (0 before the start)."""
        return self.speed + self.acceleration * ((t - self.start) / 1e9) if t >= self.start else 0.0

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the first of the (at most two) crossings ahead, by the quadratic formula that does not cancel."""
        acceleration = self.acceleration
        if acceleration == 0:
            return Line(self.start, self.value, self.speed).crossing(level, after)
        base = after if after > self.start else self.start
        gap, speed = level - self.at(base), self.rate(base)
        if gap == 0:  # leaves the level now: back at twice the time to the vertex
            back = -2 * speed / acceleration
            return reach(self, base, back, level, after, -speed) if back > 0 else NEVER
        root = speed * speed + 2 * acceleration * gap
        if root < 0:
            return NEVER
        both = speed + copysign(sqrt(root), speed)
        one, other = 2 * gap / both if both else 0.0, -both / acceleration
        if one <= 0 or 0 < other < one:
            one = other
        return reach(self, base, one, level, after, gap) if one > 0 else NEVER

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give the ends, and the vertex if it lies between them."""
        values = [self.at(first), self.at(last)]
        if self.acceleration and self.rate(max(first, self.start)) * self.rate(last) < 0:
            values.append(self.value - self.speed * self.speed / (2 * self.acceleration))
        return min(values), max(values)
