"""The failure table: which cases there are, what a fault's facts mean, how rows, dictionary and groups come of them."""

import pytest

from simplant import Machine
from simplant.campaign.facts import Facts, facts_of
from simplant.campaign.failure_table import KINDS, alike, dictionary, effect_of, never_raised, table
from simplant.campaign.failures import START, FaultCase, Onset, Way, ask, cases_of, pairs_of, ways_of
from simplant.campaign.mutation import Fate, Score, Tried, score
from simplant.errors import UsageError
from simplant.faults import CatalogueEntry, FailureMode, Fault
from simplant.logic.mutate import mutants
from simplant.scenario.model import Expect, Scenario
from simplant.scenario.read import read_scenario
from simplant.timebase import Ns, ms, seconds

TOSS, SUMP = "programs/comet_toss", "programs/sump_pumps"


@pytest.fixture(scope="module")
def toss():
    return Machine.load(TOSS)


def entry(name):
    target, _, kind = name.partition(".")
    return CatalogueEntry(target, FailureMode(kind, "worn", "fails"))


RUN = Onset("run", seconds(2))
WAY = Way("good", Scenario("m", length=seconds(9)), (Onset(START, Ns(0)), RUN), "digest")
BASE = Facts(ends=(("c", "done"), ("made", "3")), trace="as it is")


def case(name="valve.stuck", onset=RUN):
    return FaultCase(WAY, ((entry(name), onset),))


def facts(**given):
    return Facts(**{"ends": BASE.ends, "trace": "otherwise", **given})


ALARM = ((seconds(3), "late"),)
STUCK = (("c", "run"), ("made", "3"))


@pytest.mark.parametrize(
    ("given", "kind", "told", "after"),
    [
        (facts(failed=("division by zero",)), "failed", "division by zero", None),
        (facts(broken=(("r", seconds(4), "demanded"),)), "hazard, unnoticed", "ends the same", None),
        (facts(broken=(("r", seconds(4), "demanded"),), alarms=ALARM), "hazard", "ends the same", seconds(1)),
        (facts(broken=(("r", seconds(4), "not demanded"),)), "hazard, not demanded, unnoticed", "ends the same", None),
        (facts(broken=(("r", -1, "accepted"),), alarms=ALARM), "hazard, accepted", "ends the same", seconds(1)),
        (
            facts(broken=(("r", 1, "accepted"), ("s", 1, "demanded"))),
            "hazard, unnoticed", "ends the same", None,
        ),
        (facts(ends=STUCK), "unavailable, unnoticed", "c run, not done", None),
        (facts(ends=STUCK, alarms=ALARM), "unavailable", "c run, not done", seconds(1)),
        (facts(ends=(("c", "done"),)), "unavailable, unnoticed", "no made", None),
        (facts(unmet=("at the end lamp is False",)), "unavailable, unnoticed", "at the end lamp is False", None),
        (facts(alarms=ALARM), "alarm only", "ends the same", seconds(1)),
        (facts(), "other course, unnoticed", "ends the same", None),
        (facts(trace="as it is"), "nothing, unnoticed", "nothing", None),
        (facts(trace="as it is", alarms=((seconds(1), "before"),)), "nothing, unnoticed", "nothing", None),
    ],
)  # fmt: skip
def test_what_facts_mean(given, kind, told, after):
    """The worst that happens counts; an alarm counts from the onset on."""
    effect = effect_of(case(), BASE, given)
    assert (effect.kind, effect.told, effect.after) == (kind, told, after)
    assert kind in KINDS


def test_what_is_so_without_the_fault_does_not_count():
    """Alarms, broken rules and failures of the way as it is are no effect of a fault."""
    base = Facts((((seconds(3)), "late"),), (("r", 5, "demanded"),), (), BASE.ends, ("x",), ("y",), "t")
    effect = effect_of(case(), base, base)
    assert (effect.kind, effect.rules, effect.alarms) == ("nothing, unnoticed", (), ())


def test_rows_worst_first():
    """Runs of one fault that do alike make a row; first what nothing notices."""
    start = Onset(START, Ns(0))
    effects = [
        effect_of(case("a.x"), BASE, facts()),
        effect_of(case("b.x", start), BASE, facts(alarms=ALARM, ends=STUCK)),
        effect_of(case("b.x"), BASE, facts(alarms=((seconds(5), "late"), (seconds(6), "more")), ends=STUCK)),
        effect_of(case("c.x"), BASE, facts(broken=(("r", 9, "demanded"),), alarms=ALARM)),
        effect_of(case("c.x", start), BASE, facts(broken=(("r", 9, "demanded"),))),
    ]
    rows = table(effects)
    assert [(row.first.fault, row.first.kind, row.onsets, row.after) for row in rows] == [
        ("c.x", "hazard, unnoticed", (START,), None),
        ("c.x", "hazard", ("run",), (seconds(1), seconds(1))),
        ("b.x", "unavailable", (START, "run"), (seconds(3), seconds(3))),
        ("a.x", "other course, unnoticed", ("run",), None),
    ]
    assert dictionary(effects) == {("late",): {"b.x": 1, "c.x": 1}, ("late", "more"): {"b.x": 1}}
    assert never_raised(("late", "never", "more"), effects) == ("never",)


def test_faults_that_cannot_be_told_apart():
    """Those with the same alarms wherever they begin; what raises none belongs to no group."""
    both = (Onset(START, Ns(0)), RUN)
    shown = {"a.x": (ALARM, ()), "b.x": (ALARM, ()), "c.x": (ALARM, ALARM), "d.x": ((), ()), "e.x": ((), ())}
    effects = [
        effect_of(case(name, onset), BASE, facts(alarms=alarms))
        for name, pair in shown.items()
        for onset, alarms in zip(both, pair, strict=True)
    ]
    assert alike(effects) == (("a.x", "b.x"),)


