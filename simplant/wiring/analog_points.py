"""Analogue points: from a signal on a wire to the number in the controller, and back.

Ranges and scales are analog_span.py; a transmitter, and what it sends when it fails, is a part of the plant.
Rule: a number is converted only at whole updates of the module, and is then a pure function of signal, faults and
instant; updates that cannot change it are left out.
"""

from collections.abc import Mapping
from typing import ClassVar, Final

from simplant.chance import draw
from simplant.curves import Curve, Steady
from simplant.faults import SWAPPED
from simplant.part import FailureMode, Parameter, Signal
from simplant.timebase import NEVER, Ns, from_float_seconds, to_seconds
from simplant.wiring.analog_span import BOTTOM, TOP, nearest_whole
from simplant.wiring.io_list import Point
from simplant.wiring.points import INTERMITTENT, InputPoint, WiredPoint

_OPEN_WIRE: Final = FailureMode("open_wire", "the conductor is broken or a terminal loose", "no current, no voltage")
_SHORT_TO_0V: Final = FailureMode("short_to_0v", "the conductor touches 0 V", "as without a signal")
_OFFSET: Final = FailureMode("offset", "badly calibrated, or a wrong resistor", "wrong by a fixed amount", 5.0, "%")
_FROZEN: Final = FailureMode("frozen", "the module's converter hangs", "it stays at its last value")

_NEAR: Final = 0.5 - 1e-5
"""Steps off its count up to which a signal is sure not to read as the next one, whatever floats do."""


