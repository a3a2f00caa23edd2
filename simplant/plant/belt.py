"""A belt conveyor with parts on it: where each part is, what the photo-eyes see, what falls off the end.

What puts parts on is feeder.py or people. Rule: each part is a place in metres, and every part put on is on the belt,
delivered, or taken: never two of these, never none.
"""

from typing import ClassVar, Final

from simplant.curves import Curve, Line, Steady
from simplant.faults import SUN
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns

_NOISE: Final = 1e-9
"""Metres that floats may err by when a part stands at a mark."""


class Belt(Part):
    """Belt conveyor: parts of one length, each placed by its front, carried on at x' = speed while nothing holds them.

    A raised stop holds what reaches it, and a part holds the next one behind it. An accumulating belt slides on under
    them; one that does not (`accumulates` 0) stands itself while a part pushes against the stop. At the end a part is
    delivered: a count, as the next belt's `fed` wants it. `taken` takes the part that stands before the stop's eye, if
    there is one. The belt starts and stops dead.

    Inputs: `run`, `fed` (parts put on at the beginning, a count), `stop` (raised), `taken` (parts taken off, a count).
    Outputs: `travel` (curve, m of belt), `on_belt`, `delivered`, `removed` (counts), `eye`, `at_stop` (photo-eyes: a
    part is before them), `moving`, `blocked` (the motor runs, the belt is held).
    """

    INPUTS: ClassVar = {"run": False, "fed": 0, "stop": False, "taken": 0}
    OUTPUTS: ClassVar = {
        "travel": Steady(0.0), "on_belt": 0, "delivered": 0, "removed": 0, "eye": False, "at_stop": False,
        "moving": False, "blocked": False,
    }  # fmt: skip
    PARAMETERS: ClassVar = {
        "speed": Parameter(0.2, "m/s", "of the belt", 0.1, 1e-3, 20.0),
        "length": Parameter(1.0, "m", "from where parts are put on to the end", 0.01, 0.01, 1000.0),
        "part_length": Parameter(0.05, "m", "of a part along the belt", 0.05, 1e-3, 10.0),
        "eye_at": Parameter(0.3, "m", "place of the photo-eye", 0.05, 0.0, 1000.0),
        "stop_at": Parameter(0.8, "m", "place of the stop", 0.02, 0.0, 1000.0),
        "accumulates": Parameter(1.0, "", "1: the belt slides under held parts, 0: it stands with them", 0.0, 0.0, 1.0),
    }
    FAILURES = (
        FailureMode("dead", "motor burnt, belt torn", "does not move"),
        FailureMode("slipping", "belt slack or wet", "moves at this share of its speed", 0.5),
        FailureMode("wedged", "a part stuck at the guide", "parts stand, an accumulating belt runs on under them"),
        FailureMode("stop_down", "stop bent or without air", "the stop holds nothing"),
        FailureMode("eye_dirty", "lens dirty, eye out of line", "the eye sees a part that is not there"),
        FailureMode("eye_blinded", "sunlight into the receiver", "the eye sees no part", lasts=SUN),
    )
    ACTIONS: ClassVar = {"put": "put a part on at the beginning", "take": "take the foremost part off"}

    def begin(self, now: Ns) -> None:
        """Stand empty."""
        self.fronts: list[float] = []  # of the parts, m, the foremost first, as they were at `since`
        self.held: list[bool] = []
        self.since, self.due = now, NEVER
        self.course: Curve = Steady(0.0)
        self.pace, self.blocked = 0.0, False
        self.fed, self.taken = int(self.number("fed")), int(self.number("taken"))
        self.delivered = self.removed = 0
        self.known: object = None

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Put a part on, or take one."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        self._carry(now)
        if action == "put":
            self._put()
        elif self.fronts:
            self._take(0)
        self.known = None

    def advance(self, now: Ns) -> None:
        """Let a part reach its mark."""
        if now >= self.due:
            self.known = None

    def command(self, now: Ns) -> None:
        """Obey motor, stop and faults; take up and give off parts."""
        known = (*self.inputs.values(), *self.faults.items())
        if known != self.known:
            self.known = known
            self._carry(now)
            self._exchange()
            self._drive(now)
        eye = self._before(self.p["eye_at"]) is not None or "eye_dirty" in self.faults
        self.emit("travel", self.course)
        self.emit("on_belt", len(self.fronts))
        self.emit("delivered", self.delivered)
        self.emit("removed", self.removed)
        self.emit("eye", eye and "eye_blinded" not in self.faults)
        self.emit("at_stop", self._before(self.p["stop_at"]) is not None)
        self.emit("moving", self.pace > 0)
        self.emit("blocked", self.blocked)

    def next_due(self) -> Ns:
        """Give the instant at which the next part reaches a mark."""
        return self.due

    def _put(self) -> None:
        """Put a part on; if there is no room yet it waits before the belt."""
        room = self.fronts[-1] - self.p["part_length"] if self.fronts else 0.0
        self.fronts.append(min(0.0, room))

    def _take(self, index: int) -> None:
        self.fronts.pop(index)
        self.removed += 1

    def _before(self, place: float) -> int | None:
        """Give the part that stands before an eye."""
        for index, front in enumerate(self.fronts):
            if front >= place - _NOISE and front - self.p["part_length"] < place - _NOISE:
                return index
        return None

    def _exchange(self) -> None:
        """Count what was fed, taken and delivered."""
        fed, taken = int(self.number("fed")), int(self.number("taken"))
        for _ in range(self.fed, fed):
            self._put()
        for _ in range(self.taken, taken):
            index = self._before(self.p["stop_at"])
            if index is not None:
                self._take(index)
        self.fed, self.taken = fed, taken
        while self.fronts and self.fronts[0] >= self.p["length"] - _NOISE:
            self.fronts.pop(0)
            self.delivered += 1

    def _carry(self, now: Ns) -> None:
        """Bring the parts to where they now are, none beyond its next mark."""
        way, since = self.course.at(now) - self.course.at(self.since), self.since
        self.since = now
        if way and since != now:
            for index, held in enumerate(self.held):
                if not held:
                    self.fronts[index] = min(self.fronts[index] + way, self.nexts[index])

    def _drive(self, now: Ns) -> None:
        """Find what is held, how fast the belt runs, and when the next part reaches a mark."""
        faults = self.faults
        stop = self.p["stop_at"] if self.on("stop") and "stop_down" not in faults else None
        self.held, self.nexts = [], []
        for index, front in enumerate(self.fronts):
            queue = self.fronts[index - 1] - self.p["part_length"] if index and self.held[-1] else None
            at_stop = any(mark is not None and abs(front - mark) <= _NOISE for mark in (stop, queue))
            self.held.append("wedged" in faults or at_stop)
            self.nexts.append(self._next_mark(front, queue))
        self.blocked = self.on("run") and self.p["accumulates"] < 0.5 and any(self.held)
        runs = self.on("run") and "dead" not in faults and not self.blocked
        pace = self.p["speed"] * faults.get("slipping", 1.0) if runs else 0.0
        if pace != self.pace:
            here, self.pace = self.course.at(now), pace
            self.course = Line(now, here, pace) if pace else Steady(here)
        ways = [mark - front for mark, front, held in zip(self.nexts, self.fronts, self.held, strict=True) if not held]
        self.due = self.course.crossing(self.course.at(now) + min(ways), now) if ways and pace else NEVER

    def _next_mark(self, front: float, queue: float | None) -> float:
        """Give the next place at which something happens to a part."""
        p = self.p
        size = p["part_length"]
        marks = [p["eye_at"], p["eye_at"] + size, p["stop_at"], p["stop_at"] + size, p["length"]]
        marks += [] if queue is None else [queue]
        return min(mark for mark in marks if mark > front + _NOISE)
