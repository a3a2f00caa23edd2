"""Continuous truths as values: closed-form curves of time that can be asked when they cross a level.

What moves along them is in plant/. Seconds occur here only as the span since a curve's start;
every instant is whole nanoseconds, every crossing is rounded up to a whole microsecond.
Rule: a curve never changes; a part replaces it.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from math import atan, ceil, copysign, exp, expm1, log1p, sqrt, tan
from typing import Final

from simplant.timebase import NEVER, Ns

_SLACK: Final = 0.01
"""Microseconds by which a computed root may err low of the grid point that it stands for (float noise, not physics)."""
_FARTHEST: Final = 9.0e15
"""Microseconds beyond which a root counts as never."""
_TRIES: Final = 40
"""Doublings after which a level that floats cannot tell from the asymptote counts as never reached."""


class Curve(ABC):
    """A quantity over time from an instant `start` on, in closed form, immutable, compared by value."""

    __slots__ = ()

    @abstractmethod
    def at(self, t: Ns) -> float:
        """Give the value at instant `t` (t before the start gives the start value)."""

    @abstractmethod
    def rate(self, t: Ns) -> float:
        """Give the rate of change per second at instant `t` (right-sided)."""

    @abstractmethod
    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the first instant later than `after` at which the curve reaches or passes `level`.

        Rounded up to a whole microsecond; `NEVER` if it does not. A curve that merely sits on
        the level does not cross it, and one that leaves it crosses when it comes back.
        """

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest value over the closed span from `first` to `last`."""
        one, other = self.at(first), self.at(last)
        return (one, other) if one <= other else (other, one)


def _reach(curve: Curve, base: Ns, span: float, level: float, after: Ns, gap: float) -> Ns:
    """Round the root `base + span` seconds up to the grid and on to where `curve.at` itself has got there.

    `gap` is the level less the value at `after`; only its sign is used.
    """
    micros = span * 1e6 + base % 1000 / 1000
    if micros > _FARTHEST:
        return NEVER
    t, step = Ns((base // 1000 + ceil(micros - _SLACK)) * 1000), 1000
    if t <= after:
        t = Ns((after // 1000 + 1) * 1000)
    for _ in range(_TRIES):
        left = level - curve.at(t)
        if left == 0 or (left > 0) != (gap > 0):
            return t
        t = Ns(t + step)
        step *= 2
    return NEVER


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
        return _reach(self, max(after, self.start), gap / self.slope, level, after, gap)


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
            return _reach(self, base, back, level, after, -speed) if back > 0 else NEVER
        root = speed * speed + 2 * acceleration * gap
        if root < 0:
            return NEVER
        both = speed + copysign(sqrt(root), speed)
        one, other = 2 * gap / both if both else 0.0, -both / acceleration
        if one <= 0 or 0 < other < one:
            one = other
        return _reach(self, base, one, level, after, gap) if one > 0 else NEVER

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give the ends, and the vertex if it lies between them."""
        values = [self.at(first), self.at(last)]
        if self.acceleration and self.rate(max(first, self.start)) * self.rate(last) < 0:
            values.append(self.value - self.speed * self.speed / (2 * self.acceleration))
        return min(values), max(values)


