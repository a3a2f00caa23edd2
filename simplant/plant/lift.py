"""The lift: a DC actuator on a linkage that sets the launcher's elevation. Nobody measures where it is.

Its relays are in wiring/; the heat of its winding is in winding.py. Each order is planned as one
curve from standstill to the end of travel. Rule: direction is the sign of the voltage, and a new
direction begins from standstill.
"""

from collections.abc import Mapping, Sequence
from enum import Enum, auto
from typing import ClassVar

from simplant.curves import Approach, Curve, Line, Steady, followed
from simplant.part import FailureMode, Parameter, Part, evenly
from simplant.plant.ramp import check_travel, ramp
from simplant.plant.winding import HEAT_PARAMETERS, Winding
from simplant.timebase import NEVER, Ns, from_float_seconds


class Phase(Enum):
    """What the actuator does."""

    REST = auto()
    LAG = auto()
    RUN = auto()
    STALL = auto()
    COAST = auto()
    SINK = auto()


LEAST_CHANGE = 0.01
"""Amperes by which the current must differ to be told anew."""


class Lift(Part):
    """PM motor and screw on a linkage, between two internal end switches.

    Rate of the elevation e: e' = +-free_speed V / rated_volts - droop(e), where the droop by load is linear from
    `droop_bottom` to `droop_top` (it helps or hinders by the sign; lowering, `lower_droop_...`). So e(t) is first
    order, in closed form. A start takes `start_lag` without motion, a stop coasts at `coast_deceleration`: many short
    moves are not one long move. Out of step with its voltage (starting, stalled, turning round) it draws
    `stall_current` V / rated_volts. The winding heats by I^2 and its cut-out opens and resets by itself.

    Inputs: `volts` (+ up, - down, 0 open). Outputs: `elevation` (curve, deg), `moving`, `at_top`, `at_bottom`,
    `current` (A, mean by direction), `tripped`, `running_time` (curve, s under current since the beginning),
    `rise` (curve, K, of the winding).
    """

    INPUTS: ClassVar = {"volts": 0.0}
    OUTPUTS: ClassVar = {
        "elevation": Steady(20.0),
        "moving": False,
        "at_top": False,
        "at_bottom": False,
        "current": 0.0,
        "tripped": False,
        "running_time": Steady(0.0),
        "rise": Steady(0.0),
    }
    PARAMETERS: ClassVar = {
        "start_elevation": Parameter(20.0, "deg", "where it stands when the run begins"),
        "bottom": Parameter(20.0, "deg", "lower end switch", 0.02),
        "top": Parameter(60.0, "deg", "upper end switch", 0.02),
        "switch_travel": Parameter(0.5, "deg", "an end switch makes again this far from its end", 0.5, 0.001, 5),
        "rated_volts": Parameter(24.0, "V", "voltage of the rated speed", least=1),
        "free_speed": Parameter(8.0, "deg/s", "speed without load at rated voltage", 0.1, least=0.1),
        "lift_droop_bottom": Parameter(3.0, "deg/s", "loss by load, rising, at the bottom", 0.2),
        "lift_droop_top": Parameter(1.0, "deg/s", "loss by load, rising, at the top", 0.2),
        "lower_droop_bottom": Parameter(-0.5, "deg/s", "loss by load, lowering, at the bottom (negative: helps)", 0.2),
        "lower_droop_top": Parameter(0.5, "deg/s", "loss by load, lowering, at the top", 0.2),
        "start_lag": Parameter(0.08, "s", "from voltage to motion", 0.3, least=1e-6),
        "coast_deceleration": Parameter(40.0, "deg/s2", "slowing down without voltage", 0.3, least=0.1),
        "least_volts": Parameter(4.0, "V", "below this it does not turn", 0.2, least=0.1),
        "back_drive": Parameter(0.0, "deg/s", "sinks at this rate without voltage; 0 = the screw holds", least=0),
        "lift_current": Parameter(2.5, "A", "current rising", 0.2, least=0),
        "lower_current": Parameter(1.5, "A", "current lowering", 0.2, least=0),
        "stall_current": Parameter(8.0, "A", "current at standstill and rated voltage", 0.1, least=0),
        **HEAT_PARAMETERS,
    }
    FAILURES = (
        FailureMode("slow", "dry screw, worn brushes", "runs at this fraction of its free speed", 0.7, ""),
        FailureMode("jammed", "linkage blocked", "stands still and draws its stall current"),
        FailureMode("end_switch_closed", "internal end switch welded", "is not switched off at its end: stalls"),
        FailureMode("cut_out_closed", "thermal cut-out welded", "never trips"),
        FailureMode("cut_out_open", "thermal cut-out broken", "does not run, as if tripped"),
        FailureMode("back_drives", "screw or brake worn", "sinks at this rate without voltage", 1.0, "deg/s"),
    )

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may stand at any elevation."""
        return {"start_elevation": evenly(p["bottom"], p["top"])}

    def begin(self, now: Ns) -> None:
        """Stand at the start elevation, cold."""
        check_travel(self.name, self.p["bottom"], self.p["top"])
        self.phase, self.way = Phase.REST, 0
        self.course: Curve = Steady(min(max(self.p["start_elevation"], self.p["bottom"]), self.p["top"]))
        self.clock: Curve = Steady(0.0)
        self.switched_off = self._at_end(now)
        self.winding = Winding(self.p)
        self.goes = self.ends = NEVER
        self.wanted: tuple[float, ...] = ()
        self._say(now)

    def advance(self, now: Ns) -> None:
        """Start to move after the lag, reach an end of travel or standstill; warm up or cool down."""
        if now < self.next_due():
            return
        self.stale = True
        if now >= self.goes:
            self.phase, self.goes = Phase.RUN, NEVER
        if now >= self.ends:
            self._stand(now)
            self.wanted = ()
        self.winding.advance(now)

    def command(self, now: Ns) -> None:
        """Obey the voltage, as far as cut-out and end switches let it through."""
        volts = self._let_through(now)
        sink = max(self.p["back_drive"], self.faults.get("back_drives", 0.0))
        wanted = (volts, self.faults.get("slow", 1.0), "jammed" in self.faults, sink, self._cut_out())
        if wanted != self.wanted:
            self.wanted, self.stale = wanted, True
            self._obey(now, volts, sink)
        if self.stale:
            self._say(now)

    def next_due(self) -> Ns:
        """Give the next start, end or change of the cut-out."""
        return min(self.goes, self.ends, self.winding.due)

    def _cut_out(self) -> bool:
        return "cut_out_open" in self.faults or (self.winding.tripped and "cut_out_closed" not in self.faults)

    def _let_through(self, now: Ns) -> float:
        volts = 0.0 if self._cut_out() else self.number("volts")
        at_end = self._end_switch(now) * volts > 0
        return 0.0 if at_end and "end_switch_closed" not in self.faults else volts

    def _end_switch(self, now: Ns) -> int:
        """Say which end switch is open: from reaching its end until the lift has left it by the switch's travel."""
        here, travel = self.course.at(now), self.p["switch_travel"]
        if end := self._at_end(now):
            self.switched_off = end
        elif self.p["bottom"] + travel <= here <= self.p["top"] - travel:
            self.switched_off = 0
        return self.switched_off

    def _obey(self, now: Ns, volts: float, sink: float) -> None:
        way = (volts > 0) - (volts < 0)
        pace = self.course.rate(now) if self.phase in (Phase.RUN, Phase.COAST) else 0.0
        if "jammed" in self.faults:
            self._stand(now)
            self.phase = Phase.STALL if way else Phase.REST
        elif pace and (pace * way <= 0 or abs(volts) < self.p["least_volts"]):
            self.phase = Phase.COAST
            self._plan(now, *ramp(now, self.course.at(now), pace, 0.0, self.p["coast_deceleration"]))
        elif way:
            self._run(now, volts, way, pace)
        else:
            self._stand(now)
            if sink and self._at_end(now) >= 0:
                self.phase, self.way = Phase.SINK, -1
                falls = Line(now, self.course.at(now), -sink)
                makes = falls.crossing(self.p["top"] - self.p["switch_travel"], now)
                self._plan(now, falls, makes if self.switched_off > 0 else NEVER)

    def _run(self, now: Ns, volts: float, way: int, pace: float) -> None:
        here = self.course.at(now)
        begin = now
        if not pace:
            lagging = self.phase is Phase.LAG and self.way == way
            begin = self.goes if lagging else Ns(now + from_float_seconds(self.p["start_lag"]))
        law = self._law(begin, here, volts, way)
        self._stand(now)
        self.way = way
        if abs(volts) < self.p["least_volts"] or law.rate(begin) * way <= 0 or self._at_end(now) == way:
            self.phase = Phase.STALL
            return
        self.phase = Phase.RUN if begin == now else Phase.LAG
        self.goes = NEVER if begin == now else begin
        self._plan(now, law, NEVER)

    def _law(self, begin: Ns, here: float, volts: float, way: int) -> Curve:
        """Give the course from `begin` on under a voltage: first order, since the droop is linear in the elevation."""
        kind = "lift" if way > 0 else "lower"
        low, high = self.p[f"{kind}_droop_bottom"], self.p[f"{kind}_droop_top"]
        steep = (high - low) / (self.p["top"] - self.p["bottom"])
        free = self.p["free_speed"] * self.faults.get("slow", 1.0) * abs(volts) / self.p["rated_volts"]
        pace = way * (free - low - steep * (here - self.p["bottom"]))
        return (
            Approach(begin, here, here + pace / (way * steep), 1 / (way * steep)) if steep else Line(begin, here, pace)
        )

    def _plan(self, now: Ns, course: Curve, ends: Ns) -> None:
        """Follow a curve to its end or to the end of travel, whichever comes first."""
        end = self.p["top" if self.way > 0 else "bottom"]
        reached = course.crossing(end, now)
        self.ends = min(ends, reached)
        self.course = followed(course, now, reached, Steady(end)) if reached <= ends and reached != NEVER else course

    def _stand(self, now: Ns) -> None:
        self.phase, self.course = Phase.REST, Steady(self.course.at(now))
        self.goes = self.ends = NEVER

    def _at_end(self, now: Ns) -> int:
        here = self.course.at(now)
        return (here >= self.p["top"]) - (here <= self.p["bottom"])

    def _current(self) -> float:
        """Give the current; what is told changes by more than 10 mA, so it and a sagging supply come to rest."""
        volts, told = abs(self.wanted[0]) if self.wanted else 0.0, self.winding.current
        current = self.p["stall_current"] * volts / self.p["rated_volts"]
        if self.phase is Phase.RUN:
            current = self.p["lift_current" if self.way > 0 else "lower_current"]
        return told if current and abs(current - told) <= LEAST_CHANGE else round(current, 2)

    def _say(self, now: Ns) -> None:
        current = self._current()
        if (current > 0) != (self.winding.current > 0):
            ran = self.clock.at(now)
            self.clock = Line(now, ran, 1.0) if current else Steady(ran)
        self.winding.carry(now, current)
        self.stale = False
        moving = self.phase in (Phase.RUN, Phase.COAST, Phase.SINK)
        at_end = 0 if moving else self._at_end(now)
        self.emit("elevation", self.course)
        self.emit("moving", moving)
        self.emit("at_top", at_end > 0)
        self.emit("at_bottom", at_end < 0)
        self.emit("current", current)
        self.emit("tripped", self._cut_out())
        self.emit("running_time", self.clock)
        self.emit("rise", self.winding.rise)
