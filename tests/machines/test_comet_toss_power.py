"""comet_toss and its supplies, its lift's own cut-out, and a wire whose break nothing shows."""

from dataclasses import replace

import pytest

from simplant import Machine, Power, duration, ms, seconds
from simplant.campaign.axes import cuts
from simplant.campaign.sweep import sweep
from simplant.faults import Fault
from simplant.rig.outcome import run_scenario
from simplant.rules import Outcome
from simplant.scenario.model import Force, Scenario, Stimulus
from simplant.scenario.read import read_scenario

TOSS = Machine.load("programs/comet_toss")
GOOD = read_scenario("scenarios/comet_toss/good_calls.toml")
JOGGING = (
    Stimulus(seconds(3), "reset", "press", duration=ms(200)),
    Stimulus(seconds(4), "mode", "select", 3),
    Stimulus(seconds(5), "start", "press", duration=ms(200)),
    Stimulus(seconds(8), "enable", "press", duration=seconds(95)),
)


def held(at, button, length):
    return Stimulus(seconds(at), button, "press", duration=seconds(length))


def changes(run, *names):
    """Changes of some signals after the first instant, in ms."""
    return [(at // ms(1), name, value) for at, name, value in run.trace if name in names and at > 0]


def test_supplies_that_rise_in_the_wrong_order():
    """A 5 V supply that is 6 s late: the program commands without it, and the pulse controller starts last."""
    late = Fault("supply5", "slow_rise", seconds(0), value=120.0)
    run = run_scenario(TOSS, replace(GOOD, faults=(late,)))
    order = [name for _, name, value in changes(run, *(f"supply{n}.healthy" for n in (5, 12, 24, 48))) if value]
    assert order == ["supply24.healthy", "supply12.healthy", "supply48.healthy", "supply5.healthy"]
    booted = [event.time for event in run.events if event.text.startswith(("main: restart", "pulses: restart"))]
    assert booted == [seconds("2.1"), seconds("7.6")]
    assert "supplies settled" in run.undemanded


def test_a_cut_out_that_resets_under_a_held_command():
    """Jammed, the lift's cut-out opens; it closes again 56 s later, and the lift runs without anybody's doing."""
    jam = Fault("lift", "jammed", seconds(10), seconds(30))
    run = run_scenario(
        TOSS, Scenario("comet_toss", length=seconds(110), stimuli=(*JOGGING, held(9, "spot_4", 95)), faults=(jam,))
    )
    told = changes(run, "lift_run_cmd", "lift.tripped", "lift.moving", "lift.at_top")
    [stops, trips, resets, moves] = [at for at, name, value in told if name in ("lift.tripped", "lift.moving")][1:5]
    assert [(name, value) for _, name, value in told] == [
        ("lift_run_cmd", True), ("lift.moving", True), ("lift.moving", False), ("lift.tripped", True),
        ("lift.tripped", False), ("lift.moving", True), ("lift.moving", False), ("lift.at_top", True),
        ("lift_run_cmd", False),
    ]  # fmt: skip
    assert (stops, trips // 1000, resets // 1000, moves - resets) == (10_000, 19, 75, 80)
    assert run.alarms == ()


@pytest.mark.parametrize(("target", "kind"), [("lift_run_cmd", "open_wire"), ("lift_feed", "open")])
def test_a_broken_wire_hidden_by_an_open_end_switch(target, kind):
    """Homed at the bottom, where its end switch is open, the lift is not missed, nor does any input tell of it later.

    It stays down, and only where the first ball lands the two runs part.
    """
    whole, broken = (
        run_scenario(TOSS, replace(GOOD, faults=faults)) for faults in ((), (Fault(target, kind, seconds(0)),))
    )
    inputs = [point.name for point in TOSS.io.inputs]
    homed = next(step.entered for step in whole.steps if step.step == "turn_up")
    launched = changes(whole, "balls.launched")[0][0]
    shown, hidden = ([row for row in changes(run, *inputs) if row[0] <= launched] for run in (whole, broken))
    moved = [row for row in changes(whole, "lift.moving") if row[0] <= homed // ms(1)]
    assert (moved, shown == hidden, changes(broken, "lift.moving")) == ([], True, [])
    assert (broken.undemanded, broken.alarms) == (("raised",), ())


WEAK = Fault("supply12", "sagging", seconds(0), value=10.0)
BOTH = (*JOGGING, held(9, "spot_2", 8), held("9.5", "spot_4", 7))


def test_the_start_of_the_lift_restarts_the_pulse_controller():
    """Its 8 A pull the 12 V down, the 5 V with it: the table stops, and the program trips in 57 ms."""
    run = run_scenario(TOSS, Scenario("comet_toss", length=seconds(20), stimuli=BOTH, faults=(WEAK,)))
    [(begins, _, _), (ends, _, _)] = changes(run, "supply12.healthy")[1:]
    assert ends - begins == 65
    lost, back, boots = [event for event in run.events if event.text.startswith("pulses")][2:]
    assert [lost.time // ms(1), (back.time - lost.time) // ms(1), (boots.time - back.time) // ms(1)] == [
        begins,
        115,
        1500,
    ]
    assert [(alarm.name, alarm.time // ms(1) - begins) for alarm in run.alarms] == [("pulses_lost", 57)]
    assert [value for _, _, value in changes(run, "table.moving")] == [True, False]


def test_what_the_program_trips_for():
    """With run still held, the pulse controller finds it after its boot, and the table moves by itself."""
    kept = tuple(Force(seconds("9.6"), tag, value=True) for tag in ("table_run_cmd", "table_enable_cmd"))
    run = run_scenario(TOSS, Scenario("comet_toss", length=seconds(20), stimuli=BOTH, faults=(WEAK,), forces=kept))
    boots = [event.time // ms(1) for event in run.events if event.text.startswith("pulses: restart")][1]
    again = [at for at, _, value in changes(run, "table.moving") if value][1]
    assert 0 <= again - boots < 100


@pytest.mark.slow
@pytest.mark.parametrize("away", ["5ms", "300ms"])
def test_no_ball_flies_from_a_table_that_lost_its_steps(away):
    """Whenever the pulse controller starts anew, every release is still within the tolerance of the aim."""
    axis = cuts(TOSS, GOOD, controller="pulses", for_=duration(away), random=60)
    assert {span.change.kind for span in sweep(TOSS, GOOD, axis).spans if span.change.what == "aimed"} == {
        "not exercised"
    }
    late = Power(seconds("28.1123"), "pulses", ms(300))  # boots just after run came on
    run = run_scenario(TOSS, replace(GOOD, power=(late,)))
    assert [v.outcome for v in run.verdicts if v.rule == "aimed"] == [Outcome.HELD]