@dataclass(frozen=True, slots=True)
class Approach(Curve):
    """First order: dy/dx = (target - y) / tau, so y = target - (target - value) exp(-x / tau).

    Args:
        start: instant from which on it moves.
        value: at `start`.
        target: what it tends to, and never reaches (with a negative tau: what it runs away from).
        tau: time constant in seconds, not 0. After 1, 2, 3 tau 63.2, 86.5, 95.0 % of the way are done.
    """

    start: Ns
    value: float
    target: float
    tau: float

    def at(self, t: Ns) -> float:
        """Give the value at `t`."""
        if t <= self.start:
            return self.value
        return self.value - (self.target - self.value) * expm1(min((self.start - t) / 1e9 / self.tau, 700.0))

    def rate(self, t: Ns) -> float:
        """Give the rate at `t` (0 before the start)."""
        if t < self.start:
            return 0.0
        return (self.target - self.value) / self.tau * exp(min((self.start - t) / 1e9 / self.tau, 700.0))

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the one crossing ahead, by the logarithm."""
        value = self.at(after)
        gap, rest = level - value, self.target - value
        if gap == 0 or rest == 0:
            return NEVER
        done = gap / rest
        if done >= 1 or (done > 0) != (self.tau > 0):
            return NEVER
        return _reach(self, max(after, self.start), -self.tau * log1p(-done), level, after, gap)


@dataclass(frozen=True, slots=True)
class Coast(Curve):
    """Run-down against dry friction and windage: dw/dx = -(friction + windage w^2) while w > 0, then 0 for good.

    w = k tan(atan(w0 / k) - friction x / k) with k = sqrt(friction / windage); zero after a finite time.

    Args:
        start: instant from which on it is unpowered.
        value: speed at `start` in rad/s, >= 0.
        friction: deceleration by Coulomb friction in rad/s^2, > 0.
        windage: deceleration by air over speed squared in 1/rad, >= 0.
    """

    start: Ns
    value: float
    friction: float
    windage: float

    def _after(self, value: float, span: float) -> float:
        if self.windage == 0:
            return max(0.0, value - self.friction * span)
        k = sqrt(self.friction / self.windage)
        phase = atan(value / k) - self.friction * span / k
        return k * tan(phase) if phase > 0 else 0.0

    def at(self, t: Ns) -> float:
        """Give the speed at `t`."""
        return self._after(self.value, (t - self.start) / 1e9) if t > self.start else self.value

    def rate(self, t: Ns) -> float:
        """Give the rate at `t` (0 before the start and after the standstill)."""
        speed = self.at(t)
        return -(self.friction + self.windage * speed * speed) if speed > 0 and t >= self.start else 0.0

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the one crossing ahead: the speed only falls, and ends at 0."""
        speed = self.at(after)
        if level < 0 or speed <= level:
            return NEVER
        if self.windage == 0:
            span = (speed - level) / self.friction
        else:
            k = sqrt(self.friction / self.windage)
            span = (atan(speed / k) - atan(level / k)) * k / self.friction
        return _reach(self, max(after, self.start), span, level, after, level - speed)


@dataclass(frozen=True, slots=True)
class Pieces(Curve):
    """Curves one after another, as in accelerate, cruise, brake, stand.

    Args:
        pieces: (instant from which it holds, curve) in rising order, at least one; each holds
            until the next. Where two do not meet, the jump counts as passing all between.
    """

    pieces: tuple[tuple[Ns, Curve], ...]

    def _index(self, t: Ns) -> int:
        index = len(self.pieces) - 1
        while index and self.pieces[index][0] > t:
            index -= 1
        return index

    def at(self, t: Ns) -> float:
        """Give the value of the piece that holds at `t`."""
        return self.pieces[self._index(t)][1].at(t)

    def rate(self, t: Ns) -> float:
        """Give the rate of the piece that holds at `t`."""
        return self.pieces[self._index(t)][1].rate(t)

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the first crossing of any piece, or jump between two, ahead."""
        pieces, here, index = self.pieces, after, self._index(after)
        curve = pieces[index][1]
        while index + 1 < len(pieces):
            index += 1
            end, following = pieces[index]
            found = curve.crossing(level, here)
            if found < end:
                return found
            side = curve.at(here) - level or curve.at(end) - level
            if (following.at(end) - level) * side <= 0 and side:
                joint = Ns(-(-end // 1000) * 1000)
                if joint == end or (self.at(joint) - level) * side <= 0:
                    return joint
            here, curve = end, following
        return curve.crossing(level, here)

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest over all pieces in the span."""
        values: list[float] = []
        ends = [start for start, _ in self.pieces[1:]]
        for index in range(self._index(first), self._index(last) + 1):
            start, curve = self.pieces[index]
            end = ends[index] if index < len(ends) else last
            values += curve.extremes(max(first, start) if index else first, min(end, last))
        return min(values), max(values)


def followed(curve: Curve, now: Ns, end: Ns, following: Curve) -> Pieces:
    """Give `curve`, which holds from `now`, up to `end`, and `following` from there on."""
    head = curve.pieces if isinstance(curve, Pieces) else ((now, curve),)
    return Pieces((*(piece for piece in head if piece[0] < end), (end, following)))
