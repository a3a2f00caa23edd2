"""A piston in its barrel: where forces let it go, its journey there, and the sensors at both ends.

Which forces there are is said in cylinder.py. Rule: forces decide whether and which way the piston goes, the throttles
how fast; it stops dead at its ends, and where its air is taken away.
"""

from collections.abc import Mapping, Sequence
from math import pi
from typing import ClassVar, Final

from simplant.curves import Curve, Line, Steady, followed
from simplant.part import FailureMode, Parameter, Part, evenly
from simplant.timebase import NEVER, Ns, from_float_seconds

_KPA: Final = 1000.0

SIZES: Final = {
    "bore": Parameter(0.025, "m", "diameter of the piston", 0.001, 0.002, 0.5),
    "stroke": Parameter(0.1, "m", "from end to end", 0.01, 0.001, 5.0),
    "start": Parameter(0.0, "m", "where somebody left it", 0.0, 0.0, 5.0),
    "flow_out": Parameter(1e-4, "m3/s", "volume flow its throttle lets pass while moving out", 0.3, 1e-7, 1.0),
    "flow_in": Parameter(1e-4, "m3/s", "the same while moving in", 0.3, 1e-7, 1.0),
    "start_delay": Parameter(0.03, "s", "from air to motion: the pressure builds up", 0.5, 0.0, 10.0),
    "load": Parameter(0.0, "N", "force against moving out; below 0: drawn out (a hanging weight)", 0.0, -1e5, 1e5),
    "friction": Parameter(20.0, "N", "of seals and guides", 0.5, 0.0, 1e5),
    "window": Parameter(0.002, "m", "way from an end over which its sensor sees the piston", 0.3, 1e-6, 0.1),
}
_DAMAGES: Final = (
    FailureMode("jammed", "rod bent, part wedged in", "stands where it is"),
    FailureMode("throttled", "flow control screwed in or dirty", "moves at this share of its speed", 0.3),
    FailureMode("leaking", "piston seal worn, tube off", "only this share of the pressure acts", 0.2),
    FailureMode("magnet_lost", "magnet of the piston gone", "neither sensor sees it"),
    FailureMode("front_shifted", "clamp of the front sensor slipped", "seen so much before the end", 0.03, "m"),
    FailureMode("back_shifted", "clamp of the back sensor slipped", "seen so much before the end", 0.03, "m"),
    FailureMode("front_welded", "reed contact of the front sensor welded", "always says seen"),
    FailureMode("back_welded", "reed contact of the back sensor welded", "always says seen"),
)


class Piston(Part):
    """Base: where forces let the piston go, and its journey there."""

    OUTPUTS: ClassVar = {
        "position": Steady(0.0), "at_back": False, "at_front": False, "moving": False, "is_in": False, "is_out": False,
    }  # fmt: skip
    FAILURES = _DAMAGES

    def reach(self) -> tuple[float, float]:
        """Give how far out the piston is pushed (-inf: not at all) and how far in it is drawn (inf: not at all), m."""
        raise NotImplementedError

    def exhaust(self, *, out: bool) -> float:
        """Give the area before which the throttled air stands, m2."""
        return self.area

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may stand at either end, or anywhere between."""
        return {"start": evenly(0.0, p["stroke"])}

    def begin(self, now: Ns) -> None:
        """Stand where it was left."""
        self.area = pi / 4 * self.p["bore"] ** 2
        self.goal = min(self.p["start"], self.p["stroke"])
        self.course: Curve = Steady(self.goal)
        self.share = 1.0
        self.starts = self.arrives = self.edges = NEVER
        self.marks = (0.0, 0.0)
        self.seen = (False, False)

    def advance(self, now: Ns) -> None:
        """Set out; arrive."""
        if now >= self.starts:
            self.starts = NEVER
            self._set_out(now)
        if now >= self.arrives:
            self.arrives = NEVER
        if now >= self.edges:
            self._look(now)

    def command(self, now: Ns) -> None:
        """Obey air and faults."""
        faults = self.faults
        here, share = self.course.at(now), faults.get("throttled", 1.0)
        goal = here if "jammed" in faults else self._goal(here)
        if goal != self.goal:
            self._turn(now, here, goal)
        if share != self.share:
            self.share = share
            if self.arrives != NEVER:
                self._set_out(now)
        window, stroke = self.p["window"], self.p["stroke"]
        marks = window + faults.get("back_shifted", 0.0), stroke - window - faults.get("front_shifted", 0.0)
        if marks != self.marks:
            self.marks = marks
            self._look(now)
        there = "magnet_lost" not in faults
        self.emit("position", self.course)
        self.emit("at_back", (self.seen[0] and there) or "back_welded" in faults)
        self.emit("at_front", (self.seen[1] and there) or "front_welded" in faults)
        self.emit("moving", self.arrives != NEVER)
        self.emit("is_in", self.arrives == NEVER and here <= 0.0)
        self.emit("is_out", self.arrives == NEVER and here >= stroke)

    def next_due(self) -> Ns:
        """Give the start, the arrival, or the next edge of a sensor."""
        return min(self.starts, self.arrives, self.edges)

    def acting(self, port: str) -> float:
        """Give the pressure that acts, Pa."""
        return self.number(port) * _KPA * self.faults.get("leaking", 1.0)

    def _goal(self, here: float) -> float:
        """Give where it goes from here."""
        out, back = self.reach()
        if out > here:
            return min(out, self.p["stroke"])
        return max(back, 0.0) if back < here else here

    def _turn(self, now: Ns, here: float, goal: float) -> None:
        """Stop, and set out for another goal after the delay."""
        self.goal, self.course = goal, Steady(here)
        self.starts = self.arrives = NEVER
        if goal != here:
            self.starts = Ns(now + from_float_seconds(self.p["start_delay"]))
        if self.starts <= now:
            self.starts = NEVER
            self._set_out(now)
        self._look(now)

    def _set_out(self, now: Ns) -> None:
        here, out = self.course.at(now), self.goal > self.course.at(now)
        pace = self.p["flow_out" if out else "flow_in"] / self.exhaust(out=out) * self.share
        run = Line(now, here, pace if out else -pace)
        self.arrives = run.crossing(self.goal, now)
        self.course = Steady(self.goal)
        if self.arrives != NEVER:
            self.course = followed(run, now, self.arrives, self.course)
        self._look(now)

    def _look(self, now: Ns) -> None:
        """See the piston, and when that changes."""
        here, (back, front) = self.course.at(now), self.marks
        pace = self.course.rate(now)
        self.seen = (here < back if pace > 0 else here <= back), (here > front if pace < 0 else here >= front)
        self.edges = min(self.course.crossing(back, now), self.course.crossing(front, now))
