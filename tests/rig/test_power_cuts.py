"""A controller's own power fails: what that is, when it is back, and what it excuses."""

from pathlib import Path

import pytest

from simplant import Machine, Rig, Scenario, Stimulus, ms, seconds
from simplant.faults import Fault
from simplant.fuzz import Fail, whats
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Power

ROOT = Path(__file__).parents[2]
MACHINE = Machine.load(ROOT / "programs" / "sump_pumps")
WORDS = ("power lost", "power back", "restart")


def told(**what):
    """What the main controller tells of its power: instant in s, first words."""
    rig = Rig(MACHINE, Scenario("sump_pumps", length=seconds(20), **what)).run()
    rows = [(at / 1e9, text.partition(": ")[2]) for at, name, text in rig.trace if name == "!" and "main: " in text]
    return [(at, text.partition(":")[0]) for at, text in rows if text.startswith(WORDS)]


START = [(0.2, "power back"), (2.2, "restart")]


@pytest.mark.parametrize(
    ("at", "lasts", "dips", "expected"),
    [
        (5, 1, (), [*START, (5, "power lost"), (6, "power back"), (8, "restart")]),
        (0, 1, (), [(1, "power back"), (3, "restart")]),  # the supply comes at 0.2 s and finds it cut
        (5, 4, (6, 8), [*START, (5, "power lost"), (9, "power back"), (11, "restart")]),  # a dip within: no matter
        (5, 2, (6, 8), [*START, (5, "power lost"), (8.2, "power back"), (10.2, "restart")]),  # its end finds no supply
    ],
)  # fmt: skip
def test_it_has_power_with_its_supply_and_without_a_cut(at, lasts, dips, expected):
    """Whichever comes back last lets it boot, once; the fault and the `[[power]]` entry do the same."""
    stimuli = [Stimulus(seconds(t), "mains", word) for t, word in zip(dips, ("off", "on"), strict=False)]
    cut = Fault("main", "power_cut", seconds(at), seconds(lasts))
    assert told(faults=(cut,), stimuli=tuple(stimuli)) == expected
    assert told(power=(Power(seconds(at), "main", seconds(lasts)),), stimuli=tuple(stimuli)) == expected


def test_a_cut_in_a_scenario_is_a_fault_when_it_is_judged():
    """What breaks with it breaks under one fault, so a rule that need bear none is not demanded."""
    cut = Power(ms(120_000), "main", ms(500))
    run = run_scenario(MACHINE, Scenario("sump_pumps", length=seconds(600), power=(cut,)))
    assert Rig(MACHINE, run.scenario).faults == [Fault("main", "power_cut", ms(120_000), ms(500))]
    assert run.findings == ()


def test_stories_cut_the_power_but_once():
    """Every controller has it in the catalogue; a story's cut is the scenario's own."""
    entries = [e.target for e in MACHINE.catalogue if e.mode.kind == "power_cut"]
    assert entries == ["main"]
    assert not [w for w in whats(MACHINE) if isinstance(w, Fail) and w.kind == "power_cut"]
