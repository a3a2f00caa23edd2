"""The lift: load along the linkage, lag and coast, ends of travel, heat; each failure shown to matter."""

from math import expm1, log

import pytest

from simplant.errors import PlantError
from simplant.plant.lift import Lift
from tests.parts.bench import Bench

EVEN = {
    "lift_droop_bottom": 4.0,
    "lift_droop_top": 4.0,
    "lower_droop_bottom": 0.0,
    "lower_droop_top": 0.0,
    "start_lag": 0.1,
    "coast_deceleration": 40.0,
}


def lift(**parameters):
    """A lift that rises with 4 deg/s and comes down with 8 deg/s all the way."""
    return Bench(Lift("lift", {**EVEN, **parameters}))


def test_up_to_the_end_switch_and_down_again():
    """40 deg in 10 s after 0.1 s of lag; down in 5 s; current by phase; the end switch cuts it off by itself."""
    b = lift().at("1", volts=24.0).at("20", volts=-24.0).to("30")
    assert b.told("moving", "at_top", "at_bottom", "current") == [
        (0.0, "at_bottom", True),
        (1.0, "current", 8.0),
        (1.1, "moving", True),
        (1.1, "at_bottom", False),
        (1.1, "current", 2.5),
        (11.1, "moving", False),
        (11.1, "at_top", True),
        (11.1, "current", 0.0),
        (20.0, "current", 8.0),
        (20.1, "moving", True),
        (20.1, "at_top", False),
        (20.1, "current", 1.5),
        (25.1, "moving", False),
        (25.1, "at_bottom", True),
        (25.1, "current", 0.0),
    ]
    assert b.value("running_time") == pytest.approx(10.1 + 5.1, abs=1e-9)


def test_many_short_moves_are_not_one_long_move():
    """One second of voltage: 0.9 s of motion and 0.2 deg of coasting; ten of 0.09 s: none at all."""
    long, short = lift().at("0", volts=24.0).at("1", volts=0.0).to("2"), lift()
    for n in range(10):
        short.at(f"{n}.0", volts=24.0).at(f"{n}.09", volts=0.0)
    assert round(long.value("elevation"), 9) == 23.8
    assert short.to("20").value("elevation") == 20.0
    assert long.told("moving") == [(0.1, "moving", True), (1.1, "moving", False)]


def test_speed_follows_voltage_at_once():
    """At 18 V the free speed is 6 deg/s and the load takes 4: 2 deg/s, without a new lag."""
    b = lift().at("0", volts=24.0).at("1.1", volts=18.0).at("2.1", volts=24.0).to("3.1")
    assert round(b.value("elevation"), 9) == 20 + 4 + 2 + 4
    assert b.told("moving") == [(0.1, "moving", True)]


def test_a_sag_does_not_begin_the_lag_anew():
    """The voltage falls within the lag of 0.1 s: it still moves at 0.1 s."""
    assert lift().at("0", volts=24.0).at("0.05", volts=18.0).to("1").told("moving") == [(0.1, "moving", True)]


def test_too_little_voltage_stalls():
    """At 12 V the load just holds it, at half the stall current; at 3 V and an eighth it does not turn at all."""
    b = lift(start_elevation=30.0).at("0", volts=12.0).at("1", volts=-3.0).at("2", volts=0.0).to("3")
    assert b.told("moving", "current") == [(0.0, "current", 4.0), (1.0, "current", 1.0), (2.0, "current", 0.0)]
    assert b.value("elevation") == 30.0


def test_turning_round_coasts_to_a_standstill_first():
    """Up at 4 deg/s, reversed: 0.1 s of coasting over 0.2 deg, 0.1 s of lag, then down at 8 deg/s."""
    b = lift().at("0", volts=24.0).at("1.1", volts=-24.0).to("1.55")
    assert round(b.value("elevation"), 9) == 24.2 - 0.25 * 8
    assert b.told("moving") == [(0.1, "moving", True), (1.2, "moving", False), (1.3, "moving", True)]


def test_the_cut_out_opens_and_resets_itself():
    """Jammed with 8 A: 1228.8 K in the end, so 80 K after some 8 s, 50 K again 56 s later, and 80 K after 3 s more."""
    b = lift().at("0", volts=24.0, fault="jammed").to("70")
    heats, cools = 120 * log(1228.8 / 1148.8), 120 * log(80 / 50)
    again = 120 * log(1178.8 / 1148.8)
    instants = [heats, heats + cools, heats + cools + again]
    assert [value for _, _, value in b.told("tripped")] == [True, False, True]
    assert [t for t, _, _ in b.told("tripped")] == pytest.approx(instants, abs=3e-6)
    assert b.value("elevation") == 20.0
    welded = lift().at("0", volts=24.0, fault="jammed").at("0", fault="cut_out_closed").to("70")
    assert (welded.told("tripped"), welded.value("current")) == ([], 8.0)


