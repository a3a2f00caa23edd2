"""An indexing table: a dial of stations that a cam drive turns on by one at a time.

A table that turns freely between two limits is turntable.py. Rule: it counts stations by where it stands, not by what
it was told.
"""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from simplant.curves import Curve, Parabola, Steady, followed
from simplant.part import FailureMode, Parameter, Part, evenly
from simplant.timebase import NEVER, Ns, from_float_seconds


class IndexingTable(Part):
    """Dial with a cam drive: each rising edge of `index` at rest turns it on by 360 / stations deg in `index_time`.

    It speeds up over half the way and slows down over the other: greatest speed 2 x way / time. An edge during a move
    is missed. Losing `enable` stops it dead, between stations; the next edge then takes it to the next one.

    Inputs: `index`, `enable` (drive power). Outputs: `angle` (curve, deg, counted on over turns), `station` (0 to
    stations - 1, the one it stands at or has left last), `in_position` (its sensor: at rest within `window` of a
    station), `moving`, `indexed` (moves that ended in position, a count).
    """

    INPUTS: ClassVar = {"index": False, "enable": True}
    OUTPUTS: ClassVar = {"angle": Steady(0.0), "station": 0, "in_position": False, "moving": False, "indexed": 0}
    PARAMETERS: ClassVar = {
        "stations": Parameter(8.0, "", "stations around", 0.0, 2.0, 360.0),
        "index_time": Parameter(0.5, "s", "from one station to the next", 0.1, 0.01, 60.0),
        "start_delay": Parameter(0.02, "s", "from the edge to motion", 0.5, 0.0, 10.0),
        "window": Parameter(0.2, "deg", "its sensor sees a station so far either way", 0.3, 1e-3, 10.0),
        "start": Parameter(0.0, "deg", "where somebody left it", 0.0, 0.0, 360.0),
    }
    FAILURES = (
        FailureMode("dead", "drive faulty, key sheared", "does not move"),
        FailureMode("slow", "cam dry, dial overloaded", "takes so many times as long", 3.0, "x"),
        FailureMode("overruns", "brake worn", "stands so far beyond the station", 2.0, "deg"),
        FailureMode("doubles", "cam switch of the drive failed", "turns on by two stations"),
        FailureMode("sensor_dead", "position sensor failed or displaced", "never says in position"),
        FailureMode("sensor_stuck", "its contact welded, a chip before it", "always says in position"),
    )

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may stand at any angle."""
        return {"start": evenly(0.0, 360.0, 25)}

    def begin(self, now: Ns) -> None:
        """Stand where it was left."""
        self.course: Curve = Steady(self.p["start"])
        self.pitch = 360.0 / round(self.p["stations"])
        self.starts = self.ends = NEVER
        self.was_told = self.on("index")
        self.indexed = 0

    def advance(self, now: Ns) -> None:
        """Set out; arrive."""
        if now >= self.starts:
            self.starts = NEVER
            self._set_out(now)
        if now >= self.ends:
            self.ends = NEVER
            self.indexed += self._in_position(now)

    def command(self, now: Ns) -> None:
        """Obey drive power, command and faults."""
        told, works = self.on("index"), self.on("enable") and "dead" not in self.faults
        if not works and (self.ends != NEVER or self.starts != NEVER):
            self.starts = self.ends = NEVER
            self.course = Steady(self.course.at(now))
        if told and not self.was_told and works and self.ends == NEVER and self.starts == NEVER:
            self.starts = Ns(now + from_float_seconds(self.p["start_delay"]))
            self.advance(now)
        self.was_told = told
        self.emit("angle", self.course)
        self.emit("moving", self.ends != NEVER)
        self.emit("station", self._station(now))
        seen = "sensor_stuck" in self.faults or (self._in_position(now) and "sensor_dead" not in self.faults)
        self.emit("in_position", seen)
        self.emit("indexed", self.indexed)

    def next_due(self) -> Ns:
        """Give the start or the arrival."""
        return min(self.starts, self.ends)

    def _set_out(self, now: Ns) -> None:
        """Plan the move: half the way at constant acceleration, the other half at the opposite one."""
        here = self.course.at(now)
        goal = (self._count(here) + (2 if "doubles" in self.faults else 1)) * self.pitch
        goal += self.faults.get("overruns", 0.0)
        half = from_float_seconds(self.p["index_time"] * self.faults.get("slow", 1.0) / 2)
        way, span = (goal - here) / 2, half / 1e9
        pace = 2 * way / span
        middle, self.ends = Ns(now + half), Ns(now + 2 * half)
        up, down = Parabola(now, here, 0.0, pace / span), Parabola(middle, here + way, pace, -pace / span)
        self.course = followed(followed(up, now, middle, down), now, self.ends, Steady(goal))

    def _count(self, angle: float) -> int:
        """Give the last station passed, counted on over turns."""
        return int((angle + self.p["window"]) // self.pitch)

    def _station(self, now: Ns) -> int:
        if self.ends != NEVER:
            return int(self.outputs["station"])  # type: ignore[arg-type]  # it says whole numbers only
        return self._count(self.course.at(now)) % round(self.p["stations"])

    def _in_position(self, now: Ns) -> bool:
        here = self.course.at(now)
        return self.ends == NEVER and abs(here - self._count(here) * self.pitch) <= self.p["window"]
