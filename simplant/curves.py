"""Continuous truths as values: closed-form curves of time that can be asked when they cross a level.

What moves along them is in plant/. Rule: a curve never changes; a part replaces it.
"""

from abc import ABC, abstractmethod

from simplant.timebase import Ns


class Curve(ABC):
    """A quantity over time from an instant `start` on, in closed form, immutable, compared by value."""

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
        the level does not cross it.
        """

    @abstractmethod
    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest value over the closed span from `first` to `last`."""
