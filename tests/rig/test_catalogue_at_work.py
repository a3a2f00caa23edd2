"""Faults of cheap hardware at work on comet_toss, each as its cause in the catalogue: what it does to the machine.

A simulation proves nothing about safety: what these show is why a program alone is not enough.
"""

import pytest

from simplant import Fault, Machine, Rig, Scenario, Stimulus, ms, seconds

TOSS = Machine.load("programs/comet_toss")


def press(at, button, lasts="0.2"):
    return Stimulus(seconds(at), button, "press", duration=seconds(lasts))


CALLS = (press(3, "reset"), Stimulus(seconds(4), "mode", "select", 1), press(5, "start"), press(21, "spot_5", "0.3"))
SERVICE = (press(3, "reset"), Stimulus(seconds(4), "mode", "select", 3), press(5, "start"), press(8, "enable", "20"))
OUTPUTS = ("wheel_run_cmd", "lift_run_cmd", "lift_up_cmd", "table_run_cmd", "gate_release_cmd")


def bench(stimuli, *faults, length=40):
    return Rig(TOSS, Scenario("comet_toss", length=seconds(length), stimuli=stimuli, faults=faults), claims=())


def test_one_relay_welded_and_the_lift_runs_with_all_outputs_off():
    """The feed relay welds while the lift is jogged down: let go, it runs on to its end switch by itself."""
    jogs = press(9, "spot_4", 3), press(13, "spot_3", 1)
    rig = bench((*SERVICE, *jogs), Fault("lift_feed", "welded", seconds("13.5"))).run(seconds("14.3"))
    assert [rig.value(name) for name in OUTPUTS] == [False] * 5
    assert (rig.value("lift.moving"), rig.value("lift_direction.up")) == (True, False)
    rig.run(seconds(10))
    assert (rig.value("lift.moving"), rig.value("lift.at_bottom")) == (False, True)


@pytest.mark.parametrize(("onset", "level", "moves"), [("21.2", False, False), ("22", True, True)])
def test_the_pulse_controller_hangs_at_either_level(onset, level, moves):
    """Hung at low it makes no steps though told to; hung at high it goes on for a second, until its watchdog."""
    rig = bench(CALLS, Fault("pulses", "hanging", seconds(onset))).run(seconds("22.1"))
    assert (rig.value("pulses.busy"), rig.value("table.moving")) == (level, moves)
    rig.run(seconds("1.5"))
    assert (rig.value("pulses.table_move"), rig.value("table.moving")) == (False, False)
    assert rig.alarms == ("pulses_lost",)


def test_steps_are_made_with_drive_power_off():
    """The program does not see the emergency stop: it counts the way that the table never went."""
    unseen = Fault("estop_healthy", "stuck_on", seconds(1))
    rig = bench((*CALLS, Stimulus(seconds("21.5"), "estop", "press")), unseen).run(seconds(22))
    stands = rig.value("table.angle")
    assert (rig.value("drive_24.closed"), rig.value("pulses.table_move"), rig.value("table.moving")) == (
        False,
        True,
        False,
    )
    rig.run(seconds(4))
    assert rig.value("table.angle") == stands
    assert (rig.value("angle"), round(stands)) == (500, -47)


def test_the_arm_is_limp_without_its_supply():
    """It falls shut in a quarter of a second, and lands on a ball if one is there."""
    lost = Fault("supply5", "lost", seconds("26.03"))
    rig = bench(CALLS, lost).run(seconds("26.02"))
    assert rig.value("cycle") == "toss"
    assert rig.value("gate.is_closed") is False
    rig.run(ms(400))
    assert (rig.value("gate.is_closed"), rig.value("gate.moving")) == (True, False)


def test_a_wet_ball_is_slow_and_its_bounce_is_seen():
    """Wet, it takes four times as long in the tube; on the arm it bounces out of sight and back, then rests."""
    dry, wet = (bench(CALLS, *faults, length=60).run() for faults in ((), (Fault("balls", "slow_return", seconds(0)),)))
    after = [[(at, name, value) for at, name, value in rig.trace if at > seconds(26)] for rig in (dry, wet)]
    beams = [next(at for at, name, value in rows if name == "balls.beam" and value) for rows in after]
    assert beams[1] - beams[0] > seconds(5)
    assert [value for _, name, value in after[0] if name == "balls.in_view"] == [False, True, False, True]
    assert [value for _, name, value in after[0] if name == "balls.settled"] == [False, True]


def test_the_wheel_speed_was_moved():
    """Fifteen per cent more volts: the ball flies over the heads, and nothing on this machine can tell."""
    rig = bench(CALLS, Fault("wheel", "readjusted", seconds(0)), length=40).run()
    assert (rig.value("people.misses"), rig.alarms) == (1, ())
    assert rig.value("balls.landed_range") > 5.4
