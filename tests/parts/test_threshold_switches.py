"""Limit sensor and float switch: edges with hysteresis, response time, power, and each failure."""

from simplant.curves import Line, Steady
from simplant.plant.float_switch import FloatSwitch
from simplant.plant.limit_sensor import LimitSensor
from simplant.timebase import seconds
from tests.parts.bench import Bench


def sensor(angle=55.0, **parameters):
    return Bench(LimitSensor("limit", {"response": 0.001, **parameters}), angle=Steady(angle))


def turn(bench, time, slope):
    """Turn the table at this rate from this instant on."""
    bench.to(time)
    return bench.at(time, angle=Line(seconds(time), bench.part.inputs["angle"].at(seconds(time)), slope))


def test_seen_in_its_zone_with_hysteresis_and_response():
    """On at 60 deg, off at 59.5 deg on the way back, each 1 ms later."""
    b = turn(turn(sensor(), "1", 40), "1.25", -40).to("3")
    assert b.told("seen") == [(1.126, "seen", True), (1.3885, "seen", False)]


def test_a_tab_can_run_past_a_short_zone():
    """A zone of 4 deg ends at 64: at 64.5 deg the tab is seen no longer; back from 65 it is seen from 64 to 59.5."""
    b = turn(turn(sensor(width=4.0), "1", 10), "2", -10).to("5")
    assert b.told("seen") == [
        (1.501, "seen", True),
        (1.951, "seen", False),
        (2.101, "seen", True),
        (2.551, "seen", False),
    ]


def test_a_sensor_on_the_left_looks_the_other_way():
    """Side -1: the zone lies below its edge."""
    b = turn(turn(sensor(angle=-59.0, edge=-60.0, side=-1), "1", -10), "1.5", 10).to("5")
    assert b.told("seen") == [(1.101, "seen", True), (1.951, "seen", False)]


def test_a_pulse_shorter_than_the_response_is_not_seen():
    """The tab is in the zone for 0.5 ms and in its hysteresis for some more: less than 20 ms."""
    b = turn(turn(sensor(angle=59.99, response=0.02), "1", 40), "1.0005", -40).to("3")
    assert b.told("seen") == []


def test_without_supply_it_sees_nothing():
    """Supply gone: not seen; supply back: seen again after the response."""
    b = sensor(angle=61.0).at("1", volts=0.0).at("2", volts=5.0).to("3")
    assert b.told("seen") == [(0.001, "seen", True), (1.001, "seen", False), (2.001, "seen", True)]


def test_stuck_says_one_thing_and_nothing_else():
    """Stuck on is stuck on even without supply; stuck off even in the zone; mended it tells the truth."""
    b = sensor().at("1", fault="stuck_on").at("2", volts=0.0).at("3", mend="stuck_on").to("4")
    assert b.told("seen") == [(1.0, "seen", True), (3.0, "seen", False)]
    b = sensor(angle=61.0).at("1", fault="stuck_off").at("2", mend="stuck_off").to("4")
    assert b.told("seen") == [(0.001, "seen", True), (1.0, "seen", False), (2.0, "seen", True)]


def test_late_shifts_each_edge():
    """50 ms later than the response time, both ways."""
    b = turn(turn(sensor().at("0", fault="late", value=0.05), "1", 40), "1.25", -40).to("3")
    assert b.told("seen") == [(1.176, "seen", True), (1.4385, "seen", False)]


def test_chattering_adds_false_changes_to_each_edge():
    """Within 20 ms of each edge the output toggles five times and rests at the truth; the same for the same seed."""
    runs = []
    for _ in range(2):
        b = turn(turn(sensor().at("0", fault="chattering", value=0.02), "1", 40), "1.25", -40).to("3")
        runs.append(b.told("seen"))
    assert runs[0] == runs[1]
    assert [value for _, _, value in runs[0]] == [True, False, True, False, True, False, True, False, True, False]
    times = [t for t, _, _ in runs[0]]
    assert [round(t - times[0], 6) for t in times[1:4]] != [round(t - times[5], 6) for t in times[6:9]]
    assert (times[0], times[4], times[5], times[9]) == (1.126, 1.146, 1.3885, 1.4085)


def test_blinded_sees_a_tab_that_is_not_there():
    """Light in the receiver looks like a tab, as long as there is supply."""
    b = sensor().at("1", fault="blinded").at("2", volts=0.0).at("3", volts=5.0).at("4", mend="blinded").to("5")
    assert b.told("seen") == [
        (1.001, "seen", True),
        (2.001, "seen", False),
        (3.001, "seen", True),
        (4.001, "seen", False),
    ]


def float_run(kind):
    """Rise through 1 m at 2 s, turn at 3 s and 1.125 m, fall through 0.875 m at 5 s."""
    b = Bench(FloatSwitch("high", {"hysteresis": 0.125}), level=Line(seconds(1), 0.875, 0.125))
    b.at("0", fault=kind, value=0.05)
    return tuple(b.at("3", level=Line(seconds(3), 1.125, -0.125)).to("9").told("wet"))


def test_a_float_tips_over_and_back():
    """Wet 0.2 s after 1 m is reached, dry 0.2 s after 0.875 m."""
    assert float_run(None) == ((2.2, "wet", True), (5.2, "wet", False))


def test_each_failure_of_a_float_changes_what_it_says():
    """Stuck, late and chattering floats differ from a good one on the same rise and fall."""
    told = {kind: float_run(kind) for kind in (None, *(mode.kind for mode in FloatSwitch.FAILURES))}
    assert len(set(told.values())) == len(told)
    assert told["stuck_off"] == ()
    assert told["stuck_on"] == ((0.0, "wet", True),)
    assert told["late"] == ((2.25, "wet", True), (5.25, "wet", False))
