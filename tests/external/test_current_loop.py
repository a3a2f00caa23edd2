"""A 4-20 mA loop at an analogue input: scaling, and which currents are failures.

Sources: IEC 60381-1 (from memory: a current signal goes from 4 to 20 mA); NAMUR NE 43 (from memory: a measurement is
sent as 3.8 to 20.5 mA, a failure as at most 3.6 or at least 21 mA). Percentages are arithmetic on the first.
"""

import pytest

from simplant.tags import Direction, Tag
from simplant.timebase import Ns
from simplant.values import INT, REAL
from simplant.wiring.analog_points import AnalogInputPoint
from simplant.wiring.analog_span import AnalogSpan
from simplant.wiring.io_list import Point

COUNTS = AnalogSpan(4.0, 20.0, "mA", 0.0, 10_000.0)
PERCENT = AnalogSpan(4.0, 20.0, "mA", 0.0, 100.0)


def converted(signal, span=COUNTS, kind=INT, **faults):
    """Give the number that is read, and whether the module reports a failure."""
    part = AnalogInputPoint(Point(Tag("level", kind, Direction.INPUT), "probe", "current", span=span))
    part.inputs["measured"] = signal
    part.faults.update(faults)
    part.command(Ns(0))
    return part.outputs["level"], part.outputs["fault"]


SCALE = [(4.0, 0.0), (8.0, 25.0), (12.0, 50.0), (16.0, 75.0), (20.0, 100.0)]


@pytest.mark.parametrize(("milliamperes", "percent"), SCALE)
def test_four_to_twenty_is_nought_to_a_hundred(milliamperes, percent):
    """From memory: IEC 60381-1; 16 mA of span, so 4 mA is a quarter: as a REAL in per cent, as an INT in counts."""
    assert converted(milliamperes, PERCENT, REAL) == (percent, False)
    assert converted(milliamperes) == (percent * 100, False)


NE_43 = [
    # mA     counts    failure
    (0.0, -2500, True),
    (3.5, -312, True),  # -312.5, halves up
    (3.6, -250, True),
    (3.7, -187, False),  # between the two limits nothing is promised: ours does not call it a failure
    (3.8, -125, False),
    (4.0, 0, False),
    (20.0, 10_000, False),
    (20.5, 10_313, False),
    (20.9, 10_563, False),
    (21.0, 10_625, True),
    (21.5, 10_938, True),
]


@pytest.mark.parametrize(("milliamperes", "counts", "failure"), NE_43)
def test_failure_currents(milliamperes, counts, failure):
    """From memory: NAMUR NE 43; counts are arithmetic, (I - 4) / 16 of 10,000."""
    assert converted(milliamperes) == (counts, failure)


def test_a_live_zero_tells_a_broken_wire_from_an_empty_tank():
    """From memory: IEC 60381-1; 4 mA and a broken wire read apart, 0 mA at a dead zero does not."""
    dead_zero = AnalogSpan(0.0, 20.0, "mA", 0.0, 10_000.0)
    assert (converted(4.0), converted(4.0, open_wire=1.0)) == ((0, False), (-2500, True))
    assert converted(0.0, dead_zero) == converted(0.0, dead_zero, open_wire=1.0) == (0, False)


def test_the_loop_over_250_ohm_is_one_to_five_volts():
    """Ohm's law: 4 and 20 mA over 250 ohm are 1 and 5 V; a module for that range reads the same, failures too."""
    volts = AnalogSpan(1.0, 5.0, "V", 0.0, 10_000.0)
    for milliamperes, counts, failure in NE_43:
        assert converted(milliamperes * 0.25, volts) == (counts, failure)
