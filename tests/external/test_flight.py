"""Flight held against closed forms and an independent integrator.

Sources: vacuum formulas and the up-throw with quadratic drag, from memory: standard results of mechanics;
fall with quadratic drag (tanh, ln cosh): university physics homework sheet and worked articles;
terminal speed, worked textbook value: engineering exam-prep problem; whole model: SciPy `solve_ivp`.
"""

from math import cos, isclose, pi, radians, sin, sqrt

import pytest
from scipy.integrate import solve_ivp

from simplant.errors import PlantError
from simplant.plant.flight import AIR_DENSITY, AIR_VISCOSITY, GRAVITY, Ball, Landing, drag_coefficient, fly

FOAM = Ball(mass=0.034, diameter=0.085)

VACUUM = [
    # v m/s, angle deg, height m, T s, R m, apex above the ground m
    (10, 45, 0, 1.442096, 10.197162, 2.549290),
    (10, 30, 0, 1.019716, 8.831001, 1.274645),
    (10, 45, 1, 1.571844, 11.114617, 3.549290),
]

FALL = [
    # t s, v m/s, drop m with terminal speed 20 m/s
    (0.5, 4.807390, 1.213744),
    (1, 9.089606, 4.718588),
    (2, 15.067073, 17.095937),
    (4, 19.223824, 52.526723),
]


def with_terminal_speed(speed: float) -> Ball:
    area = pi * FOAM.diameter**2 / 4
    return Ball(FOAM.mass, FOAM.diameter, drag=2 * FOAM.mass * GRAVITY / (AIR_DENSITY * area * speed**2))


@pytest.mark.parametrize(("speed", "angle", "height", "time", "reach", "apex"), VACUUM)
def test_vacuum(speed, angle, height, time, reach, apex):
    got = fly(speed, angle, 0, FOAM, height, density=0)
    assert (got.time_s, got.range_m, got.apex_m + height) == pytest.approx((time, reach, apex), abs=1e-6)


def test_vacuum_impact_speed():
    assert fly(10, 45, 0, FOAM, 1, density=0).speed == pytest.approx(10.936787, abs=1e-6)


@pytest.mark.parametrize(("speed", "angle", "height", "time", "reach", "apex"), VACUUM)
def test_thin_air_tends_to_vacuum(speed, angle, height, time, reach, apex):
    """The integrator itself gives the vacuum table when the air is all but gone."""
    got = fly(speed, angle, 0, FOAM, height, density=1e-12)
    assert (got.time_s, got.range_m, got.apex_m + height) == pytest.approx((time, reach, apex), abs=5e-6)


@pytest.mark.parametrize(("time", "speed", "drop"), FALL)
def test_fall_with_quadratic_drag(time, speed, drop):
    """v = vt tanh(g t / vt) and drop = vt^2 / g ln cosh(g t / vt)."""
    got = fly(0, 0, 0, with_terminal_speed(20), drop)
    assert (got.time_s, got.speed) == pytest.approx((time, speed), abs=5e-6)


def test_throw_straight_up_with_quadratic_drag():
    """Up 15 m/s with terminal speed 20 m/s: apex 9.101724 m and exactly 12 m/s on return."""
    got = fly(15, 90, 0, with_terminal_speed(20), 0)
    assert (got.apex_m, got.speed) == pytest.approx((9.101724, 12.0), abs=5e-6)
    assert abs(got.range_m) < 1e-9


def test_terminal_speed():
    """A long fall ends at sqrt(2 m g / (rho Cd A)); sample balls at Cd 0.5, and the worked textbook value."""
    for mass, diameter, speed in ((0.0577, 0.067, 22.892), (0.034, 0.085, 13.852)):
        assert fly(0, 0, 0, Ball(mass, diameter, drag=0.5), 500).speed == pytest.approx(speed, abs=1e-3)
    as_sphere = Ball(70, sqrt(4 * 1.1 / pi), drag=1.5)
    got = fly(0, 0, 0, as_sphere, 2000, density=1.22).speed
    assert got * sqrt(9.8 / GRAVITY) == pytest.approx(26.1069, abs=1e-3)


CASES = [
    (speed, angle, spin_ratio, height)
    for speed, height in ((1.5, 0.0), (8.0, 0.2), (15.0, 1.2), (25.0, 0.5))
    for angle in (5, 35, 60, 89)
    for spin_ratio in (0, 1, -1)
]


def by_scipy(speed: float, angle: float, spin: float, height: float) -> Landing:
    """Write the same equations anew in four real numbers and let SciPy integrate them."""
    area, radius = pi * FOAM.diameter**2 / 4, FOAM.diameter / 2

    def slope(_t, state):
        _x, _y, vx, vy = state
        v = sqrt(vx * vx + vy * vy)
        ratio = radius * spin / v
        per_mass = 0.5 * AIR_DENSITY * area * v * v / FOAM.mass
        drag = per_mass * drag_coefficient(v * FOAM.diameter / AIR_VISCOSITY)
        lift = per_mass * ratio / (1 + 2 * abs(ratio))
        return vx, vy, -drag * vx / v - lift * vy / v, -drag * vy / v + lift * vx / v - GRAVITY

    def ground(_t, state):
        return state[1] + height

    def top(_t, state):
        return state[3]

    ground.terminal, ground.direction, top.direction = True, -1, -1
    start = (0, 0, speed * cos(radians(angle)), speed * sin(radians(angle)))
    way = solve_ivp(slope, (0, 60), start, method="DOP853", rtol=1e-11, atol=1e-12, events=(ground, top))
    end = way.y_events[0][0]
    return Landing(way.t_events[0][0], end[0], way.y_events[1][0][1], sqrt(end[2] ** 2 + end[3] ** 2))


@pytest.mark.parametrize(("speed", "angle", "spin_ratio", "height"), CASES)
def test_full_model_against_scipy(speed, angle, spin_ratio, height):
    """Drag by Reynolds number and lift by spin: our landing is SciPy's to 5e-6 in s, m and m/s."""
    spin = round(spin_ratio * speed / (FOAM.diameter / 2), 2)
    got, want = fly(speed, angle, spin, FOAM, height), by_scipy(speed, angle, spin, height)
    for field in Landing.__slots__:
        assert isclose(getattr(got, field), getattr(want, field), abs_tol=5e-6), field


def test_backspin_lifts_and_topspin_sinks():
    sunk, plain, lifted = (fly(8, 30, spin, FOAM, 0.2).time_s for spin in (-150, 0, 150))
    assert sunk < plain < lifted


def test_rounded_first_then_computed():
    """Arguments that round alike give the very same landing, whichever was asked first."""
    assert fly(8.00001, 35.0001, 100.001, FOAM, 0.2) == fly(8, 35, 100, FOAM, 0.2)


def test_on_the_ground_already():
    assert fly(3, 0, 0, FOAM, 0) == Landing(0.0, 0.0, 0.0, 3.0)


@pytest.mark.parametrize(
    ("speed", "height", "message"),
    [
        (40, 0, "The drag law holds up to a Reynolds number of 2e5"),
        (-1, 0, "a ball cannot be released at -1 m/s, 0 m above where it lands"),
        (1, -2, "a ball cannot be released at 1 m/s, -2 m above where it lands"),
    ],
)
def test_refused(speed, height, message):
    with pytest.raises(PlantError, match=message):
        fly(speed, 45, 0, FOAM, height)


def test_never_down():
    """Without drag a spinning ball can go round for ever."""
    with pytest.raises(PlantError, match="has not come down after 1000 steps"):
        fly(20, 45, 5000, Ball(mass=0.0005, diameter=0.085, drag=0), 5)
