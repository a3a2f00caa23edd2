"""The sump pumps over hours and over every single fault: what one scenario file cannot say."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from simplant import NEVER, Machine, Rig, Scenario, Stimulus, minutes, ms, seconds
from simplant.rig.outcome import run_scenario
from simplant.rules import Outcome
from simplant.scenario.read import read_scenario

ROOT = Path(__file__).parents[2]
SCENARIOS = sorted((ROOT / "scenarios" / "sump_pumps").glob("*.toml"))
HOUR = minutes(60)


@pytest.fixture(scope="module")
def machine():
    return Machine.load(ROOT / "programs" / "sump_pumps")


def hour_of(machine, seep, *, length=HOUR, every_scan=False, **more):
    scenario = Scenario("sump_pumps", length=length, parameters={"sump.seep": seep}, **more)
    return Rig(machine, scenario, every_scan=every_scan).run()


def closings(trace):
    """Give (ns, pump) of each closing of a motor contactor."""
    pumps = {"contactor_1.closed": 1, "contactor_2.closed": 2}
    return [(at, pumps[name]) for at, name, value in trace if name in pumps and value]


def test_the_pumps_take_turns_for_an_hour(machine):
    """At a quiet inflow: one pump at a time, by turns, each as often as the other but for one."""
    rig = hour_of(machine, 0.004)
    order = [pump for _, pump in closings(rig.trace)]
    assert order == [1 if number % 2 == 0 else 2 for number in range(len(order))]
    assert rig.value("starts_1") - rig.value("starts_2") == len(order) % 2
    assert len(order) == 13


@pytest.mark.parametrize("share", ["0.3", "0.5", "0.7"])
def test_a_cycle_takes_as_long_as_the_volume_says(machine, share):
    """V/q to fill and V/(Q-q) to empty, V between stop and duty level; shortest at q = Q/2: 4 V/Q.

    Source: derived from the balance of volumes. Floats, filters and scans add at most 1.3 s at either end.
    """
    volume, lifts = 0.65, 0.01
    seeps = float(share) * lifts
    starts = [at / 1e9 for at, _ in closings(hour_of(machine, seeps).trace)]
    cycles = [later - earlier for earlier, later in pairwise(starts[1:])]
    wanted = volume / seeps + volume / (lifts - seeps)
    late = 1.3 * (1 + seeps / (lifts - seeps)) + 1.3 * (1 + (lifts - seeps) / seeps) + 0.5 * lifts / (lifts - seeps)
    assert all(wanted < cycle < wanted + late for cycle in cycles)
    assert wanted >= 4 * volume / lifts


def test_an_hour_of_quiet_costs_next_to_nothing(machine):
    """Nothing seeps in: the controller sleeps for an hour but for its start and its timers."""
    rig = hour_of(machine, 0.0)
    run, slept = rig.main.counts(rig.now)
    assert run <= 12
    assert run + slept > 71_900


@pytest.mark.parametrize("seep", [0.004, 0.015])
def test_sleeping_changes_no_trace(machine, seep):
    """Every scan run or slept through where nothing can change: one trace."""
    length, outage = minutes(12), (Stimulus(minutes(6), "mains", "dip", 20),)
    traces = [
        hour_of(machine, seep, length=length, stimuli=outage, every_scan=each).trace.text() for each in (False, True)
    ]
    assert traces[0] == traces[1]


def test_every_rule_is_put_to_the_test_by_a_scenario(machine):
    """A rule that no scenario exercises proves nothing. All scenarios are as they expect."""
    exercised = set()
    for path in SCENARIOS:
        result = run_scenario(machine, read_scenario(path))
        assert not result.findings, path.name
        undecided = result.scenario.expect.undecided
        assert not [v.rule for v in result.verdicts if v.outcome is Outcome.UNDECIDED and v.rule not in undecided]
        exercised |= {v.rule for v in result.verdicts if v.outcome is not Outcome.NOT_EXERCISED}
    assert set(machine.rules.names) == exercised


DAYS = {
    "storm": (Stimulus(minutes(4), "sump", "inflow", 0.015), Stimulus(minutes(8), "sump", "inflow", 0.004)),
    "deluge": (Stimulus(seconds(20), "sump", "inflow", 0.03), Stimulus(minutes(4), "sump", "inflow", 0.004)),
    "service": (
        Stimulus(seconds(50), "selector_1", "select", 0),
        Stimulus(seconds(55), "selector_2", "select", 0),
        Stimulus(seconds(90), "selector_1", "select", 1),
        Stimulus(seconds(91), "selector_2", "select", 1),
    ),
    "off in a deluge": (
        Stimulus(seconds(5), "selector_1", "select", 0),
        Stimulus(seconds(5), "selector_2", "select", 0),
        Stimulus(seconds(20), "sump", "inflow", 0.03),
    ),
    "one off": (Stimulus(seconds(5), "selector_2", "select", 0), Stimulus(minutes(5), "selector_1", "select", 0)),
}


def test_every_single_fault_is_borne_or_accepted(machine):
    """No rule breaks under a fault it must bear, for good or for a moment, but for the hazards accepted.

    Each row of the hazard list is needed: every rule in it does break, and every fault in it does lead to that.
    """
    broke, led = set(), set()
    lasting = [(entry.fault(seconds(10), NEVER), day) for entry in machine.catalogue for day in DAYS]
    brief = [(entry.fault(seconds(400), ms(200)), "storm") for entry in machine.catalogue]  # while both pumps run
    soon = [(entry.fault(seconds(33), NEVER), "service") for entry in machine.catalogue]  # a second after a start
    for fault, day in lasting + brief + soon:
        scenario = Scenario("sump_pumps", length=minutes(11), stimuli=DAYS[day], faults=(fault,))
        result = run_scenario(machine, scenario)
        assert not result.findings, fault
        broke |= {(rule, hazard.place) for rule, hazard in result.accepted.items()}
        rows = set(result.accepted.values())
        led |= {(way, h.place) for h in rows for way in h.faults if replace(h, faults=(way,)).applies(fault.names)}
    assert broke == {(rule, h.place) for h in machine.hazards for rule in h.rules}
    assert led == {(way, h.place) for h in machine.hazards for way in h.faults}
