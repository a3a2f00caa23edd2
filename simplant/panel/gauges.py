"""Which numbers of a part can be shown as a gauge, between which bounds, with which marks, in which unit.

Rule: bounds are the part's own parameters; a number without any is shown on a scale that grows with it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from simplant.curves import Curve
from simplant.part import Part
from simplant.rig.machine import STOCK, Machine


@dataclass(slots=True)
class Gauge:
    """A number of a part: `least` and `most` of its scale (None: not known, it grows), marks on it, its unit."""

    name: str
    least: float | None
    most: float | None
    unit: str
    marks: dict[str, float] = field(default_factory=dict)

    def grow(self, value: float) -> tuple[float, float]:
        """Give the scale, made wider if the value would be off it."""
        least = 0.0 if self.least is None else self.least
        most = 1.0 if self.most is None else self.most
        while value > most:
            most *= 2
        while value < least:
            least = least * 2 if least < 0 else -most
        self.least, self.most = least, most
        return least, most


_BOUNDS: Final = {
    ("turntable", "angle"): ("stop_left", "stop_right", "deg"),
    ("lift", "elevation"): ("bottom", "top", "deg"),
    ("wheel", "speed"): (None, None, "rad/s"),
    ("ball_gate", "arm"): (0.0, 1.0, ""),
    ("tank", "level"): (0.0, "depth", "m"),
    ("cylinder", "position"): (0.0, "stroke", "m"),
    ("spring_cylinder", "position"): (0.0, "stroke", "m"),
    ("indexing_table", "angle"): (0.0, 360.0, "deg"),
    ("heater", "temperature"): (0.0, None, "degC"),
    ("motor", "speed"): (0.0, "speed", "rad/s"),
    ("air_supply", "course"): (0.0, "nominal", "kPa"),
    ("belt", "travel"): (None, None, "m"),
    ("supply", "volts"): (0.0, "volts", "V"),
    ("overload", "heat"): (0.0, "trip_heat", ""),
    ("encoder", "counts"): (None, None, ""),
}
"""Stock part and terminal -> least, most (a number, a parameter, or None: it grows), unit."""

_HIDDEN: Final = {("lift", "running_time"), ("lift", "rise"), ("people", "aim_error")}
"""Numbers of which one would not want a gauge."""


_NAMES: Final = {kind: name for name, kind in STOCK.items()}


def stock_name(kind: type[Part]) -> str:
    """Give the name of a part's class, or of the stock part it is derived from, as `machine.toml` writes it, or ""."""
    return next((_NAMES[base] for base in kind.__mro__ if base in _NAMES), "")


def gauges_of(machine: Machine) -> list[Gauge]:
    """Give the gauges of a machine: what moves continuously, in declared order, supplies last."""
    parts = [part for name, part in machine.build({}).items() if name not in machine.io]
    found = [(stock_name(type(part)), gauge) for part in parts for gauge in _of(machine, part)]
    return [gauge for _, gauge in sorted(found, key=lambda each: each[0] == "supply")]


def _of(machine: Machine, part: Part) -> Iterator[Gauge]:
    kind = stock_name(type(part))
    for terminal, value in part.outputs.items():
        least, most, unit = _BOUNDS.get((kind, terminal), (None, None, ""))
        known = (kind, terminal) in _BOUNDS
        if (known or isinstance(value, Curve)) and (kind, terminal) not in _HIDDEN:
            name = f"{part.name}.{terminal}"
            marks = _marks(machine, name)
            highest = 1.25 * max(marks.values()) if most is None and marks else _bound(part, most)
            yield Gauge(name, _bound(part, least), highest, unit, marks)


def _bound(part: Part, given: float | str | None) -> float | None:
    return part.p[given] if isinstance(given, str) else given


_SENSED: Final = ("angle", "level", "temperature")


def _marks(machine: Machine, truth: str) -> dict[str, float]:
    """Give where on a truth's scale its sensors switch: theirs is the parameter that says so."""
    marks = {}
    for wire in machine.wires:
        plan = machine.plans.get(wire.part)
        if wire.source == truth and plan is not None and wire.terminal in _SENSED:
            parameters = {**{k: p.default for k, p in plan.kind.PARAMETERS.items()}, **plan.parameters}
            for key in ("edge", "level_on", "setting"):
                if key in parameters:
                    marks[wire.part] = float(parameters[key])
    return marks