def test_ways_and_onsets(toss):
    """Only scenarios in which all goes well; from the start, and in the middle of the first stay in each step."""
    named = [(name, read_scenario(f"scenarios/comet_toss/{name}.toml")) for name in ("good_calls", "weak_wheel")]
    [way] = ways_of(toss, named)
    assert (way.name, way.onsets[0]) == ("good_calls", Onset(START, Ns(0)))
    begun = {onset.step: onset.at for onset in way.onsets[1:]}
    run = toss_run(toss, way.scenario)
    for record in {step.step: step for step in reversed(run.steps)}.values():
        until = run.ended if record.left is None else record.left
        assert record.entered <= begun.pop(record.step) < until
    assert begun == {}
    assert [each.name for each in ways_of(toss, named, named=True)] == ["good_calls", "weak_wheel"]
    with pytest.raises(UsageError):
        ways_of(toss, named[1:])


def toss_run(machine, scenario):
    from simplant.rig.outcome import run_scenario

    return run_scenario(machine, scenario)


def test_a_program_without_steps_has_its_outputs():
    """The onsets are the first time that each set of outputs is on."""
    machine = Machine.load(SUMP)
    [way] = ways_of(machine, [("pump_down", read_scenario("scenarios/sump_pumps/pump_down.toml"))])
    steps = [onset.step for onset in way.onsets]
    assert steps[:2] == [START, "outputs off"]
    assert any("run_cmd" in step for step in steps)
    assert len(set(steps)) == len(steps)


def test_the_cases(toss):
    """Each fault at each onset; a case's story is the way with that fault and nothing expected but its end."""
    entries = [e for e in toss.catalogue if e.target == "wheel"]
    [way] = ways_of(toss, [("good_calls", read_scenario("scenarios/comet_toss/good_calls.toml"))])
    cases = cases_of([way], entries)
    assert len(cases) == len(entries) * len(way.onsets) == len({c.depends for c in cases})
    story = cases[1].scenario
    assert story.faults == (entries[0].fault(way.onsets[1].at),)
    assert (story.stimuli, story.expect) == (way.scenario.stimuli, Expect(end=way.scenario.expect.end))


def test_what_is_there_from_power_up_begins_there(toss):
    """Wires that are mixed up, an arm that twitches: one case a way, at the start; each case lasts as its mode says."""
    entries = [e for e in toss.catalogue if e.target in ("gate", "pulses") or e.other]
    [way] = ways_of(toss, [("good_calls", read_scenario("scenarios/comet_toss/good_calls.toml"))])
    stories = [(case.faults[0][0].mode, case.scenario.faults[0]) for case in cases_of([way], entries)]
    assert {fault.onset for mode, fault in stories if mode.early} == {0}
    assert {mode.kind for mode, _ in stories if mode.early} == {"twitch", "swapped"}
    assert all(fault.duration == mode.lasts for mode, fault in stories)


def test_pairs_are_drawn(toss):
    """A latent fault from the start and another later; different ones, the same for a seed, no more than wanted."""
    entries = [entry(f"part.kind_{n}") for n in range(6)]
    pairs = pairs_of([WAY], {"good": entries[:2]}, entries, 8, 3)
    assert len(pairs) == 8 == len({pair.depends for pair in pairs})
    for pair in pairs:
        (first, begun), (second, _) = pair.faults
        assert (first in entries[:2], begun.step, first is second) == (True, START, False)
    assert [p.depends for p in pairs] == [p.depends for p in pairs_of([WAY], {"good": entries[:2]}, entries, 8, 3)]
    assert len(pairs_of([WAY], {"good": entries[:2]}, entries, 1000, 3)) == 2 * 5 * 2
    assert pairs_of([WAY], {}, entries, 8, 3) == []


def test_facts_of_a_fault_that_is_noticed(toss):
    """A left limit that never comes: home is not found, the alarm says so, and no ball is tossed."""
    good = read_scenario("scenarios/comet_toss/good_calls.toml")
    [way] = ways_of(toss, [("good_calls", good)])
    lost = next(e for e in toss.catalogue if str(e) == "limit_left.stuck_off")
    of_it = FaultCase(way, ((lost, way.onsets[0]),))
    assert of_it.scenario.faults == (Fault("limit_left", "stuck_off", Ns(0)),)
    effect = effect_of(of_it, ask(toss, FaultCase(way)), ask(toss, of_it))
    assert (effect.alarms, "cycle tripped" in effect.told, "tosses 0" in effect.told) == (("home_lost",), True, True)
    assert effect.kind in ("unavailable", "hazard, accepted")


def test_facts_of_a_plant_that_fails(toss):
    """A run that cannot be done is a fact of its own, not an error of the campaign."""
    facts = facts_of(toss, Scenario("comet_toss", parameters={"wheel.no_such": 1.0}, length=ms(10)))
    assert (len(facts.failed), facts.trace) == (1, "")


def test_the_score():
    """Killed of those that count; what only differed is counted apart; equal and refused ones do not count."""
    one = mutants(Machine.load(SUMP).program)[0]
    fates = [
        Fate("killed", "a", "r", rule=True, differed=("a",)), Fate("killed", "b", "x", differed=("b",)),
        Fate("survived", differed=("a",)), Fate("survived"), Fate("equivalent", how="same"), Fate("refused", how="no"),
    ]  # fmt: skip
    tried = [Tried("main", one, fate) for fate in fates]
    assert score(tried) == Score(2, 3, 4)
    assert score(tried).bounds == pytest.approx((0.06758599, 0.93241401), abs=1e-8)
    assert tried[2].needed == "a rule or expectation on what differs in a"
