"""A thermal overload relay: its bimetal warms with the square of the current and opens the contactor's coil circuit.

The motor is plant/motor.py, the contactor relay.py. Rule: it cuts nothing itself; `healthy` must be wired into the
contactor's `enable`, or the motor burns.
"""

from typing import ClassVar

from simplant.curves import Approach, Curve, Steady
from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns


class Overload(Part):
    """Thermal overload relay of trip class 10: heat' = ((I / setting)^2 - heat) / tau, trips at `trip_heat`.

    Heat 1 is what the setting keeps up for ever. From cold it trips after tau ln(i^2 / (i^2 - trip_heat)), for great
    currents trip_heat tau / i^2: the I^2 t law. It stays tripped until it has cooled to `reset_heat` and the button is
    pressed, or by itself if `auto_reset` is 1.

    Input: `current` (A). Outputs: `healthy` (its NC contact 95-96), `tripped` (its NO contact 97-98), `heat` (curve).

    Source: from memory: IEC 60947-4-1, trip class 10; one time constant is our choice. Held in
    `tests/external/test_motor_start.py`.
    """

    INPUTS: ClassVar = {"current": 0.0}
    OUTPUTS: ClassVar = {"healthy": True, "tripped": False, "heat": Steady(0.0)}
    PARAMETERS: ClassVar = {
        "setting": Parameter(3.5, "A", "the motor's rated current, set at the dial", 0.05, 0.01, 1000.0),
        "tau": Parameter(275.0, "s", "time constant of the bimetal", 0.2, 1.0, 36000.0),
        "trip_heat": Parameter(1.3, "", "heat at which it trips (1.14 x setting for ever)", 0.05, 1.01, 2.0),
        "reset_heat": Parameter(0.5, "", "heat down to which it can be reset", 0.2, 0.01, 1.0),
        "auto_reset": Parameter(0.0, "", "1: resets itself, 0: by hand", 0.0, 0.0, 1.0),
    }
    FAILURES: ClassVar = (
        FailureMode("set_low", "dial turned by mistake", "trips as if set to this share", 0.6, "x", early=True),
        FailureMode("bridged", "a wire across its contact, or dial at its stop", "never says that it tripped"),
        FailureMode("tripped_by_hand", "test button pressed", "is tripped"),
    )
    ACTIONS: ClassVar = {"reset": "press its reset button (does nothing while it is hot)"}

    def begin(self, now: Ns) -> None:
        """Start cold."""
        self._heat: Curve = Steady(0.0)
        self._goal, self._tripped = 0.0, False
        self._due = NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Press the reset button."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        if value is not None:
            raise PlantError(f"{self.name!r}: a reset takes no value, but {value!r} is given")
        if self._heat.at(now) <= self.p["reset_heat"]:
            self._tripped = False

    def advance(self, now: Ns) -> None:
        """Trip, or reset itself."""
        if now < self._due:
            return
        if not self._tripped:
            self._tripped = True
        elif self.p["auto_reset"] >= 0.5:
            self._tripped = False
        self._due = self._next(now)

    def command(self, now: Ns) -> None:
        """Warm or cool."""
        if "tripped_by_hand" in self.faults and not self._tripped:
            self._tripped = True
            self._due = self._next(now)
        ratio = self.number("current") / (self.p["setting"] * self.faults.get("set_low", 1.0))
        if ratio * ratio != self._goal:
            self._goal, here = ratio * ratio, self._heat.at(now)
            self._heat = Approach(now, here, self._goal, self.p["tau"]) if here != self._goal else Steady(here)
        self._due = self._next(now)
        tripped = self._tripped and "bridged" not in self.faults
        self.emit("heat", self._heat)
        self.emit("tripped", tripped)
        self.emit("healthy", not tripped)

    def next_due(self) -> Ns:
        """Give the trip, or the end of cooling."""
        return self._due

    def _next(self, now: Ns) -> Ns:
        if not self._tripped:
            return self._heat.crossing(self.p["trip_heat"], now)
        return self._heat.crossing(self.p["reset_heat"], now) if self.p["auto_reset"] >= 0.5 else NEVER
