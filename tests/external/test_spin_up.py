"""Motor, run-down and linkage held against textbook figures and SciPy's integrator.

Sources stand beside each check; what is marked as a derivation is arithmetic on the formula named.
"""

from math import pi

import pytest
from scipy.integrate import solve_ivp

from simplant.curves import Approach, Coast, Parabola
from simplant.plant.lift import Lift
from simplant.plant.wheel import Wheel
from simplant.timebase import Ns, seconds
from tests.parts.bench import Bench

# Derivation: 1 - e^-n.
FRACTIONS = {1: 0.63212, 2: 0.86466, 3: 0.95021, 4: 0.98168, 5: 0.99326}


def motor(ke, resistance, inertia, **more):
    return Bench(Wheel("motor", {"ke": ke, "resistance": resistance, "inertia": inertia, **more}))


def speed_after(bench, volts, time):
    return bench.at("0", volts=volts).to(time).value("speed")


def test_first_order_fractions():
    """After 1 to 5 time constants; 98 % at 3.912 of them."""
    curve = Approach(Ns(0), 0.0, 1.0, 0.4)
    for n, fraction in FRACTIONS.items():
        assert curve.at(Ns(n * 400_000_000)) == pytest.approx(fraction, abs=5e-6)
    assert curve.crossing(0.98, Ns(0)) / 0.4e9 == pytest.approx(3.912, abs=5e-4)


def test_torque_speed_line_of_a_motor():
    """From stall 100 N m and 55 N m at 600 rad/s on 12 V: w0 = 1333.3 rad/s, Ke = 0.009 V s.

    Source: data from a control-textbook problem statement; line w = w0 (1 - T/Ts), from memory: any machines text.
    """
    no_load = 600 / (1 - 55 / 100)
    ke = 12 / no_load
    assert (round(no_load, 1), round(ke, 4), round(100 / 12, 3)) == (1333.3, 0.009, 8.333)
    assert speed_after(motor(ke, resistance=ke * 12 / 100, inertia=1e-3), 12.0, "60") == pytest.approx(
        1333.33, abs=0.01
    )


def test_mechanical_time_constant():
    """R 0.35 ohm, k 0.5, J 0.02: tau = J R / k^2 = 0.028 s.

    Source: data from an electric-drives textbook problem; formula from memory: any control text.
    """
    final = 100 / 0.5
    assert speed_after(motor(0.5, 0.35, 0.02), 100.0, "0.028") == pytest.approx(final * FRACTIONS[1], rel=1e-5)


def test_steady_state_of_a_loaded_motor():
    """1500 rpm at 3 N m with R 0.35, k 0.5: I = 6 A and V = 80.64 V; here the load is drag of 3 N m at standstill.

    Source: electric-drives textbook problem.
    """
    bench = motor(0.5, 0.35, 0.02, friction=150.0, windage=0.0, idle_current=0.0)
    bench.at("0", fault="drag", value=2.0)  # 150 rad/s2 x 0.02 kg m2 = 3 N m beyond the usual
    speed = speed_after(bench, 80.64, "60")
    assert speed * 60 / (2 * pi) == pytest.approx(1500, abs=0.1)
    assert bench.value("current") == 6.0


def test_ready_made_wheel():
    """12 V, 0.5 ohm, k 0.05, J 2e-3: tau 0.4 s, 240 rad/s = 2291.83 rpm, stall 24 A (derivation from the formulas)."""
    bench = motor(0.05, 0.5, 2e-3, idle_current=0.0)
    assert bench.at("0", volts=12.0).value("current") == 24.0
    assert bench.to("0.4").value("speed") == pytest.approx(240 * FRACTIONS[1], rel=1e-5)
    assert bench.to("60").value("speed") * 60 / (2 * pi) == pytest.approx(2291.83, abs=0.01)


def test_launch_speed_and_the_price_of_a_ball():
    """v = w R / 2, and the wheel loses J w dw = 1.4 m v^2: what the ball has, 0.7 m v^2, and as much by slipping.

    Derivation: a solid ball leaves wheel and fixed pad rolling, so J dw = 0.7 m v R; with w R = 2 v the loss follows.
    """
    p = Wheel("wheel").p
    v = 240 * p["radius"] / 2
    bench = Bench(Wheel("wheel")).at("0", volts=48.0).at("20", launched=1)
    lost = p["inertia"] * (240**2 - bench.value("speed") ** 2) / 2
    assert v == pytest.approx(7.2)
    assert lost == pytest.approx(1.4 * p["ball_mass"] * v * v, rel=0.02)


def integrated(law, start, end):
    """Give the value after `end` seconds by an independent integrator."""
    return float(solve_ivp(lambda _, y: law(y), (0, end), [start], rtol=1e-11, atol=1e-11).y[0][-1])


@pytest.mark.parametrize("time", [0.1, 1.0, 4.0, 9.0])
def test_coasting_against_an_integrator(time):
    """dw/dt = -(15 + 6e-4 w^2) from 240 rad/s."""
    curve = Coast(Ns(0), 240.0, 15.0, 6e-4)
    assert curve.at(Ns(int(time * 1e9))) == pytest.approx(
        integrated(lambda w: -(15 + 6e-4 * w * w), 240.0, time), abs=1e-7
    )


def test_the_standstill_against_an_integrator():
    """The instant of standstill is where the integrated speed is 0."""
    stands = Coast(Ns(0), 240.0, 15.0, 6e-4).crossing(0.0, Ns(0)) / 1e9

    def stop(_, w):
        return w[0]

    stop.terminal = True
    run = solve_ivp(lambda _, w: -(15 + 6e-4 * w * w), (0, 60), [240.0], events=stop, rtol=1e-11, atol=1e-11)
    assert stands == pytest.approx(run.t_events[0][0], abs=2e-6)


@pytest.mark.parametrize("tau", [0.4, 20.0, -20.0])
def test_first_order_against_an_integrator(tau):
    """dy/dt = (target - y) / tau, towards it and away from it."""
    curve = Approach(Ns(0), 3.0, 50.0, tau)
    assert curve.at(seconds(2)) == pytest.approx(integrated(lambda y: (50 - y) / tau, 3.0, 2.0), rel=1e-8)


def test_constant_acceleration_against_an_integrator():
    """y' = 10 - 4 t."""
    curve = Parabola(Ns(0), 1.0, 10.0, -4.0)
    run = solve_ivp(lambda t, _: [10 - 4 * t], (0, 3), [1.0], rtol=1e-11, atol=1e-11)
    assert curve.at(seconds(3)) == pytest.approx(run.y[0][-1])


@pytest.mark.parametrize(
    ("volts", "start", "sign", "low", "high"), [(24.0, 20.0, 1, 3.0, 1.0), (-21.0, 60.0, -1, -0.5, 0.5)]
)
def test_the_lift_on_its_linkage_against_an_integrator(volts, start, sign, low, high):
    """e' = +-(8 V/24 - droop(e)), the droop linear between the ends of travel, after the lag of 0.08 s."""

    def law(e):
        return sign * (8 * abs(volts) / 24 - (low + (high - low) * (e - 20) / 40))

    bench = Bench(Lift("lift", {"start_elevation": start})).at("0", volts=volts)
    for time in ("1.08", "3.08"):
        assert bench.to(time).value("elevation") == pytest.approx(integrated(law, start, float(time) - 0.08), rel=1e-8)
