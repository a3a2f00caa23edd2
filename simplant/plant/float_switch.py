"""A float switch: wet while the liquid stands at its level.

The switching itself is in threshold.py; the tank it hangs in is tank.py.
Rule: it knows a level only by reaching it.
"""

from typing import ClassVar

from simplant.curves import Steady
from simplant.part import Parameter
from simplant.plant.threshold import CHATTERING, LATE, STUCK_OFF, STUCK_ON, Threshold


class FloatSwitch(Threshold):
    """Float on a tether: tips over at `level_on` rising, back at `level_on - hysteresis` falling.

    Input: `level` (curve, m). Output: `wet`.
    """

    QUANTITY = "level"
    SHOWN = "wet"
    INPUTS: ClassVar = {"level": Steady(0.0)}
    OUTPUTS: ClassVar = {"wet": False}
    PARAMETERS: ClassVar = {
        "level_on": Parameter(1.0, "m", "level at which it tips over, rising", 0.02, least=0),
        "hysteresis": Parameter(0.05, "m", "fall below that at which it tips back", 0.3, least=1e-6),
        "response": Parameter(0.2, "s", "time to tip over", 0.5, least=0),
    }
    FAILURES = (STUCK_ON, STUCK_OFF, LATE, CHATTERING)

    def zone(self) -> tuple[float, float, float | None]:
        """Give the zone: all that lies above its level."""
        return 1.0, self.p["level_on"], None
