"""A heated block: warms with its power, cools towards the room.

What measures it is thermostat.py and pt100.py. Rule: power changes only at instants, so the temperature is one
first-order curve from each to the next.
"""

from typing import ClassVar

from simplant.curves import Approach, Curve, Steady
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import Ns


class Heater(Part):
    """Resistance heater on a mass: capacity T' = power (V / rated)^2 - cooling - (T - ambient) / resistance.

    So T tends to ambient + (power - cooling) resistance with tau = resistance capacity; with the defaults 220 degC and
    200 s. What the goods carry away is `cooling`.

    Inputs: `on` (its contactor or solid-state relay), `volts`, `cooling` (W, several sources add up).
    Outputs: `temperature` (curve, degC), `power` (W).

    Source: first order, held in `tests/external/test_temperature.py`.
    """

    INPUTS: ClassVar = {"on": False, "volts": 230.0, "cooling": 0.0}
    OUTPUTS: ClassVar = {"temperature": Steady(20.0), "power": 0.0}
    PARAMETERS: ClassVar = {
        "rated_volts": Parameter(230.0, "V", "voltage at which it takes its power", 0.1, 1.0, 1000.0),
        "rated_power": Parameter(500.0, "W", "at rated voltage", 0.1, 0.0, 1e6),
        "resistance": Parameter(0.4, "K/W", "from the mass to the room", 0.2, 1e-4, 1e3),
        "capacity": Parameter(500.0, "J/K", "of the mass (500 J/K: 1.1 kg of steel)", 0.1, 1e-3, 1e7),
        "ambient": Parameter(20.0, "degC", "of the room", 0.5, -60.0, 200.0),
        "start": Parameter(20.0, "degC", "temperature when the run begins", 0.5, -60.0, 1000.0),
    }
    FAILURES = (
        FailureMode("burnt_out", "element open, fuse blown", "does not heat"),
        FailureMode("partly_dead", "one of its elements open", "heats with this share of its power", 0.5),
        FailureMode("uncovered", "lagging off, draught", "loses so many times as much to the room", 2.0, "x"),
    )

    def begin(self, now: Ns) -> None:
        """Have the start temperature."""
        self.course: Curve = Steady(self.p["start"])
        self.wanted: tuple[float, float] = (self.p["start"], 0.0)

    def command(self, now: Ns) -> None:
        """Heat."""
        power = self._power()
        resistance = self.p["resistance"] / self.faults.get("uncovered", 1.0)
        goal = self.p["ambient"] + (power - self.number("cooling")) * resistance
        wanted = (goal, resistance * self.p["capacity"])
        if wanted != self.wanted:
            self.wanted, here = wanted, self.course.at(now)
            self.course = Approach(now, here, *wanted) if here != goal else Steady(goal)
        self.emit("temperature", self.course)
        self.emit("power", power)

    def _power(self) -> float:
        if not self.on("on") or "burnt_out" in self.faults:
            return 0.0
        share = self.number("volts") / self.p["rated_volts"]
        return self.p["rated_power"] * share * share * self.faults.get("partly_dead", 1.0)
