"""Laws of curves made of others: scaled ones and ways keep the law of crossings; a way is the area under its speed."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from simplant.curves import Approach, Coast, Curve, Line, Parabola, Pieces, Scaled, Steady, Turned, swept
from simplant.timebase import NEVER, Ns, seconds
from tests.laws.test_curve_laws import HORIZON, START, coasts, curves, instants, moves, speeds, values

scaled = st.builds(
    lambda inner, factor, offset, least, width: Scaled(inner, factor, offset, least, least + width),
    curves,
    st.sampled_from([0.16, -0.16, 8.0, 1.0]),
    st.sampled_from([0.0, 4.0]),
    st.sampled_from([-1e9, 3.8, -50.0]),
    st.sampled_from([2e9, 16.7, 100.0]),
)
bounded = st.one_of(
    st.builds(Line, st.just(START), speeds, st.sampled_from([0.0, 3.0, -3.0])),
    st.builds(Parabola, st.just(START), speeds, speeds, st.sampled_from([4.0, -4.0])),
    st.builds(Approach, st.just(START), speeds, speeds, st.sampled_from([0.03, 0.4, 2.0])),
    st.builds(Steady, speeds),
    coasts,
    moves(),
)
ways = st.builds(Turned, st.sampled_from([Ns(0), START, seconds("2.5")]), values, bounded)
made = st.one_of(scaled, ways)


@given(made, values, instants)
def test_a_crossing_is_reached_first_and_lies_on_the_grid(curve: Curve, level, after):
    """At its crossing a made curve has got to the level, on a whole microsecond, and at no grid instant before it."""
    found = curve.crossing(level, after)
    if found == NEVER:
        return
    assert (found > after, found % 1000) == (True, 0)
    before, there = curve.at(after) - level, curve.at(found) - level
    assert before * there <= 0
    earlier = curve.at(Ns(found - 2000)) - level if found - 2000 > after else before
    assert before * earlier >= -1e-9 * max(1.0, abs(before))


@given(made, values, instants, st.lists(st.floats(0, 1), min_size=12, max_size=12))
def test_no_instant_before_a_crossing_has_passed_the_level(curve: Curve, level, after, fractions):
    """From `after` to its crossing (or for ever, if there is none) a made curve stays on one side."""
    side = curve.at(after) - level
    assume(abs(side) > 1e-6)
    last = min(curve.crossing(level, after) - 2000, after + HORIZON)
    for fraction in fractions:
        t = Ns(after + int((last - after) * fraction))
        if t > after:
            assert (curve.at(t) - level) * side > -1e-6 * abs(side)


@given(made, instants, instants, st.floats(0, 1))
def test_extremes_bound_every_value_between(curve: Curve, one, other, fraction):
    """No value in a span lies outside its extremes."""
    first, last = min(one, other), max(one, other)
    least, most = curve.extremes(first, last)
    value = curve.at(Ns(first + int((last - first) * fraction)))
    assert least - 1e-6 <= value <= most + 1e-6


AREAS = [
    Steady(7.0),
    Line(START, 3.0, -2.0),
    Parabola(START, 1.0, -4.0, 3.0),
    Approach(START, 10.0, 240.0, 0.4),
    Coast(START, 240.0, 15.0, 6e-4),
    Coast(START, 40.0, 15.0, 0.0),
    Pieces(((Ns(0), Approach(Ns(0), 0.0, 240.0, 0.4)), (START, Coast(START, 238.0, 15.0, 6e-4)))),
]


@pytest.mark.parametrize("speed", AREAS, ids=lambda c: type(c).__name__)
@pytest.mark.parametrize(("first", "last"), [("0", "1"), ("1.5", "4"), ("3", "9"), ("2.5", "2.5")])
def test_an_area_is_that_of_a_numerical_integrator(speed, first, last):
    """Each closed form against SciPy's adaptive quadrature, to one part in a hundred million."""
    one, other = int(seconds(first)) / 1e9, int(seconds(last)) / 1e9
    told, _ = quad(lambda t: speed.at(Ns(round(t * 1e9))), one, other, points=[2.0, 14 / 3], limit=400, epsabs=1e-10)
    assert swept(speed, seconds(first), seconds(last)) == pytest.approx(told, rel=1e-8, abs=1e-7)


@given(ways, instants)
def test_the_rate_of_a_way_is_its_speed(way: Turned, t):
    """A way's rate is its speed, and 0 before it begins."""
    assert way.rate(t) == (way.speed.at(t) if t >= way.start else 0.0)


def test_a_clipped_curve_stands_and_crosses_its_bound_once():
    """4 to 20 mA over 0 to 100, clipped at 3.8 and 20.5: rate 0 while clipped, no crossing of what it never shows."""
    shown = Scaled(Line(Ns(0), -20.0, 10.0), 0.16, 4.0, 3.8, 20.5)
    table = [(n, round(shown.at(seconds(n)), 6), round(shown.rate(seconds(n)), 6)) for n in (0, 1, 2, 7, 12, 13)]
    assert table == [(0, 3.8, 0.0), (1, 3.8, 0.0), (2, 4.0, 1.6), (7, 12.0, 1.6), (12, 20.0, 1.6), (13, 20.5, 0.0)]
    assert shown.crossing(3.6, Ns(0)) == NEVER
    assert shown.crossing(21.0, Ns(0)) == NEVER
    assert shown.crossing(3.8, Ns(0)) == NEVER
    assert shown.crossing(12.0, Ns(0)) == seconds(7)
    assert shown.crossing(20.5, Ns(0)) == 12_312_500_000
    back = Scaled(Parabola(Ns(0), -20.0, 20.0, -5.0), 0.16, 4.0, 3.8, 20.5)
    assert back.crossing(3.8, Ns(0)) == Parabola(Ns(0), -20.0, 20.0, -5.0).crossing(-1.25, seconds(4))
    assert Scaled(Line(Ns(0), 0.0, 1.0), 0.0, 4.0).crossing(4.0, Ns(0)) == NEVER
