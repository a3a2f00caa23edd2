"""What a curve can be asked, and how a computed root becomes an instant of the clock.

The curves themselves are beside this file. Seconds occur only as the span since a start; every
instant is whole nanoseconds, every crossing is rounded up to a whole microsecond.
Rule: at the instant given the curve itself, asked in floats, has reached or passed the level.
"""

from math import ceil
from typing import Final

from simplant.timebase import NEVER, Ns

_SLACK: Final = 0.01
"""Microseconds by which a computed root may err low of the grid point that it stands for (float noise, not physics)."""
_FARTHEST: Final = 9.0e15
"""Microseconds beyond which a root counts as never."""
_TRIES: Final = 40
"""Doublings after which a level that floats cannot tell from the asymptote counts as never reached."""


class Curve:
    """A quantity over time from an instant `start` on, in closed form, immutable, compared by value.

    No abstract base class: `isinstance` asks those three times as long, and is asked often.
    """

    __slots__ = ()

    def at(self, t: Ns) -> float:
        """Give the value at instant `t` (t before the start gives the start value)."""
        raise NotImplementedError

    def rate(self, t: Ns) -> float:
        """Give the rate of change per second at instant `t` (right-sided)."""
        raise NotImplementedError

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the first instant later than `after` at which the curve reaches or passes `level`.

        Rounded up to a whole microsecond; `NEVER` if it does not. A curve that merely sits on
        the level does not cross it, and one that leaves it crosses when it comes back.
        """
        raise NotImplementedError

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest value over the closed span from `first` to `last`."""
        one, other = self.at(first), self.at(last)
        return (one, other) if one <= other else (other, one)


def reach(curve: Curve, base: Ns, span: float, level: float, after: Ns, gap: float) -> Ns:
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
