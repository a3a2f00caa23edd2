"""The turntable: trapezoid, play, hard stops, lost steps, holding torque; each failure shown to matter."""

import pytest

from simplant.errors import PlantError
from simplant.plant.turntable import Turntable
from tests.parts.bench import Bench

STIFF = {"backlash": 0.0, "jump": 0.0}
RIGHT = {"move": True, "right": True}


def bench(enable=True, **parameters):
    return Bench(Turntable("table", {**STIFF, **parameters}), enable=enable)


def test_a_move_is_a_trapezoid():
    """Up at 160 deg/s2 to 40 deg/s in 0.25 s over 5 deg, cruise, and down over 5 deg."""
    b = bench().at("1", **RIGHT)
    assert [round(b.to(t).value("angle"), 9) for t in ("1.125", "1.25", "1.5")] == [1.25, 5.0, 15.0]
    b.at("2", move=False)
    assert [round(b.to(t).value("angle"), 9) for t in ("2", "2.125", "2.25", "5")] == [35.0, 38.75, 40.0, 40.0]
    assert b.told("moving", "against_stop", "lost_steps") == [(1.0, "moving", True), (2.25, "moving", False)]


def test_a_dead_stop_has_no_ramp():
    """With ramp 0 it moves and stops at once, and turns round at once."""
    b = bench(ramp=0).at("0", **RIGHT).at("1", right=False).at("1.5", move=False)
    assert b.value("angle") == 20.0
    assert b.told("moving") == [(0.0, "moving", True), (1.5, "moving", False)]


def test_turning_round_brakes_first():
    """From 40 deg/s to the right: 5 deg further, a standstill, then left."""
    b = bench().at("0", **RIGHT).at("1", right=False)
    assert [round(b.to(t).value("angle"), 9) for t in ("1", "1.25", "1.5", "2")] == [35.0, 40.0, 35.0, 15.0]
    assert b.value("lost_steps") == 0


def test_turning_round_at_speed_may_lose_steps():
    """With `reversal_slips` 2 it goes the other way at once and has lost eight steps."""
    b = bench(reversal_slips=2).at("0", **RIGHT).at("1", right=False).to("1.25")
    assert (round(b.value("angle"), 9), b.value("lost_steps")) == (30.0, 8)


def test_the_hard_stop_holds_and_steps_are_lost():
    """At +68 deg it stays, and slips four steps (2.4 deg of pulses, 60 ms) at a time."""
    b = bench().at("0", **RIGHT).at("2.01", move=False).to("5")
    assert b.value("angle") == 68.0
    assert b.told("moving", "against_stop", "lost_steps") == [
        (0.0, "moving", True),
        (1.825, "moving", False),
        (1.825, "against_stop", True),
        (1.885, "lost_steps", 4),
        (1.945, "lost_steps", 8),
        (2.005, "lost_steps", 12),
    ]
    b.at("6", move=True, right=False)
    assert (b.value("against_stop"), b.value("moving")) == (False, True)


def test_braking_into_the_hard_stop_loses_the_rest():
    """Braking from 66 deg needs 5 deg and has 2: the 3 deg left are one slip of four steps."""
    b = bench().at("0", **RIGHT).at("1.775", move=False).to("3")
    assert (b.value("angle"), b.value("lost_steps"), b.value("against_stop")) == (68.0, 4, True)


def test_play_is_taken_up_first():
    """After a move to the right, a move to the left turns the motor through the whole play before the table follows."""
    b = bench(backlash=2.0, ramp=0).at("0", **RIGHT).at("1", move=False).at("2", move=True, right=False).to("3")
    assert b.told("moving") == [
        (0.025, "moving", True),
        (1.0, "moving", False),
        (2.05, "moving", True),
    ]
    assert round(b.value("angle"), 9) == 39.0 - 38.0


def test_without_holding_torque_it_stops_dead():
    """Supply or enable gone in mid-move: friction holds it where it is."""
    for loss in ({"enable": False}, {"volts": 12.0}):
        b = bench().at("0", **RIGHT).at("1", **loss).to("9")
        assert b.value("angle") == 35.0
        assert b.told("moving") == [(0.0, "moving", True), (1.0, "moving", False)]


