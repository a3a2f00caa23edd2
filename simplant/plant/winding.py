"""Heat of a motor's winding, first order, and the thermal cut-out in it that resets itself.

Part of lift.py and of any part with a winding that can burn. Rule: the rise is one curve until
the current changes, so the instant of the trip is solved, not awaited.
"""

from collections.abc import Mapping
from typing import Final

from simplant.curves import Approach, Curve, Steady
from simplant.part import Parameter
from simplant.timebase import NEVER, Ns

HEAT_PARAMETERS: Final[dict[str, Parameter]] = {
    "rise_per_square_ampere": Parameter(19.2, "K/A2", "final rise of the winding per current squared", 0.2, least=0),
    "heat_tau": Parameter(120.0, "s", "thermal time constant of the winding", 0.3, least=0.1),
    "trip_rise": Parameter(80.0, "K", "rise at which the cut-out opens", 0.1, least=0.1),
    "reset_rise": Parameter(50.0, "K", "rise at which it closes again", 0.1, least=0),
}


class Winding:
    """Rise above ambient: r' = (rise_per_square_ampere I^2 - r) / heat_tau; trips and resets at two rises."""

    def __init__(self, parameters: Mapping[str, float]) -> None:
        """Begin cold, with the parameters of the part it belongs to (`HEAT_PARAMETERS`)."""
        self.p = parameters
        self.rise: Curve = Steady(0.0)
        self.current = 0.0
        self.tripped = False
        self.due = NEVER

    def carry(self, now: Ns, current: float) -> None:
        """Carry another current (A) from now on."""
        if current != self.current:
            self.current = current
            self._warm(now, self.rise.at(now))

    def advance(self, now: Ns) -> None:
        """Open or close the cut-out if that is due, at the very rise that moves it."""
        if now < self.due:
            return
        self._warm(now, self._bound())
        self.tripped = not self.tripped
        self.due = self.rise.crossing(self._bound(), now)

    def _bound(self) -> float:
        return self.p["reset_rise" if self.tripped else "trip_rise"]

    def _warm(self, now: Ns, rise: float) -> None:
        final = self.p["rise_per_square_ampere"] * self.current * self.current
        self.rise = Approach(now, rise, final, self.p["heat_tau"])
        self.due = self.rise.crossing(self._bound(), now)
