"""Curves as lines: nowhere further off than was said, jumps kept."""

import pytest

from simplant.curves import Approach, Coast, Line, Parabola, Pieces, Steady
from simplant.report.columns import at
from simplant.report.polyline import CLOSE, line_of
from simplant.timebase import Ns
from tests.report.cases import SECOND

CURVES = {
    "line": Line(Ns(SECOND), 1.0, 3.0),
    "parabola": Parabola(Ns(0), 0.0, 20.0, -9.0),
    "approach": Approach(Ns(2 * SECOND), 0.0, 240.0, 0.4),
    "coast": Coast(Ns(SECOND), 200.0, 40.0, 0.002),
    "pieces": Pieces(((Ns(0), Steady(0.0)), (Ns(SECOND), Line(Ns(SECOND), 0.0, 5.0)), (Ns(3 * SECOND), Steady(10.0)))),
}


@pytest.mark.parametrize("name", CURVES)
def test_a_line_follows_its_curve(name):
    """At 2000 instants of 10 s the line is off by no more than twice `CLOSE` of the range."""
    curve, end = CURVES[name], 10 * SECOND
    line = line_of(name, [(0, curve)], end)
    low, high = curve.extremes(Ns(0), Ns(end))
    off = [abs(at(line.times, line.values, t) - curve.at(Ns(t))) for t in range(0, end, end // 2000)]
    assert max(off) <= 2 * CLOSE * (high - low)
    assert len(line.times) < 120


def test_jumps_and_numbers_stay_jumps():
    """A number that steps has two points at the instant at which it does."""
    line = line_of("volts", [(0, 0.0), (5, 24.0), (9, 0.0)], 20)
    assert list(zip(line.times, line.values, strict=True)) == [
        (0, 0.0),
        (5, 0.0),
        (5, 24.0),
        (9, 24.0),
        (9, 0.0),
        (20, 0.0),
    ]