def test_enabling_jumps_by_two_steps_at_most():
    """Each enabling shifts the table by up to 1.2 deg, the same for the same seed."""
    b, again = bench(enable=False, jump=2), bench(enable=False, jump=2)
    for n in range(10):
        before = b.value("angle")
        for one in (b, again):
            one.at(f"{n}.2", enable=True).at(f"{n}.7", enable=False)
        assert 0 < abs(b.value("angle") - before) <= 1.2
    assert b.log == again.log


def test_no_jump_goes_past_a_hard_stop():
    """At the right stop half of the jumps are swallowed."""
    b = bench(enable=False, jump=2, start_angle=68)
    for n in range(10):
        assert b.at(f"{n}.2", enable=True).at(f"{n}.7", enable=False).value("angle") <= 68


def test_slow_runs_at_a_fraction():
    """At half speed the second second makes 20 deg."""
    b = bench(ramp=0).at("0", fault="slow", value=0.5, **RIGHT).to("2")
    assert b.value("angle") == 40.0
    assert b.at("2", mend="slow").to("2.5").value("angle") == 60.0


def test_stalled_stands_and_loses_steps():
    """A stall in mid-move stops the table dead; 0.9 s of pulses are fifteen slips."""
    b = bench().at("0", **RIGHT).at("1", fault="stalled").at("1.9", move=False).to("3")
    assert (b.value("angle"), b.value("lost_steps"), b.value("moving")) == (35.0, 60, False)


def test_steps_lost_shortens_the_next_move_only():
    """Twice four steps of 0.6 deg: 4.8 deg short, once for each time the fault sets in."""
    b = bench(ramp=0).at("0", fault="steps_lost", value=2.0, **RIGHT).at("1", move=False)
    assert (round(b.value("angle"), 4), b.value("lost_steps")) == (35.2, 8)
    assert round(b.at("2", move=True, right=False).to("2.5").value("angle"), 4) == 15.2


def test_drift_turns_it_while_it_is_not_held():
    """2 deg/s until it is held, and up to the hard stop."""
    b = bench(enable=False).at("0", fault="drift", value=2.0).at("3", enable=True).to("4")
    assert round(b.value("angle"), 9) == 6.0
    b.at("5", enable=False).to("60")
    assert (b.value("angle"), b.value("moving"), b.value("against_stop")) == (68.0, False, True)


def test_every_failure_has_a_test():
    """The list of failures is the list of this file."""
    assert [f.kind for f in Turntable.FAILURES] == ["steps_lost", "stalled", "slow", "drift"]


@pytest.mark.parametrize("moves", [0, 7])
def test_the_position_is_dead_reckoned(moves):
    """Moves there and back without loss come home."""
    b = bench()
    for n in range(moves):
        b.at(f"{4 * n}", **RIGHT).at(f"{4 * n + 1}", move=False).at(f"{4 * n + 2}", move=True, right=False)
        b.at(f"{4 * n + 3}", move=False)
    assert round(b.to("60").value("angle"), 9) == 0.0


def test_somebody_turns_it_by_hand():
    """While nothing holds it: 60 deg/s, up to the hard stop; a motor that holds is not overcome."""
    b = bench(enable=False).to("1")
    b.part.act("turn", 90.0, b.now)
    assert [round(b.at(t).value("angle"), 9) for t in ("1", "2", "3")] == [0.0, 60.0, 68.0]
    assert (b.value("against_stop"), b.value("moving"), b.value("lost_steps")) == (True, False, 0)
    b.part.act("turn", -30.0, b.now)
    assert [round(b.at(t).value("angle"), 9) for t in ("3", "3.1", "4")] == [68.0, 62.0, 38.0]
    b.part.act("turn", None, b.now)
    assert round(b.at("4").at("4.1", enable=True).value("angle"), 9) == 44.0
    b.part.act("turn", 5.0, b.now)
    assert round(b.at("5").value("angle"), 9) == 44.0
    assert b.told("moving") == [
        (1.0, "moving", True), (2.133334, "moving", False),
        (3.0, "moving", True), (3.5, "moving", False), (4.0, "moving", True), (4.1, "moving", False),
    ]  # fmt: skip


@pytest.mark.parametrize("value", [0, "far"])
def test_nobody_turns_it_by_nothing(value):
    with pytest.raises(PlantError, match="cannot be turned by"):
        bench(enable=False).part.act("turn", value, 0)
