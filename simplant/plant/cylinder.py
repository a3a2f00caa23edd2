"""Pneumatic cylinders: pushed out by air, drawn in by air or by a spring, seen at both ends.

How a piston travels and what its sensors see is piston.py; valves are valve.py, the air air_supply.py.
Rule: a cylinder says which forces there are and where the air is throttled, nothing else.
"""

from math import inf, pi
from typing import ClassVar

from simplant.errors import PlantError
from simplant.part import Parameter
from simplant.plant.piston import SIZES, Piston
from simplant.timebase import Ns


class Cylinder(Piston):
    """Double acting cylinder: out while extend A - retract A' - load > friction, in while it is < -friction.

    A = pi bore^2 / 4, A' = A less the rod. Speed by exhaust throttle: v = flow / A' out, flow / A in. While the exhaust
    is choked (chamber above about 100 kPa) the volume flow does not depend on the pressure: flow = C p0, C the
    sonic conductance of ISO 6358, p0 = 100 kPa. Inertia, cushions and the compression of the air are neglected but for
    `start_delay`.

    Inputs: `extend`, `retract` (kPa at its ports). Outputs: `position` (curve, m from the back), `at_back`, `at_front`
    (reed switches), `moving`, `is_in`, `is_out` (it stands at that end, whatever the switches say).

    Source: derivation, held in `tests/external/test_pneumatics.py`.
    """

    INPUTS: ClassVar = {"extend": 0.0, "retract": 0.0}
    PARAMETERS: ClassVar = {**SIZES, "rod": Parameter(0.010, "m", "diameter of the rod", 0.001, 0.0, 0.5)}

    def begin(self, now: Ns) -> None:
        """Measure the ring; raises `PlantError` if the rod fills the bore."""
        super().begin(now)
        self.ring = self.area - pi / 4 * self.p["rod"] ** 2
        if self.ring <= 0:
            rod, bore = self.p["rod"], self.p["bore"]
            raise PlantError(f"cylinder {self.name!r}: a rod of {rod:g} m does not go into a bore of {bore:g} m")

    def reach(self) -> tuple[float, float]:
        """Give what the balance of forces allows: all or nothing."""
        net = self.acting("extend") * self.area - self.acting("retract") * self.ring - self.p["load"]
        return (inf if net > self.p["friction"] else -inf), (-inf if net < -self.p["friction"] else inf)

    def exhaust(self, *, out: bool) -> float:
        """Give the ring moving out, the piston's area moving in."""
        return self.ring if out else self.area


class SpringCylinder(Piston):
    """Single acting cylinder: air pushes out, a spring draws in.

    Out as far as extend A - load - friction exceeds preload + rate x; in while the spring exceeds the rest by the
    friction. Too little air leaves it part of the way. Speed flow / A both ways.

    Input: `extend` (kPa). Outputs: as of `Cylinder`.

    Source: derivation, held in `tests/external/test_pneumatics.py`.
    """

    INPUTS: ClassVar = {"extend": 0.0}
    PARAMETERS: ClassVar = {
        **SIZES,
        "stroke": Parameter(0.025, "m", "from end to end", 0.01, 0.001, 5.0),
        "friction": Parameter(10.0, "N", "of seals and guides", 0.5, 0.0, 1e5),
        "preload": Parameter(20.0, "N", "force of the spring at the back end", 0.1, 0.0, 1e4),
        "spring": Parameter(500.0, "N/m", "rate of the spring", 0.1, 0.1, 1e6),
    }

    def reach(self) -> tuple[float, float]:
        """Give where the spring balances air, load and friction."""
        free = self.acting("extend") * self.area - self.p["load"] - self.p["preload"]
        friction, rate = self.p["friction"], self.p["spring"]
        return (free - friction) / rate, (free + friction) / rate
