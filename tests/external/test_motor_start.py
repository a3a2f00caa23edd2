"""Run-up of a motor and the trip curve of its overload relay, held against formulas and the standard's trip class.

Sources stand beside each check.
"""

from math import log, sqrt

import pytest
from scipy.integrate import solve_ivp

from simplant.plant.motor import Motor
from simplant.wiring.overload import Overload
from tests.parts.bench import Bench


@pytest.mark.parametrize(("inertia", "torque", "volts"), [(0.05, 20.0, 400.0), (0.3, 15.0, 400.0), (0.05, 20.0, 360.0)])
def test_run_up_time(inertia, torque, volts):
    """t = J w / M, the torque falling with the square of the voltage.

    Source: derivation from dw/dt = M / J, beside SciPy's integrator; M ~ V^2 from memory: any machines text.
    """
    b = Bench(Motor("m", {"inertia": inertia, "torque": torque})).at("0", volts=volts).to("20")
    (up,) = [t for t, _, value in b.told("up_to_speed") if value]
    pull = torque * (volts / 400.0) ** 2
    assert up == pytest.approx(0.95 * 152.0 * inertia / pull, abs=2e-6)
    run = solve_ivp(lambda t, w: [pull / inertia], (0, up), [0.0], rtol=1e-10)
    assert run.y[0][-1] == pytest.approx(0.95 * 152.0, rel=1e-5)


def test_start_current_is_five_to_eight_times_rated():
    """6 x rated up to the knee, then what the load takes. Source: common practice, no source."""
    b = Bench(Motor("m")).at("0", volts=400.0).to("5")
    assert b.told("current") == [
        (0.0, "current", 21.0),
        (pytest.approx(0.304, abs=2e-6), "current", pytest.approx(0.85 * 3.5)),
    ]
    assert 5 <= Motor.PARAMETERS["start_ratio"].default <= 8


def trip_time(ratio, warm=0.0, limit="8000"):
    """Give when it trips at a multiple of its setting, having stood at another for 2 h; None if it does not."""
    b = (
        Bench(Overload("f", {"setting": 1.0}))
        .at("0", current=warm)
        .at("7200", current=ratio)
        .to(str(7200 + int(limit)))
    )
    trips = [t - 7200 for t, _, value in b.told("tripped") if value]
    return trips[0] if trips else None


def test_trip_class_10():
    """A 1.05: not within 2 h; B then 1.2: within 2 h; C 1.5 from warm: within 4 min; D 7.2 from cold: 4 to 10 s.

    Source: from memory: IEC 60947-4-1, limits of operation of overload relays, class 10.
    """
    assert trip_time(1.05, limit="7200") is None
    assert trip_time(1.2, warm=1.05) < 7200
    assert trip_time(1.5, warm=1.0) < 240
    assert 4 < trip_time(7.2) <= 10


@pytest.mark.parametrize("ratio", [1.2, 1.5, 2.0, 3.0, 6.0, 7.2, 10.0])
def test_trip_curve_of_one_time_constant(ratio):
    """t = tau ln(i^2 / (i^2 - k)) with k the heat of tripping; within 10 % of k tau / i^2 from 3 x on (I^2 t).

    Source: derivation.
    """
    tau, k = Overload.PARAMETERS["tau"].default, Overload.PARAMETERS["trip_heat"].default
    told = trip_time(ratio)
    assert told == pytest.approx(tau * log(ratio**2 / (ratio**2 - k)), abs=1e-5)
    if ratio >= 3:
        assert told == pytest.approx(k * tau / ratio**2, rel=0.1)


def test_one_phase_lost():
    """Running, the current rises to the square root of 3 times; standing, it draws 87 % of its start current and hums.

    Source: derivation: the same power from one pair of lines; two windings in series on the line voltage.
    """
    running = Bench(Motor("m")).at("0", volts=400.0).at("5", fault="phase_lost")
    assert running.value("current") == pytest.approx(sqrt(3) * 0.85 * 3.5)
    standing = Bench(Motor("m")).at("0", fault="phase_lost", volts=400.0).to("9")
    assert (standing.value("current"), standing.value("speed")) == (pytest.approx(sqrt(3) / 2 * 21.0), 0.0)
