"""Which class of point a row of the I/O list becomes, and what its terminals are called.

The classes are points.py and analog_points.py. Rule: the row decides, nothing else.
"""

from typing import Final

from simplant.wiring.analog_points import AnalogInputPoint, AnalogOutputPoint, ModuleBit
from simplant.wiring.io_list import IoList, Point
from simplant.wiring.points import InputPoint, OutputPoint

READ: Final = (InputPoint, AnalogInputPoint)
"""Points that the controller reads; each has a terminal `level`."""
DRIVEN: Final = (OutputPoint, AnalogOutputPoint)
"""Points that the controller drives; each has the terminals `level` and `drive`."""

AnyPoint = InputPoint | AnalogInputPoint | OutputPoint | AnalogOutputPoint


def kind_of(point: Point, io: IoList) -> type[AnyPoint]:
    """Give the class of a row's point; what goes to another point of the list is a bit of its module."""
    if point.span is not None:
        return AnalogInputPoint if point.is_input else AnalogOutputPoint
    if not point.is_input:
        return OutputPoint
    return ModuleBit if point.part in io else InputPoint


def source_of(point: Point) -> str:
    """Name the terminal of an input point that its device is wired to."""
    return "actuated" if point.span is None else "measured"
