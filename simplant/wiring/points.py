"""I/O points: from a device's terminal to the level at the controller's input, and back.

The row of the I/O list they come from is in io_list.py, voltages and kinds of signal in
levels.py, numbers and curves in analog_points.py. Rule: a fault is a physical cause on the contact
or on the conductor; the level follows from the wiring and is nowhere written down.
"""

from collections.abc import Mapping
from typing import ClassVar, Final

from simplant.faults import SWAPPED
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns
from simplant.wiring.contact import Contact
from simplant.wiring.io_list import Point
from simplant.wiring.levels import ContactForm, carries
from simplant.wiring.loose import Loose

_OPEN_WIRE: Final = FailureMode("open_wire", "the conductor is broken or a terminal loose", "no current flows")
INTERMITTENT: Final = FailureMode(
    "intermittent", "a loose terminal, a chafed conductor", "opens once a second, for 5 ms up to this", 0.2, "s"
)


class WiredPoint(Part):
    """What all points share: a row of the I/O list, and a conductor whose terminal may be loose."""

    def __init__(self, point: Point, parameters: Mapping[str, float] | None = None) -> None:
        """Make the point of a row; as a part it bears the tag's name."""
        super().__init__(point.name, parameters)
        self.point: Final = point
        self._loose: Loose | None = None

    def next_due(self) -> Ns:
        """Give the next move of a loose terminal."""
        return NEVER if self._loose is None else self._loose.due

    def _drops_out(self, now: Ns) -> bool:
        """Say whether a loose terminal is open now."""
        if "intermittent" not in self.faults:
            self._loose = None
            return False
        if self._loose is None:
            self._loose = Loose(self.seed, self.name, now)
        return self._loose.opens(now, self.faults["intermittent"])


class DigitalPoint(WiredPoint):
    """What digital inputs and outputs share: a contact or transistor."""

    def __init__(self, point: Point, parameters: Mapping[str, float] | None = None) -> None:
        """Make the point of a row; as a part it bears the tag's name."""
        super().__init__(point, parameters)
        self._contact = Contact()

    def advance(self, now: Ns) -> None:
        """Let the contact, or a late output, move."""
        if self._contact.steps:
            self._contact.advance(now)

    def next_due(self) -> Ns:
        """Give the next move of the contact, or of a loose terminal."""
        due = self._contact.next_due()
        return due if self._loose is None else min(due, self._loose.due)


