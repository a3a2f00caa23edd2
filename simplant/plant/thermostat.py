"""A thermostat: a bimetal or capillary contact that opens at its setting and makes again below it.

The switching itself is in threshold.py; the heater is heater.py. Rule: `hot` is what it feels, `calls` its contact.
"""

from typing import ClassVar

from simplant.curves import Steady
from simplant.part import FailureMode, Parameter
from simplant.plant.threshold import CHATTERING, Threshold
from simplant.timebase import Ns


class Thermostat(Threshold):
    """Two-point controller: `hot` from `setting` rising, until `hysteresis` below that falling.

    Input: `temperature` (curve, degC). Outputs: `hot`; `calls` (its NC contact: heat is wanted).
    """

    QUANTITY = "temperature"
    SHOWN = "hot"
    INPUTS: ClassVar = {"temperature": Steady(20.0)}
    OUTPUTS: ClassVar = {"hot": False, "calls": True}
    PARAMETERS: ClassVar = {
        "setting": Parameter(60.0, "degC", "opens at it, rising", 0.05, -50.0, 1000.0),
        "hysteresis": Parameter(5.0, "K", "fall below that at which it makes again", 0.3, 1e-3, 200.0),
        "response": Parameter(0.0, "s", "lag of its feeler", 0.5, 0.0, 600.0),
    }
    FAILURES = (
        FailureMode("stuck_on", "bulb leaky the safe way, contact open", "always says hot: never calls for heat"),
        FailureMode("stuck_off", "contact welded, bulb has fallen out", "never says hot: calls for heat for ever"),
        CHATTERING,
    )

    def zone(self) -> tuple[float, float, float | None]:
        """Give the zone: all above its setting."""
        return 1.0, self.p["setting"], None

    def command(self, now: Ns) -> None:
        """Feel, and switch."""
        super().command(now)
        self.emit("calls", not self.outputs["hot"])
