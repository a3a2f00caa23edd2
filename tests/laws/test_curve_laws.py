"""Laws of every closed-form curve: crossings are reached, first and on the grid; extremes bound; pieces join."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from simplant.curves import Approach, Coast, Curve, Line, Parabola, Pieces, Steady
from simplant.timebase import NEVER, Ns

START = Ns(2_000_000_000)
HORIZON = 20_000_000_000

values = st.floats(-300, 300).map(lambda x: round(x, 3))
speeds = st.floats(-90, 90).map(lambda x: round(x, 3))
lines = st.builds(Line, st.just(START), values, speeds)
parabolas = st.builds(Parabola, st.just(START), values, speeds, speeds)
approaches = st.builds(Approach, st.just(START), values, values, st.sampled_from([0.03, 0.4, 2.0, -3.0]))
coasts = st.builds(
    Coast, st.just(START), values.map(abs), st.floats(0.1, 40).map(lambda x: round(x, 2)), st.sampled_from([0, 6e-4])
)
simple = st.one_of(lines, parabolas, approaches, coasts)
instants = st.integers(0, HORIZON).map(Ns)


@st.composite
def moves(draw_):
    """Accelerate, cruise, brake, stand: one curve whose parts meet."""
    value, ramp, speed = draw_(values), draw_(st.sampled_from([160.0, -160.0])), draw_(st.floats(1, 40))
    ramp_ns = round(abs(speed / ramp) * 1e6) * 1000 or 1000
    ends = [START, START + ramp_ns]
    ends += [ends[1] + draw_(st.integers(1, 3_000_000)) * 1000]
    ends += [ends[2] + ramp_ns]
    up = Parabola(Ns(ends[0]), value, 0.0, ramp)
    cruise = Line(Ns(ends[1]), up.at(Ns(ends[1])), up.rate(Ns(ends[1])))
    down = Parabola(Ns(ends[2]), cruise.at(Ns(ends[2])), cruise.slope, -ramp)
    curves = [up, cruise, down, Steady(down.at(Ns(ends[3])))]
    return Pieces(tuple((Ns(t), c) for t, c in zip(ends, curves, strict=True)))


curves = st.one_of(simple, moves())


@given(curves, values, instants)
def test_a_crossing_is_reached_and_lies_on_the_grid(curve: Curve, level, after):
    """At its crossing a curve has reached or passed the level it had not reached before."""
    found = curve.crossing(level, after)
    if found == NEVER:
        return
    assert found > after
    assert found % 1000 == 0
    before, there = curve.at(after) - level, curve.at(found) - level
    assert before * there <= 0


@given(curves, values, instants, st.lists(st.floats(0, 1), min_size=20, max_size=20))
def test_no_instant_before_a_crossing_has_passed_the_level(curve: Curve, level, after, fractions):
    """From `after` to the microsecond before its crossing (or for ever, if there is none) a curve stays on one side."""
    side = curve.at(after) - level
    assume(abs(side) > 1e-6)
    found = curve.crossing(level, after)
    last = min(found, after + HORIZON) - 1001
    assume(last > after)
    for fraction in fractions:
        here = curve.at(Ns(after + int((last - after) * fraction))) - level
        assert here * side > 0 or abs(here) < 1e-9 * max(1.0, abs(level))


@given(curves, instants, instants, st.floats(0, 1))
def test_extremes_bound_every_value(curve: Curve, one, other, fraction):
    """Between two instants no value lies outside the extremes, the ends included."""
    first, last = min(one, other), max(one, other)
    least, most = curve.extremes(first, last)
    value = curve.at(Ns(first + int((last - first) * fraction)))
    assert least - 1e-9 <= value <= most + 1e-9 * max(1.0, abs(most))
    assert least <= curve.at(first) <= most


@given(simple, instants)
def test_the_rate_is_the_slope_of_the_values(curve: Curve, t):
    """The rate agrees with a difference over 20 us, but where the curve has a corner."""
    assume(abs(t - START) > 20_000)
    low, high = curve.rate(Ns(t - 10_000)), curve.rate(Ns(t + 10_000))
    slope = (curve.at(Ns(t + 10_000)) - curve.at(Ns(t - 10_000))) / 20e-6
    span = 1e-4 + 2e-9 * abs(curve.at(t)) / 20e-6
    assert min(low, high) - span <= slope <= max(low, high) + span


@given(moves())
def test_a_move_has_no_jump(curve: Pieces):
    """At each joint the value from the left is the value from the right."""
    for (_, left), (t, right) in zip(curve.pieces, curve.pieces[1:], strict=False):
        assert left.at(t) == right.at(t)


@given(simple)
def test_curves_stand_before_their_start_and_compare_by_value(curve: Curve):
    """Before the start the start value; equal fields make equal curves."""
    assert curve.at(Ns(0)) == curve.at(START)
    assert curve.rate(Ns(0)) == 0.0
    assert type(curve)(*(getattr(curve, name) for name in curve.__slots__)) == curve


@pytest.mark.parametrize(
    ("curve", "level", "after", "crossing"),
    [
        (Steady(5.0), 5.0, 0, NEVER),
        (Line(Ns(0), 0.0, 40.0), 60.0, 0, 1_500_000_000),
        (Line(Ns(0), 0.0, 40.0), 61.0, 0, 1_525_000_000),
        (Line(Ns(0), 0.0, 40.0), 60.0, 1_500_000_000, NEVER),
        (Line(Ns(0), 0.0, 3.0), 1.0, 0, 333_334_000),
        (Line(Ns(500), 0.0, 1.0), 1.0, 0, 1_000_001_000),
        (Parabola(Ns(0), 0.0, 0.0, 160.0), 5.0, 0, 250_000_000),
        (Parabola(Ns(0), 0.0, 10.0, -10.0), 0.0, 0, 2_000_000_000),
        (Parabola(Ns(0), 0.0, 10.0, -10.0), 3.75, 0, 500_000_000),
        (Parabola(Ns(0), 0.0, 10.0, -10.0), 3.75, 500_000_000, 1_500_000_000),
        (Parabola(Ns(0), 0.0, 10.0, -10.0), 5.1, 0, NEVER),
        (Approach(Ns(0), 0.0, 240.0, 0.4), 240.0, 0, NEVER),
        (Approach(Ns(0), 0.0, 240.0, 0.4), 120.0, 0, 277_259_000),
        (Coast(Ns(0), 30.0, 15.0, 0.0), 0.0, 0, 2_000_000_000),
        (Coast(Ns(0), 30.0, 15.0, 0.0), -1.0, 0, NEVER),
        (Pieces(((Ns(0), Steady(1.0)), (Ns(7000), Steady(3.0)))), 2.0, 0, 7000),
        (Pieces(((Ns(0), Steady(1.0)), (Ns(7000), Steady(3.0)))), 3.5, 0, NEVER),
    ],
)
def test_worked_crossings(curve: Curve, level, after, crossing):
    """Neat roots come out neat, others one microsecond up at most, asymptotes and tops never."""
    assert curve.crossing(level, Ns(after)) == crossing
