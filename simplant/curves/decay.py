"""Curves that bend by their own value: first order towards a target, and run-down against friction.

Rule: what tends to a value never reaches it; what friction brakes stands still after a finite time.
"""

from dataclasses import dataclass
from math import atan, exp, expm1, log1p, sqrt, tan

from simplant.curves.curve import Curve, reach
from simplant.timebase import NEVER, Ns


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
        return reach(self, max(after, self.start), -self.tau * log1p(-done), level, after, gap)


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
        return reach(self, max(after, self.start), span, level, after, level - speed)
