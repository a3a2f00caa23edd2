"""Two-wire transmitters: a measured quantity as a loop current of 4 to 20 mA.

What becomes of the current on its way (open wire, leakage) and what an input makes of it is wiring's affair.
Rule: what is measured never shows as a failure current, and a failure never as a measurement.
"""

from typing import ClassVar, Final

from simplant.curves import Curve, Scaled, Steady
from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import Ns

ZERO: Final = 4.0
FULL: Final = 20.0
LEAST: Final = 3.8
MOST: Final = 20.5
"""mA: a measurement goes from 4 to 20 and is clipped at 3.8 and 20.5; NAMUR NE 43."""
FAILS_LOW: Final = 3.6
FAILS_HIGH: Final = 21.0
"""mA: at or below the one, at or above the other the transmitter reports a failure; NAMUR NE 43."""

_LOW, _HIGH = 3.5, 21.5
"""mA: what ours sends then."""

RANGE: Final = {
    "alarm_high": Parameter(1.0, "", "sent when it finds a fault: 1 21.5 mA, 0 3.5 mA", 0.0, 0.0, 1.0),
    "least_volts": Parameter(10.0, "V", "loop supply below which it sends nothing", 0.1, 0.0, 60.0),
}
DEAD: Final = FailureMode("dead", "electronics burnt, terminal off", "sends 0 mA")
FROZEN: Final = FailureMode("frozen", "electronics hung, feeler stuck", "sends the same current on and on")


def is_failure(milliamperes: float) -> bool:
    """Say whether a loop current reports a failure: at most 3.6 or at least 21 mA (from memory: NAMUR NE 43)."""
    return milliamperes <= FAILS_LOW or milliamperes >= FAILS_HIGH


class Transmitter(Part):
    """Base: 4 mA at `low`, 20 mA at `high`, straight between.

    A subclass names its input terminal, declares `low`, `high` and its failures, and says which of these the
    transmitter finds by itself and reports (`FOUND`).
    """

    QUANTITY: ClassVar[str]
    FOUND: ClassVar[tuple[str, ...]] = ()
    OUTPUTS: ClassVar = {"current": Steady(ZERO), "alarm": False}

    def begin(self, now: Ns) -> None:
        """Measure from the first instant on; raises `PlantError` if the range has no width."""
        low, high = self.p["low"], self.p["high"]
        if not low < high:
            raise PlantError(f"transmitter {self.name!r} measures from {low:g} to {high:g}", mend="let high exceed low")
        self.frozen: Curve | None = None
        self.seen: object = None

    def error(self) -> float:
        """Give by how much it reads too high, in the unit of the quantity."""
        return self.faults.get("drift", 0.0)

    def command(self, now: Ns) -> None:
        """Send."""
        curve, fed = self.curve(self.QUANTITY), self.number("volts") >= self.p["least_volts"]
        seen = (curve, fed, *self.faults.items())
        if seen == self.seen:
            return
        self.seen = seen
        current = self._measured(curve)
        found = any(kind in self.faults for kind in self.FOUND)
        if found:
            current = Steady(_HIGH if self.p["alarm_high"] >= 0.5 else _LOW)
        self.frozen = self._held(current, now)
        works = fed and "dead" not in self.faults
        self.emit("current", (self.frozen or current) if works else Steady(0.0))
        self.emit("alarm", found and works)

    def _measured(self, curve: Curve) -> Curve:
        low = self.p["low"]
        factor = (FULL - ZERO) / (self.p["high"] - low)
        return Scaled(curve, factor, ZERO + (self.error() - low) * factor, LEAST, MOST)

    def _held(self, current: Curve, now: Ns) -> Curve | None:
        if "frozen" not in self.faults:
            return None
        return self.frozen or Steady(current.at(now))
