"""Curves made of another curve: the same one to another scale, as a transmitter shows it.

The curves themselves are beside this file. Rule: what is clipped stands still, and does not cross.
"""

from dataclasses import dataclass

from simplant.curves.curve import Curve, reach
from simplant.timebase import NEVER, Ns


@dataclass(frozen=True, slots=True)
class Scaled(Curve):
    """y = offset + factor x inner, held between `least` and `most`.

    Args:
        inner: the curve that is shown.
        factor: output units per unit of `inner`.
        offset: output where `inner` is 0.
        least, most: the output goes no further; least < most.
    """

    inner: Curve
    factor: float
    offset: float = 0.0
    least: float = float("-inf")
    most: float = float("inf")

    def at(self, t: Ns) -> float:
        """Give the value at `t`."""
        return min(max(self.offset + self.factor * self.inner.at(t), self.least), self.most)

    def rate(self, t: Ns) -> float:
        """Give the rate at `t`; 0 while it is clipped."""
        raw, pace = self.offset + self.factor * self.inner.at(t), self.factor * self.inner.rate(t)
        clipped = raw <= self.least if pace < 0 else raw >= self.most if pace > 0 else True
        return 0.0 if clipped or not self.least <= raw <= self.most else pace

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the crossing of the inner curve; one that stands clipped at the level must leave it first."""
        if self.factor == 0 or not self.least <= level <= self.most:
            return NEVER
        under = (level - self.offset) / self.factor
        found = self.inner.crossing(under, after)
        if found != NEVER and level in (self.least, self.most) and self.at(after) == level:
            found = self.inner.crossing(under, found)
        if found == NEVER:
            return NEVER
        gap = level - self.at(after)
        return reach(self, found, 0.0, level, after, gap) if gap else found

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give those of the inner curve, to this scale."""
        ends = [
            min(max(self.offset + self.factor * y, self.least), self.most) for y in self.inner.extremes(first, last)
        ]
        return min(ends), max(ends)
