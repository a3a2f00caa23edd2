"""A light curtain, and the distance from the danger at which it must stand.

What its outputs cut is safety_chain.py or a contactor. Rule: it is there to test logic around it; a simulation proves
nothing about safety functions, and measures no stopping time of a real machine.
"""

from typing import ClassVar, Final

from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds

_SLOW_HAND: Final = 1600.0
_FAST_HAND: Final = 2000.0
"""mm/s at which a hand comes: fast close by, slow from half a metre on."""
_FINGERS: Final = 40.0
"""mm of resolution up to which fingers and hands are seen; above it only arms and legs."""
_COARSE: Final = 70.0


def safety_distance(time: float, resolution: float) -> float:
    """Give the least distance of a light curtain from the danger, mm; approach at right angles.

    Resolution up to 40 mm: S = 2000 T + 8 (d - 14), at least 100; if that is over 500 then with 1600, at least 500.
    From there to 70 mm: S = 1600 T + 850.

    Args:
        time: T in seconds, >= 0: response of the curtain and of what it cuts, and the stopping time, all at worst.
        resolution: d in mm, the smallest body seen everywhere; above 0, to 70.

    Raises:
        PlantError: a value is out of its range.

    Source: ISO 13855 as quoted in manuals of light curtains; `tests/external/test_guards.py`.
    """
    if not time >= 0:
        raise PlantError(f"a time of {time:g} s is no stopping time", "it must be 0 or more")
    if not 0 < resolution <= _COARSE:
        raise PlantError(f"no distance is known for a resolution of {resolution:g} mm", "it must be above 0, up to 70")
    if resolution > _FINGERS:
        return _SLOW_HAND * time + 850.0
    reach = max(0.0, 8 * (resolution - 14))
    near = max(100.0, _FAST_HAND * time + reach)
    return near if near <= 500 else max(500.0, _SLOW_HAND * time + reach)


class LightCurtain(Part):
    """Light curtain: off `response` after a body enters its field, on `again` after it has left.

    A body gone within the response time is missed. Whether the machine may then go on is the safety chain's affair.

    Input: `volts`. Outputs: `occupied` (the truth: a body is in the field), `clear` (its two switched outputs, as one),
    `interrupted` (the contrary, for a safety chain that wants to know what is pressed).
    """

    INPUTS: ClassVar = {"volts": 24.0}
    OUTPUTS: ClassVar = {"clear": False, "interrupted": True, "occupied": False}
    PARAMETERS: ClassVar = {
        "response": Parameter(0.014, "s", "from a body in the field to outputs off", 0.3, 0.0, 1.0),
        "again": Parameter(0.08, "s", "from a free field to outputs on", 0.3, 0.0, 5.0),
        "least_volts": Parameter(19.2, "V", "supply below which its outputs are off", 0.05, 0.0, 1000.0),
    }
    FAILURES: ClassVar = (
        FailureMode("misaligned", "a post was knocked", "its outputs are off"),
        FailureMode("bypassed", "muting or a bridge left on", "its outputs are on whoever is in the field"),
        FailureMode("flickering", "sunlight, vibration", "its outputs drop out, again and again after this", 1.0, "s"),
    )
    ACTIONS: ClassVar = {"interrupt": "reach in (value: seconds, then out)", "leave": "get out"}

    def begin(self, now: Ns) -> None:
        """Start with a free field, outputs off."""
        self._inside = self._on = False
        self._leaves = self._turns = self._blinks = NEVER
        self._wanted = False

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Reach in or get out."""
        match action, value:
            case "interrupt", None:
                self._inside, self._leaves = True, NEVER
            case "interrupt", int() | float() if value > 0:
                self._inside, self._leaves = True, Ns(now + from_float_seconds(value))
            case "interrupt", _:
                raise PlantError(
                    f"{self.name!r} cannot be reached into for {value!r}", mend="say how many seconds, above 0"
                )
            case "leave", _:
                self._inside, self._leaves = False, NEVER
            case _:
                super().act(action, value, now)

    def advance(self, now: Ns) -> None:
        """Get out; switch; flicker."""
        if now >= self._leaves:
            self._inside, self._leaves = False, NEVER
        if now >= self._turns:
            self._on, self._turns = self._wanted, NEVER
        if now >= self._blinks:
            self._blinks, self._on, self._wanted = NEVER, False, False

    def command(self, now: Ns) -> None:
        """Look into the field."""
        every = self.faults.get("flickering", 0.0)
        if every <= 0:
            self._blinks = NEVER
        elif self._blinks == NEVER:
            self._blinks = Ns(now + from_float_seconds(every))
        powered = self.number("volts") >= self.p["least_volts"]
        wanted = powered and not self._inside and "misaligned" not in self.faults
        if not powered:
            self._on, self._wanted, self._turns = False, False, NEVER
        elif wanted != self._wanted:
            self._wanted, self._turns = wanted, NEVER
            if wanted != self._on:
                self._turns = Ns(now + from_float_seconds(self.p["again" if wanted else "response"]))
                self.advance(now)
        clear = self._on or (powered and "bypassed" in self.faults)
        self.emit("clear", clear)
        self.emit("interrupted", not clear)
        self.emit("occupied", self._inside)

    def next_due(self) -> Ns:
        """Give the next change."""
        return min(self._leaves, self._turns, self._blinks)
