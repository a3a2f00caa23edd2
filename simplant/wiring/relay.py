"""Relays, contactors and changeover relays: a coil, contacts that take their time, and a mirror contact.

Their contacts' motion is in contact.py; the hard-wired safety relay in safety_chain.py.
Rule: voltages change only at events; nothing here is a curve.
"""

from collections.abc import Mapping
from typing import ClassVar, Final

from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import Ns
from simplant.wiring.contact import Contact, Weld

_TIMES: Final = {
    "operate": Parameter(0.010, "s", "from coil on to contact made, without bounce", 0.3, 0.0, 1.0),
    "release": Parameter(0.005, "s", "from coil off to contact open (two to five times with a diode)", 0.3, 0.0, 1.0),
    "bounce": Parameter(0.0, "s", "the contact bounces so long at each change; 0 = neglected", 0.3, 0.0, 0.1),
    "pick_up": Parameter(16.8, "V", "the coil pulls in at or above it", 0.1, 0.0, 1000.0),
    "drop_out": Parameter(2.4, "V", "a pulled coil lets go below it", 0.1, 0.0, 1000.0),
}
_SLOW: Final = FailureMode(
    "slow", "sticky armature, cold or worn", "operate and release times are longer", 5.0, "times"
)
_BOUNCING: Final = FailureMode("bouncing", "worn contact or loose base", "each change bounces", 0.005, "s")


class _Coil(Part):
    """A coil with hysteresis: on = commanded, enabled and enough volts."""

    INPUTS: ClassVar = {"coil": False, "enable": True, "coil_volts": 24.0, "line": 0.0}
    PARAMETERS: ClassVar = _TIMES

    def __init__(self, name: str, parameters: Mapping[str, float] | None = None) -> None:
        super().__init__(name, parameters)
        self._pulled = False

    def _times(self) -> tuple[float, float]:
        """Give the time that the armature takes as the coil now is, and the bounce, s."""
        moves = self.p["operate" if self._pulled else "release"] * self.faults.get("slow", 1.0)
        return moves, max(self.p["bounce"], self.faults.get("bouncing", 0.0))

    def _pull(self) -> bool:
        least = self.p["drop_out" if self._pulled else "pick_up"]
        self._pulled = self.on("coil") and self.on("enable") and self.number("coil_volts") >= least
        return self._pulled


class Relay(_Coil):
    """A relay with one power contact and a mirror contact.

    `closed` follows the coil after `operate` or `release`; `out` is `line` while closed, else 0. The mirror contact
    moves with the power contact, welded or not; whether it is wired NO or NC stands in the I/O list. `enable` is what
    else is in the coil's circuit, for instance the safety chain's contact.

    A weld takes hold when the contact is closed; a fault that is there at the first instant found it welded.

    Source: default times are common practice, no source; data-sheet figures in `tests/external/test_relay_figures.py`.
    """

    OUTPUTS: ClassVar = {"out": 0.0, "closed": False, "mirror": False}
    FAILURES: ClassVar = (
        FailureMode("welded", "contact welded by inrush or short", "once closed it stays closed; the mirror shows it"),
        FailureMode("open", "coil burnt out, or contact worn away", "never closes"),
        _SLOW,
        _BOUNCING,
    )

    def begin(self, now: Ns) -> None:
        """Start released."""
        self._contact, self._weld, self._pulled = Contact(), Weld(now), False

    def advance(self, now: Ns) -> None:
        """Let the contact move."""
        self._contact.advance(now)

    def command(self, now: Ns) -> None:
        """Obey the coil."""
        contact, pulled = self._contact, self._pull()
        if pulled is not contact.target:
            delay, bounce = self._times()
            contact.follow(now, target=pulled, delay=delay, bounce=bounce)
        closed = contact.level
        if self.faults or self._weld.holds:
            closed = self._weld.look(now, welding="welded" in self.faults, closed=closed) or closed
            closed = closed and "open" not in self.faults
        if closed is not self.outputs["closed"]:
            self.emit("closed", closed)
            self.emit("mirror", closed)
        self.emit("out", self.number("line") if closed else 0.0)

    def next_due(self) -> Ns:
        """Give the contact's next move."""
        return self._contact.next_due()


class Contactor(Relay):
    """A contactor: a `Relay` for motors, slower (common practice, no source)."""

    PARAMETERS: ClassVar = {
        **_TIMES,
        "operate": Parameter(0.020, "s", "from coil on to contact made, without bounce", 0.3, 0.0, 1.0),
        "release": Parameter(0.015, "s", "from coil off to contact open", 0.3, 0.0, 1.0),
    }


class Changeover(_Coil):
    """A changeover relay that sets the polarity of a drive.

    `out` is +line with the coil on, -line with it off, and 0 while the armature is on its way (break before make).
    With a welded side it stays there: the other side cannot make.
    """

    OUTPUTS: ClassVar = {"out": 0.0, "up": False}
    PARAMETERS: ClassVar = {
        **_TIMES,
        "transit": Parameter(0.002, "s", "neither side makes, within operate and release", 0.3, 0.0, 1.0),
    }
    FAILURES: ClassVar = (
        FailureMode("welded_up", "the make side is welded", "once up it stays up"),
        FailureMode("welded_down", "the break side is welded", "once down it stays down"),
        _SLOW,
        _BOUNCING,
    )

    def begin(self, now: Ns) -> None:
        """Start released: down."""
        self._up, self._down, self._pulled = Contact(), Contact(closed=True), False
        self._weld_up, self._weld_down = Weld(now), Weld(now)

    def advance(self, now: Ns) -> None:
        """Let both sides move."""
        self._up.advance(now)
        self._down.advance(now)

    def command(self, now: Ns) -> None:
        """Obey the coil."""
        pulled = self._pull()
        makes, bounce = self._times()
        breaks = max(makes - self.p["transit"], 0.0)
        to, away = (self._up, self._down) if pulled else (self._down, self._up)
        away.follow(now, target=False, delay=breaks)
        to.follow(now, target=True, delay=makes, bounce=bounce)
        up, down = self._up.level, self._down.level
        if self._weld_up.look(now, welding="welded_up" in self.faults, closed=up):
            up, down = True, False
        elif self._weld_down.look(now, welding="welded_down" in self.faults, closed=down):
            up, down = False, True
        line = self.number("line")
        self.emit("up", up)
        self.emit("out", line if up else 0.0 - line if down else 0.0)

    def next_due(self) -> Ns:
        """Give the next move of either side."""
        return min(self._up.next_due(), self._down.next_due())