def test_a_quarter_duty_never_trips():
    """15 s on and 45 s off (25 %) at 2.5 A stays far below the trip."""
    b = lift(bottom=-2000.0, top=2000.0, start_elevation=0.0)
    for n in range(20):
        b.at(f"{60 * n}", volts=24.0).at(f"{60 * n + 15}", volts=0.0)
    assert b.told("tripped") == []
    assert 30 < b.part.outputs["rise"].extremes(0, b.now)[1] < 80
    ((trips, _, _),) = lift(bottom=-2000.0, top=2000.0).at("0", volts=24.0).to("150").told("tripped")
    lag = 1228.8 * -expm1(-0.1 / 120)
    assert trips == pytest.approx(0.1 + 120 * log((120 - lag) / (120 - 80)), abs=2e-6)


def test_back_driving_sinks_to_the_bottom():
    """Let go at 30 deg, it sinks with 2 deg/s; with a screw that holds it stays."""
    b = lift(start_elevation=30.0, back_drive=2.0).to("9")
    assert b.told("moving", "at_bottom") == [(0.0, "moving", True), (5.0, "moving", False), (5.0, "at_bottom", True)]
    assert lift(start_elevation=30.0).to("9").value("elevation") == 30.0
    assert lift(start_elevation=30.0).at("1", fault="back_drives", value=2.0).to("3").value("elevation") == 26.0


@pytest.mark.parametrize("tenths", range(0, 200, 3))
def test_lift_and_sagging_supply_settle(tenths):
    """Whatever a supply with an inner resistance falls to, and comes back to, each instant settles."""
    motor = Lift("lift", {"rated_volts": 12.0})
    bench = Bench(motor)

    def feed(time, volts):
        bench.to(time)
        for _ in range(20):
            now = volts - 0.3 * bench.value("current")
            if now == motor.inputs["volts"]:
                return
            bench.at(time, volts=now)
        raise AssertionError("does not settle")

    for n, volts in enumerate((12.0, tenths / 10, 12.0, tenths / 20, 0.3)):
        feed(f"{n}", volts)
        feed(f"{n}.4", volts)


@pytest.mark.parametrize(
    ("kind", "value", "elevation", "current"),
    [
        (None, 1.0, 36.0, 2.5),
        ("slow", 0.75, 28.0, 2.5),
        ("jammed", 1.0, 20.0, 8.0),
        ("cut_out_open", 1.0, 20.0, 0.0),
    ],
)
def test_failures_after_four_seconds_of_lifting(kind, value, elevation, current):
    """Each failure has its own elevation and current."""
    b = lift().at("0", fault=kind, value=value).at("0", volts=24.0).to("4.1")
    assert (round(b.value("elevation"), 9), b.value("current")) == (elevation, current)


def test_a_welded_end_switch_stalls_at_the_end():
    """At the top the current goes on as stall current, until the cut-out opens."""
    b = lift(start_elevation=59.0).at("0", fault="end_switch_closed").at("0", volts=24.0).to("5")
    assert b.told("current") == [(0.0, "current", 8.0), (0.1, "current", 2.5), (0.35, "current", 8.0)]
    assert (b.value("elevation"), b.value("moving")) == (60.0, False)


def test_travel_must_have_a_length():
    """A top below the bottom is refused where the part begins."""
    with pytest.raises(PlantError, match="lift"):
        lift(top=10.0)


def test_a_lift_that_sinks_from_its_end_is_driven_up_again():
    """The end switch makes again half a degree below the top, and the voltage that waited there lifts it."""
    b = lift(start_elevation=60.0, back_drive=1.0).at("0", volts=24.0).to("1.4")
    assert b.told("moving", "current") == [
        (0.0, "moving", True),
        (0.5, "moving", False),
        (0.5, "current", 8.0),
        (0.6, "moving", True),
        (0.6, "current", 2.5),
        (0.725, "current", 0.0),
        (1.225, "moving", False),
        (1.225, "current", 8.0),
        (1.325, "moving", True),
        (1.325, "current", 2.5),
    ]
