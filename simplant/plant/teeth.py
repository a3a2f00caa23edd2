"""Marks around a shaft: which one stands before a sensor, and when the next edge comes by.

Used by encoder.py (one index mark a turn) and pulse_sensor.py (so many flags a turn).
Rule: it counts edges, either way; float noise at an edge moves nothing.
"""

from math import floor
from typing import Final

from simplant.curves import Curve
from simplant.timebase import NEVER, Ns

_PLAY: Final = 1e-6
"""Share of a pitch by which the shaft must come back behind an edge to be seen there: it may rest on the edge."""


class Teeth:
    """Equal marks, one each `pitch`, `width` wide, the first from 0 on; in the unit of the curve.

    Attributes:
        edge: number of the last edge passed: even = a mark begins there (it stands before the sensor), odd = it ends.
        due: when the next edge comes by.
    """

    __slots__ = ("_down", "_play", "_up", "due", "edge", "pitch", "width")

    def __init__(self, pitch: float, width: float) -> None:
        self.pitch, self.width, self._play = pitch, width, _PLAY * pitch
        self.edge = 0
        self.due = self._up = self._down = NEVER

    @property
    def seen(self) -> bool:
        """Say whether a mark stands before the sensor."""
        return self.edge % 2 == 0

    @property
    def mark(self) -> int:
        """Give the number of the mark that stands there, or that went by last (forwards)."""
        return self.edge // 2

    def place(self, edge: int) -> float:
        """Give where an edge lies."""
        return edge // 2 * self.pitch + (self.width if edge % 2 else 0.0)

    def follow(self, curve: Curve, now: Ns) -> None:
        """Take up another curve: stay between the same edges if it begins there, else find out where it does."""
        here = curve.at(now)
        if not self.place(self.edge) - self._play < here < self.place(self.edge + 1):
            mark = floor(here / self.pitch)
            self.edge = 2 * mark + (here >= mark * self.pitch + self.width)
        self._plan(curve, now)

    def advance(self, curve: Curve, now: Ns) -> int:
        """Let the edge that is due go by; gives +1 forwards, -1 backwards, 0 if none was due."""
        if now < self.due:
            return 0
        step = 1 if self._up <= now else -1
        self.edge += step
        self._plan(curve, now)
        return step

    def _plan(self, curve: Curve, now: Ns) -> None:
        self._up = curve.crossing(self.place(self.edge + 1), now)
        self._down = curve.crossing(self.place(self.edge) - self._play, now)
        self.due = min(self._up, self._down)
