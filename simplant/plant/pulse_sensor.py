"""A pulse sensor at a wheel: sees each flag that goes by.

The wheel is wheel.py; a shaft whose angle is known has an encoder.py. Rule: the angle is the area under the speed, so
that each edge has its instant however the speed changes between.
"""

from math import pi
from typing import ClassVar

from simplant.curves import Curve, Steady, Turned
from simplant.part import FailureMode, Parameter, Part
from simplant.plant.teeth import Teeth
from simplant.plant.threshold import STUCK_OFF, STUCK_ON
from simplant.timebase import Ns


class PulseSensor(Part):
    """Proximity or slotted sensor with `pulses` flags a turn, each seen over `duty` of the pitch.

    angle' = speed, from 0 with the first flag just arriving; frequency = pulses speed / 2 pi.

    Inputs: `speed` (curve, rad/s), `volts`. Outputs: `seen`, `count` (flags seen since the beginning), `turns` (whole
    turns, a truth: it knows nothing of flags torn off).
    """

    INPUTS: ClassVar = {"speed": Steady(0.0), "volts": 24.0}
    OUTPUTS: ClassVar = {"seen": False, "count": 0, "turns": 0}
    PARAMETERS: ClassVar = {
        "pulses": Parameter(1.0, "", "flags around the wheel", 0.0, 1.0, 1000.0),
        "duty": Parameter(0.25, "", "share of the pitch over which a flag is seen", 0.2, 0.01, 0.99),
        "least_volts": Parameter(10.0, "V", "supply below which it does not see", 0.1, 0.0, 60.0),
    }
    FAILURES = (STUCK_ON, STUCK_OFF, FailureMode("flag_lost", "one flag torn off", "one pulse of each turn is missing"))

    def begin(self, now: Ns) -> None:
        """Stand before the first flag, just about to be seen no longer."""
        self.flags = max(1, round(self.p["pulses"]))
        pitch = 2 * pi / self.flags
        self.teeth = Teeth(pitch, self.p["duty"] * pitch)
        self.angle: Curve = Steady(0.0)
        self.speed: Curve | None = None
        self.count = 0
        self.shown = True

    def advance(self, now: Ns) -> None:
        """Let an edge go by."""
        self.teeth.advance(self.angle, now)

    def command(self, now: Ns) -> None:
        """Look."""
        speed = self.curve("speed")
        if speed is not self.speed:
            self.speed = speed
            self.angle = Turned(now, self.angle.at(now), speed)
            self.teeth.follow(self.angle, now)
        seen = self._sees()
        if seen and not self.shown:
            self.count += 1
        self.shown = seen
        self.emit("seen", seen)
        self.emit("count", self.count)
        self.emit("turns", self.teeth.mark // self.flags)

    def next_due(self) -> Ns:
        """Give the next edge."""
        return self.teeth.due

    def _sees(self) -> bool:
        if "stuck_on" in self.faults or "stuck_off" in self.faults:
            return "stuck_on" in self.faults
        torn = "flag_lost" in self.faults and self.teeth.mark % self.flags == 0
        return self.teeth.seen and not torn and self.number("volts") >= self.p["least_volts"]
