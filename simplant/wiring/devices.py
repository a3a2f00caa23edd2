"""What people touch and see: buttons, emergency stop, selector, door, lamp.

Who presses is plant/people.py or a scenario; contacts that bounce and wires that break belong
to the point (points.py). Rule: a device says what is so (`pressed`, `open`) and, apart from it, what its contact or
switch says (`contact`, `switch`): no fault of the contact changes the truth, and none of them is a level.
"""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from simplant.errors import PlantError, nearest
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds


class PushButton(Part):
    """A momentary push button; `press` with a value is a press of so many seconds.

    `pressed` is the truth; wires go to `contact`: the contact block is actuated.
    """

    OUTPUTS: ClassVar = {"pressed": False, "contact": False}
    FAILURES: ClassVar = (
        FailureMode("held", "tied down, jammed or leant upon", "it is pressed"),
        FailureMode("detached", "contact block has come off", "its contact is never actuated"),
    )
    ACTIONS: ClassVar = {"press": "press and hold (value: seconds, then let go)", "release": "let go"}

    def begin(self, now: Ns) -> None:
        """Start released."""
        self._down = False
        self._lets_go = NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Press or release."""
        match action, value:
            case "press", None:
                self._down, self._lets_go = True, NEVER
            case "press", int() | float() if value > 0:
                self._down, self._lets_go = True, Ns(now + from_float_seconds(value))
            case "press", _:
                raise PlantError(f"{self.name!r} cannot be pressed for {value!r}", mend="say how many seconds, above 0")
            case "release", _:
                self._down, self._lets_go = False, NEVER
            case _:
                super().act(action, value, now)

    def advance(self, now: Ns) -> None:
        """Let go if the press is over."""
        if now >= self._lets_go:
            self._down, self._lets_go = False, NEVER

    def command(self, now: Ns) -> None:
        """Show it."""
        pressed = self._down or "held" in self.faults
        self.emit("pressed", pressed)
        self.emit("contact", pressed and "detached" not in self.faults)

    def next_due(self) -> Ns:
        """Give the end of a timed press."""
        return self._lets_go


class EmergencyStop(Part):
    """A latching emergency stop: stays pressed until it is released on purpose.

    `pressed` is the truth; wires go to `contact`: the contact block is actuated. A device to test logic around, not a
    safety function. Source: ISO 13850 as quoted in
    `tests/external/test_stop_categories.py`.
    """

    OUTPUTS: ClassVar = {"pressed": False, "contact": False}
    FAILURES: ClassVar = (FailureMode("detached", "contact block has come off", "its contact is never actuated"),)
    ACTIONS: ClassVar = {"press": "press; it latches", "release": "unlatch"}

    def begin(self, now: Ns) -> None:
        """Start unlatched."""
        self._latched = False

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Press or unlatch."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        self._latched = action == "press"

    def command(self, now: Ns) -> None:
        """Show it."""
        self.emit("pressed", self._latched)
        self.emit("contact", self._latched and "detached" not in self.faults)


class Selector(Part):
    """A selector switch with up to four positions, 0 to 3, read as two bits.

    While it turns, which takes `travel`, no contact is made: both bits are 0, which reads as position 0.
    """

    OUTPUTS: ClassVar = {"position": 0, "bit_0": False, "bit_1": False}
    PARAMETERS: ClassVar = {
        "positions": Parameter(4.0, "", "number of positions", least=2.0, most=4.0),
        "first": Parameter(0.0, "", "position at power-up", least=0.0, most=3.0),
        "travel": Parameter(
            0.0, "s", "from one position to another, both contacts open; 0 = neglected", 0.5, 0.0, 10.0
        ),
    }
    FAILURES: ClassVar = (FailureMode("jammed", "broken spindle", "it does not turn"),)
    ACTIONS: ClassVar = {"select": "turn to a position (value: 0 to 3)"}

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may stand in any position."""
        return {"first": tuple(map(float, range(int(p["positions"]))))}

    def begin(self, now: Ns) -> None:
        """Start in the first position."""
        self._position = self._wanted = int(self.p["first"])
        self._arrives = NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Turn."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        known = [str(n) for n in range(int(self.p["positions"]))]
        wanted = f"{value:g}" if isinstance(value, int | float) else str(value)
        if wanted not in known:
            raise PlantError(f"{self.name!r} has no position {value!r}", mend=nearest(wanted, known))
        if "jammed" in self.faults or int(wanted) == self._wanted:
            return
        self._wanted, self._position = int(wanted), 0
        self._arrives = Ns(now + from_float_seconds(self.p["travel"]))

    def advance(self, now: Ns) -> None:
        """Arrive."""
        if now >= self._arrives:
            self._position, self._arrives = self._wanted, NEVER

    def command(self, now: Ns) -> None:
        """Show it."""
        self.emit("position", self._position)
        self.emit("bit_0", self._position % 2 == 1)
        self.emit("bit_1", self._position >= 2)

    def next_due(self) -> Ns:
        """Give the arrival."""
        return self._arrives


class Door(Part):
    """A guard door with a position switch.

    `open` is the truth; wires go to `switch`: the switch says open.
    """

    OUTPUTS: ClassVar = {"open": False, "switch": False}
    FAILURES: ClassVar = (FailureMode("defeated", "the actuator is tied to the switch", "its switch says closed"),)
    ACTIONS: ClassVar = {"open": "open it", "close": "close it"}

    def begin(self, now: Ns) -> None:
        """Start closed."""
        self._open = False

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Open or close."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        self._open = action == "open"

    def command(self, now: Ns) -> None:
        """Show it, and what the switch sees."""
        self.emit("open", self._open)
        self.emit("switch", self._open and "defeated" not in self.faults)


class Lamp(Part):
    """A lamp or sounder: lit while driven with enough volts."""

    INPUTS: ClassVar = {"on": False, "volts": 24.0}
    OUTPUTS: ClassVar = {"lit": False}
    PARAMETERS: ClassVar = {"least_volts": Parameter(3.0, "V", "dark below it", least=0.0, most=1000.0)}
    FAILURES: ClassVar = (FailureMode("burnt_out", "lamp or sounder has failed", "stays dark"),)

    def command(self, now: Ns) -> None:
        """Light up or not."""
        lit = self.on("on") and self.number("volts") >= self.p["least_volts"] and "burnt_out" not in self.faults
        self.emit("lit", lit)
