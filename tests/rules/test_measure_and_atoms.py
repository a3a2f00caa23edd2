"""What the plant must schedule for a proposition, and what can be measured of it."""

import pytest

from simplant.expr import Const, Op, abs_, max_, to_type
from simplant.rules import Atom, always, atoms, moving
from simplant.rules.measure import Measure, measurable
from simplant.timebase import Ns, ms
from simplant.values import INT, LREAL
from tests.rules.trace_player import FakeView, Slope, tag, truth

X, Y, A = truth("x"), truth("y"), tag("a")
N = truth("n", INT)

LEVELS = [
    (X > 40.0, [("x", Op.GT, 40.0)]),
    (Const(40.0, LREAL) > X, [("x", Op.LT, 40.0)]),
    (A & (X >= 1.0) | ~(Y < 2.0), [("x", Op.GE, 1.0), ("y", Op.LT, 2.0)]),
    (abs_(X - 3.0) < 2.0, [("x", Op.LT, 5.0), ("x", Op.LT, 1.0)]),
    (-X + 1.0 <= 4.0, [("x", Op.LE, -3.0)]),
    (10.0 - X > 4.0, [("x", Op.GT, 6.0)]),
    (X * 2.0 > 4.0, [("x", Op.GT, 2.0)]),
    (X / 2.0 > 4.0, [("x", Op.GT, 8.0)]),
    (to_type(N, LREAL) > 4.0, [("n", Op.GT, 4.0)]),
    (X > Y, []),
    (A, []),
]


@pytest.mark.parametrize(("claim", "expected"), LEVELS, ids=[str(c) for c, _ in LEVELS])
def test_levels_to_schedule(claim, expected):
    """Every level at which a comparison with constants may change, solved for the truth."""
    assert atoms(claim) == tuple(Atom(*each) for each in expected)


def test_comparisons_without_a_fixed_level_are_told():
    """Truth against truth has no level; truth against constant, and tags, are no such thing."""
    assert [str(node) for node in moving((X > Y) & (X > 1.0) & A)] == ["x > y"]


DISTANCES = [
    # proposition, x, y, a -> distance
    (X > 40.0, 50.0, 0.0, False, 10.0),
    (X >= 40.0, 30.0, 0.0, False, -10.0),
    (~(X < 40.0), 50.0, 0.0, False, 10.0),
    ((X > 40.0) & (Y > 1.0), 50.0, 3.0, False, 2.0),
    ((X > 40.0) | (Y > 1.0), 50.0, 3.0, False, 10.0),
    (A.implies(X > 40.0), 50.0, 0.0, True, 10.0),
    (A.implies(X > 40.0), 30.0, 0.0, False, float("inf")),
    (A & (X > 40.0), 50.0, 0.0, False, float("-inf")),
    (X - Y > 0.0, 5.0, 3.0, False, 2.0),
    (max_(X, Y) * 2.0 < 20.0, 5.0, 3.0, False, 10.0),
    (X == Y, 5.0, 3.0, False, -2.0),
    (X != Y, 5.0, 3.0, False, 2.0),
    (X == Y, 5.0, 5.0, False, float("inf")),
]


@pytest.mark.parametrize(("claim", "x", "y", "a", "distance"), DISTANCES, ids=[str(c[0]) for c in DISTANCES])
def test_robust_semantics(claim, x, y, a, distance):
    """AND is the least, OR the greatest, NOT turns the sign; what is only true or false is infinitely far away."""
    view = FakeView({"x": [(0, x)], "y": [(0, y)], "a": [(0, a)]})
    measure = Measure(claim, scale=1.0)
    constants = measure.constants(view)
    assert measure.least(constants, Ns(0), Ns(0), view, holds=distance > 0) == (distance, distance)
    assert measurable(claim)


SPANS = [
    # proposition, least distance while x goes from 0 to 10 and y is 3
    (X > -5.0, 5.0),
    (~(X > 14.0), 4.0),
    (X > 14.0, -14.0),
    (abs_(X - 4.0) < 7.0, 1.0),
    ((X > -5.0) & (Y > 1.0), 2.0),
    (~((X > 14.0) & (Y > 1.0)), 4.0),
    (~((X > 14.0) | (Y > 5.0)), 2.0),
    (X * (-2.0) > -25.0, 5.0),
]


@pytest.mark.parametrize(("claim", "distance"), SPANS, ids=[str(c) for c, _ in SPANS])
def test_extremes_over_a_span(claim, distance):
    """The least distance over the whole span, not that at its ends."""
    view = FakeView({"x": [(0, Slope(0.0, 1000.0))], "y": [(0, 3.0)]})
    measure = Measure(claim, scale=1.0)
    constants = measure.constants(view)
    view.now = ms(10)
    assert measure.least(constants, Ns(0), ms(10), view, holds=distance > 0)[0] == pytest.approx(distance)


def test_signals_of_a_margin_are_told():
    """The rig updates a claim at each change of the numbers in its margin."""
    claim = always(A.implies((X > 1.0) & ~(N == 3)))
    assert (claim.measured(), claim.names()) == (("x", "n"), ("a", "x", "n"))