class InputPoint(DigitalPoint):
    """A digital input with its conductor and the contact or sensor output at the far end.

    The contact is made if the device is actuated (NO) or is not (NC). Level 1 = current flows in the input's circuit,
    which needs `volts - drop` to reach the input type's ON voltage: a dead or sagging supply reads 0, NO or NC, PNP or
    NPN. Between the type's OFF and ON voltages the standard promises nothing; here it reads 0.

    Failures: `stuck_on` and `stuck_off` are the contact's own (welded or shorted output; burnt, dirty, blown output):
    it conducts or does not, whatever the device does and whether NO or NC. A broken conductor is taken to be broken at
    the controller, so it wins over a short. A `leaking` contact passes a current when open: from the input type's ON
    current it reads 1, up to its OFF current 0; between the two the standard promises nothing, here it stays as it was.

    `swapped`: while it is active the point reads `other` instead of its own `wire`. Whoever injects the fault connects
    `a.wire -> b.other` and `b.wire -> a.other` beforehand and injects it into both.

    Source: voltages in `tests/external/test_input_levels.py`.
    """

    INPUTS: ClassVar = {"actuated": False, "volts": 24.0, "other": False}
    OUTPUTS: ClassVar = {"level": False, "wire": False}
    PARAMETERS: ClassVar = {
        "bounce": Parameter(0.0, "s", "the contact bounces so long at each change; 0 = neglected", least=0.0, most=1.0),
        "drop": Parameter(0.0, "V", "voltage lost in sensor and wire", least=0.0, most=30.0),
    }
    FAILURES: ClassVar[tuple[FailureMode, ...]] = (
        _OPEN_WIRE,
        FailureMode("short_to_supply", "the conductor touches +", "PNP or dry reads 1, NPN reads 0"),
        FailureMode("short_to_0v", "the conductor touches 0 V", "PNP or dry reads 0, NPN reads 1"),
        FailureMode("stuck_on", "contact welded or output transistor shorted", "the contact conducts always"),
        FailureMode("stuck_off", "contact burnt or output transistor open", "the contact never conducts"),
        FailureMode("leaking", "damp, suppressor, two-wire sensor", "an open contact passes this current", 2.5, "mA"),
        INTERMITTENT,
        FailureMode("late", "sluggish contact or sensor", "changes come late; shorter pulses are lost", 0.05, "s"),
        FailureMode("chattering", "loose or worn contact", "each change bounces", 0.02, "s"),
        SWAPPED,
    )

    def __init__(self, point: Point, parameters: Mapping[str, float] | None = None) -> None:
        """Make the point of a row; as a part it bears the tag's name."""
        super().__init__(point, parameters)
        self._opens: Final = point.contact is ContactForm.NC
        self._needs: Final = point.input_type.on_volts + self.p["drop"]
        self._born = Ns(0)

    def begin(self, now: Ns) -> None:
        """Find the contact as the device holds it; what changes in this first instant does not bounce."""
        self._born = now
        self._contact = Contact(closed=self.on("actuated") is not self._opens)

    def command(self, now: Ns) -> None:
        """Make or break the contact, and with it the circuit of the input."""
        contact, made = self._contact, bool(self.inputs["actuated"]) is not self._opens
        if self.faults or contact.steps or self._loose is not None or self.p["bounce"]:
            level = self._wire(now, made=made) and self.number("volts") >= self._needs
            self.emit("wire", level)
            self.emit("level", self.on("other") if "swapped" in self.faults else level)
            return
        contact.level = contact.target = made
        level = made and self.number("volts") >= self._needs
        self.emit("wire", level)
        self.emit("level", level)

    def _wire(self, now: Ns, *, made: bool) -> bool:
        faults = self.faults
        if now == self._born:
            self._contact.follow(now, target=made)
        else:
            bounce = max(self.p["bounce"], faults.get("chattering", 0.0))
            self._contact.follow(now, target=made, delay=faults.get("late", 0.0), bounce=bounce)
        closed = (self._contact.level or "stuck_on" in faults) and "stuck_off" not in faults
        closed = closed or self._leaks()
        shorts = {"to_supply": "short_to_supply" in faults, "to_0v": "short_to_0v" in faults}
        whole = not self._drops_out(now) and "open_wire" not in faults
        return whole and carries(self.point.signal, closed=closed, **shorts)

    def _leaks(self) -> bool:
        """Say whether an open contact passes current enough for a 1, or to stay at one."""
        kind, milliamperes = self.point.input_type, self.faults.get("leaking", 0.0)
        return milliamperes >= kind.on_current or (milliamperes > kind.off_current and bool(self.outputs["wire"]))


class OutputPoint(DigitalPoint):
    """A digital output with its conductor to the device.

    `level` is what the controller publishes; `drive` is whether the device gets current. It needs `volts` (of the
    supply that feeds the output); whether that voltage is enough is the device's affair. `swapped` works as at
    `InputPoint`.
    """

    INPUTS: ClassVar = {"level": False, "volts": 24.0, "other": False}
    OUTPUTS: ClassVar = {"drive": False, "wire": False}
    PARAMETERS: ClassVar = {
        "least_volts": Parameter(1.0, "V", "below it the output is dead", least=0.0, most=1000.0),
    }
    FAILURES: ClassVar = (
        _OPEN_WIRE,
        INTERMITTENT,
        FailureMode("stuck_on", "output transistor or contact shorted, or the conductor touches +", "always driven"),
        FailureMode("stuck_off", "output blown, or the conductor touches 0 V", "never driven"),
        FailureMode("late", "sluggish output or interposing relay", "changes come late", 0.05, "s"),
        SWAPPED,
    )

    def command(self, now: Ns) -> None:
        """Pass the level on to the device."""
        contact, drive = self._contact, bool(self.inputs["level"])
        if self.faults or contact.steps or self._loose is not None:
            level = self._wire(now, level=drive) and self.number("volts") >= self.p["least_volts"]
            self.emit("wire", level)
            self.emit("drive", self.on("other") if "swapped" in self.faults else level)
            return
        contact.level = contact.target = drive
        drive = drive and self.number("volts") >= self.p["least_volts"]
        self.emit("wire", drive)
        self.emit("drive", drive)

    def _wire(self, now: Ns, *, level: bool) -> bool:
        faults, whole = self.faults, not self._drops_out(now)
        self._contact.follow(now, target=level, delay=faults.get("late", 0.0))
        driven = (self._contact.level or "stuck_on" in faults) and "stuck_off" not in faults
        return driven and whole and "open_wire" not in faults
