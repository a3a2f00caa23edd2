"""A two-hand control relay: its output needs both hands, together, and both let go before the next time.

The buttons are push_button of devices.py.
Rule: it is there to test logic around it; a simulation proves nothing about safety functions.
"""

from typing import ClassVar

from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds


class TwoHand(Part):
    """Two-hand control: `out` while both buttons are held that were pressed within `together` of each other.

    Letting go of either ends it; it comes again only after both were let go. Buttons pressed when power comes, or too
    long after each other, give nothing.

    Inputs: `left`, `right` (pressed), `volts`. Outputs: `out`, `waits` (one hand is there in time, or a new start is
    barred until both are off: for a lamp).

    Source: from memory: ISO 13851, type III (0.5 s); held in `tests/external/test_guards.py`.
    """

    INPUTS: ClassVar = {"left": False, "right": False, "volts": 24.0}
    OUTPUTS: ClassVar = {"out": False, "waits": False}
    PARAMETERS: ClassVar = {
        "together": Parameter(0.5, "s", "greatest time between the two hands", 0.0, 0.01, 10.0),
        "least_volts": Parameter(16.8, "V", "supply below which it gives nothing", 0.1, 0.0, 1000.0),
    }
    FAILURES: ClassVar = (
        FailureMode("dead", "relay failed", "never gives its output"),
        FailureMode("welded", "output contact welded", "gives its output once given, hands or not"),
    )

    def begin(self, now: Ns) -> None:
        """Bar a start until both hands were seen off."""
        self._barred, self._given, self._welded = True, False, False
        self._ends: Ns = NEVER

    def advance(self, now: Ns) -> None:
        """Give up waiting for the second hand."""
        if now >= self._ends:
            self._ends, self._barred = NEVER, True

    def command(self, now: Ns) -> None:
        """Look at the hands."""
        left, right = self.on("left"), self.on("right")
        powered = self.number("volts") >= self.p["least_volts"]
        if not powered:
            self._barred, self._given, self._ends = True, False, NEVER
        elif not left and not right:
            self._barred, self._given, self._ends = False, False, NEVER
        elif left and right:
            self._given = self._given or not self._barred
            self._barred, self._ends = True, NEVER
        else:
            self._barred, self._given = self._barred or self._given, False
            if not self._barred and self._ends == NEVER:
                self._ends = Ns(now + from_float_seconds(self.p["together"]) + 1)
        self._welded = "welded" in self.faults and (self._welded or self._given)
        self.emit("out", (self._given or self._welded) and "dead" not in self.faults)
        self.emit("waits", powered and (left or right) and not self._given)

    def next_due(self) -> Ns:
        """Give the end of the time for the second hand."""
        return self._ends
