"""The I/O list held against the machine: does each wire end somewhere, and can its voltage be read?

What the file itself can get wrong is in io_file.py. Rule: all mistakes are told at once.
"""

from collections.abc import Iterator, Mapping

from simplant.curves import Curve
from simplant.errors import WiringError, nearest
from simplant.part import Part, Signal
from simplant.wiring.csv_rows import raise_all
from simplant.wiring.io_list import IoList, Point
from simplant.wiring.levels import Reading
from simplant.wiring.supply import Supply


def check_devices(io: IoList, parts: Mapping[str, Part]) -> None:
    """Check that all devices and supplies of an I/O list are there and fit.

    Args:
        io: the I/O list.
        parts: the machine's parts by name.

    Raises:
        WiringError: a part or terminal is not there or carries another kind of signal, two outputs drive one terminal,
            a supply is none, or its voltage is not read as 1 for sure by the type of input; the text has all of them.
    """
    mistakes = [mistake for point in io for mistake in (*_device(point, parts), *_supply(point, parts))]
    driven: dict[str, Point] = {}
    for point in io.outputs:
        first = driven.setdefault(point.device, point)
        if first is not point:
            what = f"{point.name!r} and {first.name!r} both drive {point.device}"
            mistakes.append(WiringError(what, "", "give one of them another device", point.place))
    raise_all(mistakes)


def _device(point: Point, parts: Mapping[str, Part]) -> Iterator[WiringError]:
    part = parts.get(point.part)
    if part is None:
        what = f"{point.name!r} goes to {point.device}, but there is no part {point.part!r}"
        yield WiringError(what, "", nearest(point.part, parts), point.place)
        return
    known, side = (part.outputs, "output") if point.is_input else (part.inputs, "input")
    if point.terminal not in known:
        what = f"{point.name!r} goes to {point.device}, but {point.part!r} has no {side} {point.terminal!r}"
        yield WiringError(what, "", nearest(point.terminal, known), point.place)
    else:
        yield from _fit(point, known[point.terminal])


def _fit(point: Point, carried: Signal) -> Iterator[WiringError]:
    """Hold the type of the tag against what the terminal carries."""
    what = f"{point.name!r} is {point.tag.type.name} and goes to {point.device}"
    number = isinstance(carried, int | float) and not isinstance(carried, bool)
    if point.span is None and point.is_input and isinstance(carried, Curve | float):
        yield WiringError(what, "it carries a number", "make the tag a number, for instance INT", point.place)
    elif point.span is not None and not (number or (point.is_input and isinstance(carried, Curve))):
        yield WiringError(what, "it carries no number", "make the tag BOOL, or choose another terminal", point.place)


def _supply(point: Point, parts: Mapping[str, Part]) -> Iterator[WiringError]:
    if not point.supply:
        return
    supply = parts.get(point.supply)
    if not isinstance(supply, Supply):
        known = [name for name, part in parts.items() if isinstance(part, Supply)]
        what = f"{point.name!r} is fed by {point.supply!r}, which is not a supply"
        yield WiringError(what, "", nearest(point.supply, known), point.place)
        return
    reading = point.input_type.reading(supply.p["volts"])
    if point.is_input and point.span is None and reading is not Reading.ON:
        volts, kind = f"{supply.p['volts']:g} V", point.input_type
        yield WiringError(
            f"{point.name!r}: {volts} from {point.supply!r} does not surely read as 1",
            f"an input of {kind.name} needs {kind.on_volts:g} V; {volts} reads {reading.value}",
            "choose another type in the column 'input', or another supply",
            point.place,
        )
