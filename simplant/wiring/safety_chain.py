"""The hard-wired safety chain: emergency stop and door contacts that remove drive power by themselves.

What the program may read of it is the auxiliary contact; it cannot hold the power. Rule: this
is a model of wiring for testing logic around it. It proves nothing about a safety function:
that belongs in safety-rated hardware chosen from a risk assessment.
"""

from typing import ClassVar

from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import Ns
from simplant.wiring.contact import Contact


class SafetyChain(Part):
    """A safety relay with two redundant contacts in the drives' supply.

    `power` and `aux` close on a rising edge of `reset` while `estop` and `door` are both clear and there are `volts`;
    so power-up needs a reset too, and a reset that is tied down does nothing. Emergency stop, an open door or lost
    volts, however short, drop both within `response`, and only another reset edge, after they have dropped, brings them
    back. This is removal of power, stop category 0; clearing never restarts. (Real safety relays may want the reset
    released as well.)

    `welded`: real ones have forced contacts and their own diagnosis: with one of two contacts welded the other still
    removes the power and the next reset is refused. So it is modelled; what becomes of the second weld is not.

    Source: behaviour in `tests/external/test_stop_categories.py`; times are common practice, no source.
    """

    INPUTS: ClassVar = {"estop": False, "door": False, "reset": False, "volts": 24.0}
    OUTPUTS: ClassVar = {"power": False, "aux": False}
    PARAMETERS: ClassVar = {
        "response": Parameter(0.020, "s", "from demand to power removed", 0.2, 0.0, 1.0),
        "operate": Parameter(0.030, "s", "from reset to power", 0.3, 0.0, 1.0),
        "least_volts": Parameter(15.0, "V", "below it the relay drops out", 0.1, 0.0, 1000.0),
    }
    FAILURES: ClassVar = (
        FailureMode("aux_stuck", "auxiliary contact or its wire", "the program goes on reading what it was"),
        FailureMode("welded", "one of two power contacts welded", "power still drops; no reset is taken"),
    )

    def begin(self, now: Ns) -> None:
        """Start without power."""
        self._power = Contact()
        self._armed = False
        self._reset_before = True

    def advance(self, now: Ns) -> None:
        """Let the contacts move."""
        self._power.advance(now)

    def command(self, now: Ns) -> None:
        """Drop on a demand, arm on a reset edge."""
        clear = not self.on("estop") and not self.on("door") and self.number("volts") >= self.p["least_volts"]
        reset = self.on("reset")
        edge = reset and not self._reset_before
        self._reset_before = reset
        taken = edge and not self._power.level and "welded" not in self.faults
        self._armed = clear and (self._armed or taken)
        wait = self.p["operate" if self._armed else "response"]
        self._power.follow(now, target=self._armed, delay=wait)
        self.emit("power", self._power.level)
        if "aux_stuck" not in self.faults:
            self.emit("aux", self._power.level)

    def next_due(self) -> Ns:
        """Give the contacts' next move."""
        return self._power.next_due()
