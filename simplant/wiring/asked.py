"""What a fault of a point does to its level: the point itself is asked, nothing is listed.

How a point works is points.py. Rule: a fresh point with a healthy supply, once with the device at rest and once
with it actuated (an output: commanded off and on; a number: at the low and at the high end), each left to come to
rest; what never does, as a drift, is asked a minute after it began.
"""

from dataclasses import dataclass

from simplant.faults import SWAPPED, FailureMode
from simplant.part import Signal
from simplant.timebase import NEVER, Ns, seconds
from simplant.wiring.io_list import IoList, Point
from simplant.wiring.point_kinds import kind_of, source_of

_ONSET = seconds(1)
_END = seconds(61)
_MOVES = 100


@dataclass(frozen=True, slots=True)
class Answer:
    """Levels of a point: of an input the level that the program reads, of an output whether the device is driven.

    Args:
        at_rest: with the device at rest, or the output commanded off; of a number, at the low end of its range.
        actuated: with the device actuated, or the output commanded on; of a number, at the high end.
    """

    at_rest: Signal
    actuated: Signal


def ask(point: Point, mode: FailureMode | None, volts: float = 24.0) -> Answer:
    """Give the levels of a point with a fault, or healthy with None.

    Args:
        point: the row of the I/O list.
        mode: any mode of one point alone.
        volts: what its supply gives, V.
    """
    assert mode is not SWAPPED, "a swapped wire carries what another point's does"
    return Answer(_level(point, mode, volts, on=False), _level(point, mode, volts, on=True))


def _level(point: Point, mode: FailureMode | None, volts: float, *, on: bool) -> Signal:
    part = kind_of(point, IoList((point,)))(point)
    source, result = (source_of(point), "level") if point.is_input else ("level", "drive")
    part.inputs.update({source: _given(point, on=on), "volts": volts})
    part.begin(Ns(0))
    part.command(Ns(0))
    if mode is not None:
        part.faults[mode.kind] = 1.0 if mode.value is None else mode.value
    now = _ONSET
    for moves_left in range(_MOVES, -1, -1):
        part.advance(now)
        part.command(now)
        if part.next_due() == NEVER:
            break
        now = part.next_due() if moves_left > 1 else _END
    return part.outputs[result]


def _given(point: Point, *, on: bool) -> Signal:
    span = point.span
    if span is None:
        return on
    return (span.low, span.high)[on] if point.is_input else (span.raw_low, span.raw_high)[on]
