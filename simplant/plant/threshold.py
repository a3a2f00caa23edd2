"""A switch that a moving quantity trips: one or two edges with hysteresis, a response time, and its failures.

The devices built on it are limit_sensor.py and float_switch.py. Which level "seen" makes at an
input (NPN or PNP, NO or NC) is the I/O list's affair, not this file's.
Rule: the edges are found by asking the curve; the element changes only at a crossing.
"""

from typing import ClassVar, Final

from simplant.chance import draw
from simplant.curves import Curve, Steady
from simplant.part import FailureMode, Part
from simplant.timebase import Ns, from_float_seconds

CHATTERS: Final = 4
"""Closed and open stretches of a chattering contact before it rests."""

STUCK_ON: Final = FailureMode("stuck_on", "output transistor shorted, or contact welded", "always says seen")
STUCK_OFF: Final = FailureMode("stuck_off", "element dead, or flag torn off", "never says seen")
LATE: Final = FailureMode("late", "dirt or a weak element", "each change shows later by this time", 0.05, "s")
CHATTERING: Final = FailureMode(
    "chattering", "loose bracket, vibration at the edge", "each change comes with false ones for this time", 0.02, "s"
)


class Threshold(Part):
    """Base of switches on a curve.

    The zone begins at `edge` and lies above it (side +1) or below it (-1), for `width` or for ever. The
    element turns on where the quantity reaches the zone and off again where it is `hysteresis` outside of
    it. A change shows after `response` seconds, and not at all if it is gone by then. A subclass names its
    input and output terminal and gives its zone.
    """

    QUANTITY: ClassVar[str]
    SHOWN: ClassVar[str]

    def zone(self) -> tuple[float, float, float | None]:
        """Give side (+1 or -1), edge, and width (None = without an end)."""
        raise NotImplementedError

    def powered(self) -> bool:
        """Say whether the element works at all."""
        return True

    def begin(self, now: Ns) -> None:
        """Stand at rest, not seen; what is there from the first shows after the response time."""
        self.side, edge, width = self.zone()
        back = self.side * self.p["hysteresis"]
        self.on_at, self.off_at = edge, edge - back
        self.far_on = None if width is None else edge + self.side * width
        self.far_off = None if self.far_on is None else self.far_on + back
        self.inside = self.wanted = self.shown = False
        self.pending: list[tuple[Ns, bool]] = []
        self.flips = 0
        self.last_curve: Curve = Steady(0.0)
        self.edge_due = now

    def advance(self, now: Ns) -> None:
        """Show the changes whose time has come."""
        while self.pending and self.pending[0][0] <= now:
            self.shown = self.pending.pop(0)[1]

    def command(self, now: Ns) -> None:
        """Look at the quantity and the faults."""
        curve = self.curve(self.QUANTITY)
        if curve is not self.last_curve or now >= self.edge_due:
            self.last_curve = curve
            self._look(curve, now)
        wanted = self.powered() and (self.inside or "blinded" in self.faults)
        if wanted != self.wanted:
            self._turn(now, wanted=wanted)
        shown = self.shown
        if "stuck_on" in self.faults:
            shown = True
        elif "stuck_off" in self.faults:
            shown = False
        self.emit(self.SHOWN, shown)

    def next_due(self) -> Ns:
        """Give the next crossing or the next change to show."""
        return min(self.pending[0][0], self.edge_due) if self.pending else self.edge_due

    def _look(self, curve: Curve, now: Ns) -> None:
        """Find the element's state, then the instant at which it changes next."""
        side, value = self.side, self.side * curve.at(now)
        if self.inside:
            self.inside = value > side * self.off_at and (self.far_off is None or value < side * self.far_off)
        else:
            self.inside = value >= side * self.on_at and (self.far_on is None or value <= side * self.far_on)
        if self.inside:
            self.edge_due = curve.crossing(self.off_at, now)
            if self.far_off is not None:
                self.edge_due = min(self.edge_due, curve.crossing(self.far_off, now))
        else:  # what is short of the zone can only come in at its near edge, what is past it only at its far one
            entry = self.on_at
            if self.far_on is not None and value > side * self.far_on:
                entry = self.far_on
            self.edge_due = curve.crossing(entry, now)

    def _turn(self, now: Ns, *, wanted: bool) -> None:
        """Plan what the output shows: one change after the response time, or a burst that ends in it."""
        self.wanted = wanted
        self.pending.clear()
        if self.shown == wanted:
            return
        later = from_float_seconds(self.faults.get("late", 0.0))
        first = Ns(now + from_float_seconds(self.p["response"]) + later)
        self.pending.append((first, wanted))
        if "chattering" in self.faults:
            self._chatter(first, self.faults["chattering"], wanted=wanted)
        self.advance(now)

    def _chatter(self, first: Ns, burst: float, *, wanted: bool) -> None:
        slot = burst / CHATTERS
        for n in range(1, CHATTERS):
            chance = draw(self.seed, self.name + ".chatter", self.flips)
            self.flips += 1
            self.pending.append((Ns(first + from_float_seconds(slot * (n - chance))), wanted == (n % 2 == 0)))
        self.pending.append((Ns(first + from_float_seconds(burst)), wanted))
