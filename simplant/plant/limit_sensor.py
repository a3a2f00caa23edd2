"""A limit sensor: sees a tab while it stands in its zone.

The switching itself, with hysteresis, response and chatter, is in threshold.py; NPN or PNP and
NO or NC are columns of the I/O list. Rule: without supply it does not see.
"""

from typing import ClassVar, Final

from simplant.curves import Steady
from simplant.faults import SUN
from simplant.part import FailureMode, Parameter
from simplant.plant.threshold import CHATTERING, LATE, STUCK_OFF, STUCK_ON, Threshold

BLINDED: Final = FailureMode(
    "blinded", "sunlight or a lamp shines into the receiver", "sees a tab that is not there", lasts=SUN
)


class LimitSensor(Threshold):
    """Optical fork or proximity sensor at the end of an axis.

    Seen from `edge` on, over `width` degrees to the side `side`; not seen again `hysteresis` outside the
    zone. A zone that ends before the hard stop lets the tab run past it: then the axis stands beyond its
    limit and nothing is seen.

    Inputs: `angle` (curve, deg), `volts` (its supply). Output: `seen`.
    """

    QUANTITY = "angle"
    SHOWN = "seen"
    INPUTS: ClassVar = {"angle": Steady(0.0), "volts": 5.0}
    OUTPUTS: ClassVar = {"seen": False}
    PARAMETERS: ClassVar = {
        "edge": Parameter(60.0, "deg", "angle at which the zone begins", 0.005),
        "side": Parameter(1.0, "", "+1: the zone lies above the edge; -1: below it", least=-1, most=1),
        "width": Parameter(20.0, "deg", "length of the zone from its edge", 0.05, least=0),
        "hysteresis": Parameter(0.5, "deg", "way back out of the zone until it is seen no longer", 0.2, least=0.001),
        "response": Parameter(0.001, "s", "from the tab's edge to the output", 0.5, least=0),
        "least_volts": Parameter(4.0, "V", "supply below which it does not see", 0.05, least=0),
    }
    FAILURES = (STUCK_ON, STUCK_OFF, LATE, CHATTERING, BLINDED)

    def zone(self) -> tuple[float, float, float | None]:
        """Give the zone of the tab."""
        return (1.0 if self.p["side"] >= 0 else -1.0), self.p["edge"], self.p["width"]

    def powered(self) -> bool:
        """Say whether the supply suffices."""
        return self.number("volts") >= self.p["least_volts"]
