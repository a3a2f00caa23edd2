"""What a fault of a point does to its level: the point itself is asked, nothing is listed.

How a point works is points.py. Rule: a fresh point with a healthy supply, once with the device at rest and once
with it actuated (an output: commanded off and on), each left to come to rest.
"""

from dataclasses import dataclass

from simplant.faults import SWAPPED, FailureMode
from simplant.timebase import NEVER, Ns, seconds
from simplant.wiring.io_list import Point
from simplant.wiring.points import InputPoint, OutputPoint

_ONSET = seconds(1)


@dataclass(frozen=True, slots=True)
class Answer:
    """Levels of a point: of an input the level that the program reads, of an output whether the device is driven.

    Args:
        at_rest: with the device at rest, or the output commanded off.
        actuated: with the device actuated, or the output commanded on.
    """

    at_rest: bool
    actuated: bool


def ask(point: Point, mode: FailureMode | None, volts: float = 24.0) -> Answer:
    """Give the levels of a point with a fault, or healthy with None.

    Args:
        point: the row of the I/O list.
        mode: any mode of one point alone.
        volts: what its supply gives, V.
    """
    assert mode is not SWAPPED, "a swapped wire carries what another point's does"
    return Answer(_level(point, mode, volts, on=False), _level(point, mode, volts, on=True))


def _level(point: Point, mode: FailureMode | None, volts: float, *, on: bool) -> bool:
    part = (InputPoint if point.is_input else OutputPoint)(point)
    source, result = ("actuated", "level") if point.is_input else ("level", "drive")
    part.inputs.update({source: on, "volts": volts})
    part.begin(Ns(0))
    part.command(Ns(0))
    if mode is not None:
        part.faults[mode.kind] = 1.0 if mode.value is None else mode.value
    now = _ONSET
    while now != NEVER:
        part.advance(now)
        part.command(now)
        now = part.next_due()
    return bool(part.outputs[result])
