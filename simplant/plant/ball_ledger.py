"""The ledger of balls: which ball is where, in what order they came there, and that none is lost.

What moves them is in ball_loop.py. Rule: a ball changes its place only through `move`.
"""

from enum import Enum
from typing import Final

from simplant.errors import InternalError
from simplant.timebase import NEVER, Ns


class Place(Enum):
    """Where a ball can be; the value is the terminal of the ball loop that counts it."""

    GATE = "at_gate"
    QUEUE = "queued"
    LAUNCHER = "in_launcher"
    FLIGHT = "in_flight"
    HAND = "held"
    FLOOR = "lost"
    RETURN = "in_return"
    STUCK = "stuck"
    AWAY = "away"


_TERMINALS: Final = [(place, place.value) for place in Place]


class OneBall:
    """One ball: its place, how far it is within that place, and when it moves on by itself."""

    __slots__ = ("came", "due", "landing", "number", "place", "since", "stage")

    def __init__(self, number: int, place: Place) -> None:
        """Lay it at rest."""
        self.number = number
        self.place = place
        self.came = Ns(0)
        self.due: Ns = NEVER
        self.since = Ns(0)
        self.stage = 0
        self.landing = (0.0, 0.0)


class Ledger:
    """All balls of a machine, those that came last to their place at the end.

    Args:
        count: how many there are at first, all in the queue.
    """

    def __init__(self, count: int) -> None:
        """Queue them all."""
        self._balls = [OneBall(n + 1, Place.QUEUE) for n in range(count)]
        self.total = count
        self.now = Ns(0)
        self.stirred = self.moved = True
        """Something is to be told: anything at all; which ball is where."""

    def at(self, place: Place) -> list[OneBall]:
        """Give the balls at a place in the order in which they came there."""
        return [ball for ball in self._balls if ball.place is place]

    def first(self, place: Place) -> OneBall | None:
        """Give the ball that is longest at a place."""
        for ball in self._balls:
            if ball.place is place:
                return ball
        return None

    def move(self, ball: OneBall, place: Place, due: Ns = NEVER) -> None:
        """Put a ball somewhere, behind all that came there before."""
        ball.place, ball.due, ball.stage, ball.came = place, due, 0, self.now
        self._balls.remove(ball)
        self._balls.append(ball)
        self.stirred = self.moved = True

    def add(self, place: Place) -> OneBall:
        """Take one more ball into the books."""
        self.total += 1
        ball = OneBall(self.total, place)
        self._balls.append(ball)
        self.stirred = self.moved = True
        return ball

    def next_due(self) -> Ns:
        """Give the next instant at which a ball moves on by itself."""
        soonest = NEVER
        for ball in self._balls:
            if ball.due < soonest:
                soonest = ball.due
        return soonest

    def due(self, now: Ns) -> OneBall | None:
        """Give the ball whose step has been due longest, or None."""
        oldest = None
        for ball in self._balls:
            if ball.due <= now and (oldest is None or ball.due < oldest.due):
                oldest = ball
        return oldest

    def where(self) -> list[tuple[str, str, Ns]]:
        """Give each ball, where it is, and since when."""
        balls = sorted(self._balls, key=lambda ball: ball.number)
        return [(f"ball {ball.number}", ball.place.value, ball.came) for ball in balls]

    def counts(self) -> list[tuple[str, int]]:
        """Count the balls at each place, named by its terminal, the gate first.

        Raises:
            InternalError: a ball is in no place or in two, or two lie on the arm.
        """
        places = [ball.place for ball in self._balls]
        counts = [(terminal, places.count(place)) for place, terminal in _TERMINALS]
        if sum([count for _, count in counts]) != self.total or counts[0][1] > 1:
            told = ", ".join(f"{terminal} {count}" for terminal, count in counts)
            raise InternalError(f"the books show {self.total} balls, but counted are {told}")
        return counts
