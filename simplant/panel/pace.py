"""How fast a session runs: machine seconds per second, or not at all.

The clock is asked by whoever calls. Rule: a picture waits for no more than `BUDGET` of running; a machine that cannot
keep up runs slower, and says so.
"""

from collections.abc import Callable
from typing import Final

from simplant.panel.session import GRID, Session
from simplant.timebase import Ns, ms

PACES: Final = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
BUDGET: Final = 0.05
"""Seconds."""
SLICE: Final = ms(200)
"""Machine time between two looks at the clock."""


class Pace:
    """The pace of one session."""

    def __init__(self) -> None:
        self.times = 1.0
        self.running = True
        self.behind = False
        """The machine cannot be run as fast as asked for."""
        self._owed = 0.0

    def set(self, times: float) -> None:
        """Set the pace."""
        self.times = times

    def change(self, by: int) -> str:
        """Go to the next pace, faster or slower."""
        faster = by > 0
        others = [pace for pace in PACES if (pace > self.times if faster else pace < self.times)]
        if others:
            self.times = min(others) if faster else max(others)
        return f"{self.times:g} times the pace of the clock"

    def stand(self) -> str:
        """Stand still, or run on."""
        self.running = not self.running
        return "running" if self.running else "standing still"

    def told(self) -> str:
        """Tell the pace."""
        return f"{self.times:g} x{' behind' if self.behind else ''}" if self.running else "standing"

    def run(self, session: Session, elapsed: float, clock: Callable[[], float]) -> None:
        """Bring a session on by what has elapsed, s."""
        if not self.running:
            self._owed, self.behind = 0.0, False
            return
        self._owed += elapsed * self.times * 1e9
        to = Ns((session.at + int(self._owed)) // GRID * GRID)
        begun = clock()
        while session.at < to and session.broken is None and clock() - begun < BUDGET:
            before = session.at
            session.advance(Ns(min(to, session.at + SLICE)))
            self._owed -= session.at - before
        self.behind = session.at < to
        if self.behind:
            self._owed = 0.0
