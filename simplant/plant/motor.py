"""A three-phase motor switched straight onto its line: run-up, start current, run-down.

Its contactor is in wiring/relay.py, its thermal overload relay in wiring/overload.py.
Rule: current changes only at instants: the start current up to the knee, then what the load takes.
"""

from math import sqrt
from typing import ClassVar, Final

from simplant.curves import Coast, Curve, Line, Steady, followed
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns

_LEAST: Final = 0.1
"""Share of the rated voltage below which the line counts as off."""
_HUMS: Final = sqrt(3) / 2
"""Start current with one phase lost, over that with three: two windings in series on the line voltage."""
_LIMPS: Final = sqrt(3)
"""Running current with one phase lost, over that with three: the same power from one pair of lines."""


class Motor(Part):
    """Squirrel-cage motor with its machine, run up by a mean torque: w' = torque (V / rated)^2 / inertia up to `speed`.

    With the defaults 0.38 s. Start current `start_ratio` x rated x V / rated until `knee` of the speed, from there on
    `load` x rated. Off, it runs down by friction, w' = -friction. With one phase lost it does not start, and runs on
    with the square root of 3 times the current. It protects itself by nothing.

    Input: `volts` (V, a contactor's `out`). Outputs: `speed` (curve, rad/s), `turning`, `up_to_speed` (95 %),
    `current` (A).

    Source: derivation from w' = M / J; 6 x rated is common practice, no source; `tests/external/test_motor_start.py`.
    """

    INPUTS: ClassVar = {"volts": 0.0}
    OUTPUTS: ClassVar = {"speed": Steady(0.0), "turning": False, "up_to_speed": False, "current": 0.0}
    PARAMETERS: ClassVar = {
        "rated_volts": Parameter(400.0, "V", "line voltage", 0.1, 1.0, 1000.0),
        "rated_current": Parameter(3.5, "A", "at full load", 0.05, 0.01, 1000.0),
        "speed": Parameter(152.0, "rad/s", "at full load (152 rad/s = 1450 rpm)", 0.03, 1.0, 700.0),
        "inertia": Parameter(0.05, "kg m2", "motor and machine", 0.2, 1e-6, 1e4),
        "torque": Parameter(20.0, "N m", "mean torque left for running up", 0.3, 1e-3, 1e6),
        "start_ratio": Parameter(6.0, "", "start current over rated current", 0.25, 1.0, 12.0),
        "knee": Parameter(0.8, "", "share of the speed at which the start current ends", 0.1, 0.1, 0.95),
        "load": Parameter(0.85, "", "running current over rated current", 0.15, 0.0, 3.0),
        "friction": Parameter(60.0, "rad/s2", "deceleration when off", 0.3, 0.01, 1e5),
        "still": Parameter(0.5, "rad/s", "speed up to which it counts as standing", 0.0, 1e-3, 10.0),
    }
    FAILURES = (
        FailureMode("dead", "winding open, cable cut", "gets no torque, draws nothing"),
        FailureMode("blocked", "rotor or machine jammed", "stands at once and draws its start current"),
        FailureMode("phase_lost", "one fuse blown, one pole open", "does not start, or runs on with more current"),
        FailureMode("overloaded", "machine runs heavy, bearing worn", "draws so much of its rated current", 1.5, "x"),
    )

    def begin(self, now: Ns) -> None:
        """Stand still."""
        self.course: Curve = Steady(0.0)
        self.drive: tuple[float | bool, ...] = (0.0, False, False)
        self.marks = NEVER

    def advance(self, now: Ns) -> None:
        """Pass a mark; what follows from it is looked at in `command`."""
        if now >= self.marks:
            self._look(now)

    def command(self, now: Ns) -> None:
        """Obey line and faults."""
        share = self.number("volts") / self.p["rated_volts"]
        share = 0.0 if share < _LEAST or "dead" in self.faults else share
        drive = (share, "blocked" in self.faults, "phase_lost" in self.faults)
        if drive != self.drive:
            self.drive = drive
            self._drive(now, share)
            self._look(now)
        speed, rate = self.course.at(now), self.course.rate(now)
        still = self.p["still"]
        self.emit("speed", self.course)
        self.emit("turning", speed > still or (speed == still and rate > 0))
        self.emit("up_to_speed", speed >= 0.95 * self.p["speed"] and not (rate < 0 and speed == 0.95 * self.p["speed"]))
        self.emit("current", self._current(speed))

    def next_due(self) -> Ns:
        """Give the next mark of the speed: standstill, knee, up to speed."""
        return self.marks

    def _drive(self, now: Ns, share: float) -> None:
        """Choose the course."""
        speed, lost = self.course.at(now), "phase_lost" in self.faults
        if "blocked" in self.faults:
            self.course = Steady(0.0)
        elif share == 0 or (lost and speed <= self.p["still"]):
            self.course = Coast(now, speed, self.p["friction"], 0.0) if speed else Steady(0.0)
        else:
            pull = self.p["torque"] * share * share * (0.5 if lost else 1.0)
            up = Line(now, speed, pull / self.p["inertia"])
            there = up.crossing(self.p["speed"], now)
            top = Steady(self.p["speed"])
            self.course = top if there == NEVER else followed(up, now, there, top)

    def _look(self, now: Ns) -> None:
        speed = self.p["speed"]
        marks = self.p["still"], self.p["knee"] * speed, 0.95 * speed
        self.marks = min(self.course.crossing(mark, now) for mark in marks)

    def _current(self, speed: float) -> float:
        """Give what it draws at a speed."""
        share, _, lost = self.drive
        if share == 0:
            return 0.0
        rated = self.p["rated_current"]
        if speed < self.p["knee"] * self.p["speed"]:
            return rated * self.p["start_ratio"] * share * (_HUMS if lost else 1.0)
        return rated * self.faults.get("overloaded", self.p["load"]) * (_LIMPS if lost else 1.0)
