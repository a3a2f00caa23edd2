"""Sweeps: which cases an axis has, how changes become ranges, one core against many."""

import pytest

from simplant import Machine
from simplant.campaign import Case, Change, cuts, periods, phases, sweep
from simplant.campaign.awake import awake_scans, with_period
from simplant.campaign.pool import processes_for
from simplant.campaign.sweep import Told, _changes, _spans, step_at
from simplant.errors import UsageError
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Power, Scenario, Stimulus
from simplant.scenario.read import read_scenario
from simplant.scenario.records import StepRecord
from simplant.timebase import Ns, ms, seconds

SUMP = "programs/sump_pumps"
TOSS = "programs/comet_toss"
GOOD = "scenarios/comet_toss/good_calls.toml"


@pytest.fixture(scope="module")
def toss():
    return Machine.load(TOSS)


@pytest.fixture(scope="module")
def good():
    return read_scenario(GOOD)


def test_a_cut_at_each_scan_that_is_not_asleep(toss, good):
    """As many scans as the run itself counts, all on the grid after the boot; to look on changes no trace."""
    before = run_scenario(toss, good)
    awake = awake_scans(toss, good, "main")
    assert len(awake) == before.scans[0].run
    assert {at % ms(10) for at in awake} == {0}
    assert awake[0] == toss.controllers[0].setup.boot + ms(100)  # the supply rises first
    assert list(run_scenario(toss, good).trace) == list(before.trace)
    assert len(awake_scans(toss, good, "pulses")) == before.scans[1].run


def test_the_cases_of_power_cuts(toss, good):
    """Each is the story and one cut more; random instants come by seed, in the order of time."""
    axis = cuts(toss, good, for_=ms(50), restart="cold", random=10, seed=7)
    assert [case.scenario.power for case in axis.cases] == [
        (Power(case.at, "main", ms(50), "cold"),) for case in axis.cases
    ]
    instants = [case.at for case in axis.cases]
    assert instants == sorted({*awake_scans(toss, good, "main"), *(i for i in instants if i % ms(10))})
    assert len(axis.cases) == len(awake_scans(toss, good, "main")) + 10
    assert axis == cuts(toss, good, for_=ms(50), restart="cold", random=10, seed=7)
    assert axis != cuts(toss, good, for_=ms(50), restart="cold", random=10, seed=8)


def test_a_supply_may_be_cut_instead(toss, good):
    """Then its feed dips, and whatever hangs on it loses its voltage."""
    axis = cuts(toss, good, supply="supply24", for_=ms(50))
    assert {case.scenario.stimuli[:-1] for case in axis.cases} == {good.stimuli}
    assert [case.scenario.stimuli[-1] for case in axis.cases] == [
        Stimulus(case.at, "supply24", "dip", 0.05) for case in axis.cases
    ]


def test_the_cases_of_phases_and_periods(toss, good):
    """Phases: even steps within one scan. Periods: each whole millisecond and both ends, or so many steps."""
    assert [case.scenario.phase for case in phases(toss, good, steps=4).cases] == [ms("2.5"), ms(5), ms("7.5")]
    given = [case.at for case in periods(toss, good, ms("2.5"), ms(6)).cases]
    assert given == [ms("2.5"), ms(3), ms(4), ms(5), ms(6)]
    assert [case.at for case in periods(toss, good, ms(5), ms(50), steps=4).cases] == [ms(5), ms(20), ms(35), ms(50)]
    assert len(periods(toss, good, ms(5), ms(500)).cases) == 100
    [(setup, _)] = with_period(toss, "main", ms(25)).controllers[0].tasks
    assert (setup.period, toss.controllers[0].tasks[0][0].period) == (ms(25), ms(10))


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (lambda m, s: cuts(m, s, controller="plusses"), "comet_toss has no controller 'plusses'"),
        (lambda m, s: cuts(m, s, supply="suply24"), "comet_toss has no supply 'suply24'"),
        (lambda m, s: phases(m, s, steps=1), "a scan cannot be gone through in 1 steps"),
        (lambda m, s: periods(m, s, ms(50), ms(5)), "50 ms to 5 ms in these steps is no range of periods"),
    ],
)
def test_what_cannot_be_swept(toss, good, make, text):
    with pytest.raises(UsageError) as caught:
        make(toss, good)
    assert caught.value.what == text


def test_what_counts_as_a_change():
    """Everything that is not as in the base run, and nothing that is."""
    before = Told({"a": "held", "b": "broken", "c": "not exercised", "d": "held"}, ("x is 1",), ())
    after = Told({"a": "broken", "b": "broken", "c": "held", "d": "not exercised"}, ("x is 1", "y is 2"), ("it fails",))
    assert list(_changes(before, after)) == [
        Change("failed", "it fails"),
        Change("broken", "a"),
        Change("exercised", "c"),
        Change("not exercised", "d"),
        Change("unmet", "y is 2"),
    ]


def test_the_step_just_before():
    """A scan at which a step is entered was begun in the step before."""
    steps = [StepRecord("c", "off", Ns(0), seconds(2)), StepRecord("c", "on", seconds(2), None)]
    assert [step_at(steps, at) for at in (Ns(0), seconds(1), seconds(2), seconds(3))] == ["-", "off", "off", "on"]


def test_side_by_side_makes_a_range():
    """Cases next to each other with one change make a range; a case without it ends it; each change has its own."""
    steps = [StepRecord("c", "off", Ns(0), seconds(3)), StepRecord("c", "on", seconds(3), None)]
    cases = [Case(seconds(n), Scenario("m")) for n in range(1, 7)]
    one, two = Change("broken", "a"), Change("unmet", "x is 1")
    spans = list(_spans(cases, [(), (one,), (one, two), (one, two), (), (one,)], steps))
    assert [(s.change, s.first.at, s.last.at, s.runs, s.steps) for s in spans] == [
        (one, seconds(2), seconds(4), 3, ("off", "on")),
        (one, seconds(6), seconds(6), 1, ("on",)),
        (two, seconds(3), seconds(4), 2, ("off", "on")),
    ]


@pytest.mark.slow
def test_one_core_or_two(toss, good):
    """Processes, each with the machine read anew, give the same answer as this one."""
    axis = cuts(toss, good)
    axis = type(axis)(axis.title, axis.at, axis.cases[::12], in_time=True)
    here, there = (sweep(toss, good, axis, processes=n) for n in (1, 2))
    assert here.spans == there.spans
    assert len(here.spans) > 10
    assert [processes_for(20), processes_for(20, 3)] == [1, 3]


@pytest.mark.slow
def test_a_long_scan_misses_the_beam(toss, good):
    """The return beam is broken for 15 to 40 ms: a scan of 10 ms never misses it, one of 50 ms does."""
    swept = sweep(toss, good, periods(toss, good, ms(5), ms(50), steps=10), processes=1)
    unmet = {span.change.what: span.first.at for span in swept.spans if span.change.kind == "unmet"}
    assert min(unmet.values()) > ms(15)
    assert swept.base.scenario == good


def test_nothing_happens_in_an_empty_story():
    """A machine that only stands there: its cuts change no expectation."""
    machine = Machine.load(SUMP)
    empty = Scenario("sump_pumps", length=seconds(5))
    swept = sweep(machine, empty, cuts(machine, empty), processes=1)
    assert [span.change for span in swept.spans if span.change.kind in ("broken", "failed", "unmet")] == []