class AnalogInputPoint(WiredPoint):
    """An analogue input: conductor, and the channel of the module that converts.

    The module converts at each whole update, counted from the start of the run, into steps of its resolution: the
    nearest one, halves up; there is no hysteresis, as there is none in a converter. It measures a quarter of the range
    beyond either end, and the number stays within its type. `fault` is what a module reports beside it: see
    `AnalogSpan.fails`. A dead supply of the loop, an open wire and a short to 0 V read as no signal, a short to +
    as the most that the module measures. `swapped` works as at `InputPoint`.

    Noise is evenly spread and a pure function of seed, name and update.

    Source: 4-20 mA in `tests/external/test_current_loop.py`.
    """

    INPUTS: ClassVar = {"measured": 0.0, "volts": 24.0, "other": 0.0}
    OUTPUTS: ClassVar = {"level": 0, "fault": False, "wire": 0.0}
    PARAMETERS: ClassVar = {
        "update": Parameter(0.01, "s", "from one conversion to the next", 0.0, 1e-5, 10.0),
        "resolution": Parameter(0.0, "", "size of a step, in counts; 0 = 1, or 1/10000 of a REAL's scale", least=0.0),
        "noise": Parameter(0.0, "%", "of the range, either way, at each conversion", 0.0, 0.0, 50.0),
        "least_volts": Parameter(10.0, "V", "of the supply; below it there is no signal", 0.0, 0.0, 1000.0),
    }  # fmt: skip
    FAILURES: ClassVar = (
        _OPEN_WIRE,
        FailureMode("short_to_supply", "the conductor touches +", "the most that the module measures"),
        _SHORT_TO_0V,
        INTERMITTENT,
        _OFFSET,
        FailureMode("drift", "ageing or heat", "wrong by more and more", 1.0, "%/min"),
        _FROZEN,
        SWAPPED,
    )

    def __init__(self, point: Point, parameters: Mapping[str, float] | None = None) -> None:
        """Make the point of a row with a range; as a part it bears the tag's name."""
        super().__init__(point, parameters)
        assert point.span is not None, f"{point.name} has no range"
        self._span: Final = point.span
        self._steps: Final = self._span.steps(self.p["resolution"], point.tag.type)
        self._update: Final = from_float_seconds(self.p["update"])
        self.outputs["level"] = point.tag.type.default
        self._due = self._drifts_from = NEVER

    def command(self, now: Ns) -> None:
        """Convert, if the module does so now; else wait for its next update."""
        wire = self._conductor(now)
        self.emit("wire", wire)
        self._drifts_from = min(self._drifts_from, now) if "drift" in self.faults else NEVER
        if now % self._update:
            self._due = self._grid(now)
        elif "frozen" in self.faults:
            self._due = NEVER
        else:
            self._convert(now, self.inputs["other"] if "swapped" in self.faults else wire)

    def _conductor(self, now: Ns) -> Signal:
        faults, span = self.faults, self._span
        if self._drops_out(now) or "open_wire" in faults:
            return span.signal(span.dead)
        if "short_to_supply" in faults:
            return span.signal(TOP)
        if "short_to_0v" in faults or self.number("volts") < self.p["least_volts"]:
            return span.signal(span.dead)
        return self.inputs["measured"]

    def _convert(self, now: Ns, signal: Signal) -> None:
        assert isinstance(signal, Curve | float | int), f"{self.name} measures {signal!r}"
        value = signal.at(now) if isinstance(signal, Curve) else signal
        error = self._error(now)
        place = min(max((self._span.place(value) + error + self._noise(now)), BOTTOM), TOP) * self._steps
        count = nearest_whole(place)
        fraction = count / self._steps
        self.emit("level", self._span.number(fraction, self.point.tag.type))
        self.emit("fault", self._span.fails(fraction))
        if self.p["noise"] or "drift" in self.faults:
            self._due = self._grid(now)
        elif isinstance(signal, Curve) and not isinstance(signal, Steady):
            self._due = self._changes(signal, now, place, count, error)
        else:
            self._due = NEVER

    def _error(self, now: Ns) -> float:
        error = self.faults.get("offset", 0.0)
        if "drift" in self.faults:
            error += self.faults["drift"] * to_seconds(now - self._drifts_from) / 60
        return error / 100

    def _noise(self, now: Ns) -> float:
        width = self.p["noise"]
        return width / 100 * (2 * draw(self.seed, f"{self.name}.noise", now // self._update) - 1) if width else 0.0

    def _grid(self, now: Ns) -> Ns:
        """Give the first update after `now`."""
        return Ns((now // self._update + 1) * self._update)

    def _changes(self, curve: Curve, now: Ns, place: float, count: int, error: float) -> Ns:
        """Give the first update at which another count may be read."""
        if abs(place - count) > _NEAR:
            return self._grid(now)
        edges = (self._span.signal((count + side) / self._steps - error) for side in (-_NEAR, _NEAR))
        first = min(curve.crossing(edge, now) for edge in edges)
        return NEVER if first == NEVER else self._grid(Ns(first - 1))

    def next_due(self) -> Ns:
        """Give the next update that matters, or the next move of a loose terminal."""
        return min(self._due, super().next_due())


class AnalogOutputPoint(WiredPoint):
    """An analogue output: the controller's number as a current, a voltage or a quantity (`drive`).

    It is held within the range. Without `volts`, with an open wire or a short to 0 V the device gets 0.
    `swapped` works as at `InputPoint`.
    """

    INPUTS: ClassVar = {"level": 0, "volts": 24.0, "other": 0.0}
    OUTPUTS: ClassVar = {"drive": 0.0, "wire": 0.0}
    PARAMETERS: ClassVar = {
        "least_volts": Parameter(10.0, "V", "of the supply; below it the output is dead", 0.0, 0.0, 1000.0),
    }
    FAILURES: ClassVar = (_OPEN_WIRE, _SHORT_TO_0V, INTERMITTENT, _OFFSET, _FROZEN, SWAPPED)

    def __init__(self, point: Point, parameters: Mapping[str, float] | None = None) -> None:
        """Make the point of a row with a range; as a part it bears the tag's name."""
        super().__init__(point, parameters)
        assert point.span is not None, f"{point.name} has no range"
        self._span: Final = point.span
        self.inputs["level"] = point.tag.type.default
        self._fraction = 0.0

    def command(self, now: Ns) -> None:
        """Pass the number on to the device."""
        if "frozen" not in self.faults:
            self._fraction = self._span.fraction(self.number("level"))
        wire = self._span.signal(self._fraction + self.faults.get("offset", 0.0) / 100)
        broken = self._drops_out(now) or not self.faults.keys().isdisjoint(("open_wire", "short_to_0v"))
        if broken or self.number("volts") < self.p["least_volts"]:
            wire = 0.0
        self.emit("wire", wire)
        self.emit("drive", self.inputs["other"] if "swapped" in self.faults else wire)


class ModuleBit(InputPoint):
    """A bit that a module reports beside a channel (`level_raw.fault`): it has no wire that could fail."""

    FAILURES: ClassVar[tuple[FailureMode, ...]] = ()
