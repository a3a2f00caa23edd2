"""Stepper, gear and lever arithmetic, and the way a stop takes.

Sources stand beside each check.
"""

import pytest

from simplant.plant.ramp import stopping_distance
from simplant.plant.turntable import STEPS_PER_SLIP, Turntable
from tests.parts.bench import Bench


def table_speed(pulses, microsteps, gear, steps=200):
    """Give deg/s = f 360 / (steps m G) (from memory: any drives text)."""
    return pulses * 360 / (steps * microsteps * gear)


def test_the_default_table_is_a_motor_of_200_steps():
    """1.8 deg are 200 steps; through 3:1 a full step is 0.6 deg, and 40 deg/s are 1066.7 microsteps of 1/16 a second.

    Source: stepper calculators (200 steps; 120 rpm = 400 steps/s), a stepper guide (1/8 at 3:1: 4800 a turn).
    """
    assert table_speed(400, 1, 1) == pytest.approx(120 * 6)
    assert table_speed(4800, 8, 3) == pytest.approx(360)
    full_step = Turntable.PARAMETERS["full_step"].default
    assert full_step == pytest.approx(1.8 / 3)
    assert table_speed(16 * 40 / full_step, 16, 3) == pytest.approx(40)


def test_a_pulse_train_at_the_stop_is_lost_by_electrical_turns():
    """2.4 deg of pulses (four full steps) per slip: 40 deg/s lose 16 slips in a second (common practice, no source)."""
    bench = Bench(Turntable("table", {"start_angle": 68.0, "jump": 0}), enable=True)
    bench.at("1", move=True, right=True).to("2")
    assert bench.value("lost_steps") == STEPS_PER_SLIP * int(40 / 2.4)


def test_stopping_distance():
    """v (sum of delays) + v^2 / 2a; derivation: constant speed, then constant deceleration.

    40 deg/s and 160 deg/s2: 5 deg of braking; sensor 1 ms, filter 3 ms, period 10 ms, execution 1 ms, output 1 ms and
    poll 4 ms are 20 ms, so 0.8 deg more. The table, told 20 ms after its limit, stops just there.
    """
    way = stopping_distance(40.0, 160.0, 0.001, 0.003, 0.010, 0.001, 0.001, 0.004)
    assert way == pytest.approx(5.8)
    assert stopping_distance(40.0, 0.0, 0.02) == pytest.approx(0.8)
    bench = Bench(Turntable("table", {"backlash": 0, "jump": 0}), enable=True).at("0", move=True, right=True)
    limit = bench.to("1").value("angle")
    assert bench.at("1.02", move=False).to("2").value("angle") - limit == pytest.approx(way)


def test_trapezoid_move():
    """A move of s takes s / v + v / a (derivation): 80 deg at 40 deg/s and 160 deg/s2 take 2.25 s."""
    bench = Bench(Turntable("table", {"start_angle": -40, "backlash": 0, "jump": 0}), enable=True)
    bench.at("0", move=True, right=True).at("2", move=False).to("3")
    assert bench.value("angle") == pytest.approx(40.0)
    assert bench.told("moving")[-1] == (80 / 40 + 40 / 160, "moving", False)
