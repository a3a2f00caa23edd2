"""Laws of fuzz stories: what they are short for is a scenario that stands by itself, and simple ones are simple.

The table of what can happen is simplant/fuzz/whats.py. Rule: every machine of ours, any story.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import Phase, find, given, settings
from hypothesis import strategies as st

from simplant.faults import POWER_CUT, SWAPPED
from simplant.fuzz import Act, Cut, Decoder, Fail, Story, story_by_seed
from simplant.fuzz.draw import stories
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario
from simplant.scenario.read import parse_scenario
from simplant.scenario.write import scenario_text
from simplant.timebase import NEVER, ms, seconds
from simplant.wiring.supply import Supply

MACHINES = sorted(path.parent for path in Path("programs").glob("*/machine.toml"))
FEW = settings(max_examples=10, deadline=None)


@cache
def decoder(folder: Path) -> tuple[Machine, Decoder]:
    machine = Machine.load(folder)
    return machine, Decoder(machine)


def story(data, made: Decoder) -> Story:
    return data.draw(stories(*made.sizes))


@pytest.mark.parametrize("folder", MACHINES, ids=lambda path: path.name)
@FEW
@given(st.data())
def test_a_written_story_replays_to_the_same_trace(folder, data):
    """Decoded, written as a file and read back, a story is the same scenario and gives the same trace and verdicts."""
    machine, made = decoder(folder)
    scenario = made.scenario(story(data, made))
    again = parse_scenario(scenario_text(scenario), "story.toml")
    assert again == scenario
    first, second = run_scenario(machine, scenario), run_scenario(machine, again)
    assert list(first.trace) == list(second.trace)
    assert first.verdicts == second.verdicts


@pytest.mark.parametrize("folder", MACHINES, ids=lambda path: path.name)
@FEW
@given(st.data())
def test_sleeping_is_not_seen_in_stories(folder, data):
    """Every story runs to its end, whatever happens in it, and has one trace with every scan run or slept."""
    machine, made = decoder(folder)
    scenario = made.scenario(story(data, made))
    asleep, awake = run_scenario(machine, scenario), run_scenario(machine, scenario, every_scan=True)
    assert list(asleep.trace) == list(awake.trace)
    assert asleep.verdicts == awake.verdicts


@pytest.mark.parametrize("folder", MACHINES, ids=lambda path: path.name)
def test_what_can_happen_is_all_that_can_happen(folder):
    """Each action of each part, each controller's power and each entry of the catalogue has a number of its own.

    Nobody works a supply: what can go wrong with it is in the catalogue.
    """
    machine, made = decoder(folder)
    acts = {(w.on, w.do) for w in made.whats if isinstance(w, Act)}
    worked = {name: plan.kind for name, plan in machine.plans.items() if plan.kind is not Supply}
    assert acts == {(name, word) for name, kind in worked.items() for word in kind.ACTIONS}
    assert {w.controller for w in made.whats if isinstance(w, Cut)} == {c.name for c in machine.controllers}
    failing = [w for w in made.whats if isinstance(w, Fail)]
    plain = [f"{w.target}.{w.kind}" for w in failing if not w.other]
    assert plain == [str(entry) for entry in machine.catalogue if entry.mode not in (SWAPPED, POWER_CUT)]
    assert [(w.target, w.other) for w in failing if w.other] == [(a.name, b.name) for a, b in machine.io.swappable()]
    assert len(made.whats) <= 511


def test_the_simplest_story_is_a_machine_left_alone():
    """Nothing drawn: power comes, nothing else happens, every parameter is nominal."""
    _, made = decoder(Path("programs/comet_toss"))
    simplest = find(stories(*made.sizes), lambda _: True)
    assert made.scenario(simplest) == made.scenario(Story()) == Scenario("comet_toss", "A story by chance")


def test_a_story_shrinks_to_few_early_and_usual_things():
    """A fault in play, shrunk: one slot, at the first instant, for good, without noise, mask or phase."""
    _, made = decoder(Path("programs/comet_toss"))

    def welded(drawn: Story) -> bool:
        return any(f.kind == "welded" for f in made.scenario(drawn).faults)

    calm = settings(max_examples=2000, database=None, derandomize=True, phases=[Phase.generate, Phase.shrink])
    small = find(stories(*made.sizes), welded, settings=calm)
    assert sum(what > 0 for what, _ in small.slots) == 1
    assert replace(small, slots=()) == Story()
    assert [(f.kind, f.onset, f.duration) for f in made.scenario(small).faults] == [("welded", 0, NEVER)]


def test_faults_of_a_story_are_as_the_catalogue_says():
    """What is there from power-up begins there whenever it is drawn; without a span each lasts as its mode says."""
    machine, made = decoder(Path("programs/comet_toss"))
    usual = {str(entry): entry.fault(seconds(3)) for entry in machine.catalogue}
    for number, what in enumerate(made.whats, 1):
        if isinstance(what, Fail):
            (fault,) = made.scenario(Story(slots=((number, 300),))).faults
            mode = next(e.mode for e in machine.catalogue if str(e) == str(fault))
            assert (fault.onset, fault.duration) == (0 if mode.early else seconds(3), usual[str(fault)].duration)


def test_stories_by_seed_are_the_same_for_ever():
    """Bulk stories are a pure function of seed and number; every slot and word is used."""
    _, made = decoder(Path("programs/comet_toss"))
    many = [story_by_seed(7, number, *made.sizes) for number in range(3000)]
    assert many == [story_by_seed(7, number, *made.sizes) for number in range(3000)]
    whats, plays, instants = made.sizes
    assert {s.play for s in many} == set(range(plays))
    assert {what for s in many for what, _ in s.slots} == set(range(whats + 1))
    assert max(when for s in many for _, when in s.slots) < instants
    assert {span for s in many for span in s.spans} == set(range(16))
    assert story_by_seed(7, 0, *made.sizes) != story_by_seed(8, 0, *made.sizes)


def test_the_swarm_mask_leaves_out_kinds_and_counts_faults():
    """Its first byte says: any faults, one, or none, and acts in their place; its other bytes leave out kinds."""
    _, made = decoder(Path("programs/comet_toss"))
    many = [story_by_seed(3, number, *made.sizes) for number in range(60)]

    def told(mask: int) -> list[Scenario]:
        return [made.scenario(replace(s, mask=mask)) for s in many]

    any_, one, none, no_kind = (told(mask) for mask in (0, 0x50 << 24, 0xC0 << 24, 0xFFFFFF))
    assert sum(len(s.all_faults) for s in any_) > 100
    assert {len(s.all_faults) for s in one} == {0, 1}
    assert not any(s.all_faults for s in none)
    assert not any(s.faults for s in no_kind)
    for fewer, story in zip(none, many, strict=True):
        play = made.plays[story.play]
        assert len(fewer.stimuli) == len(play.stimuli) + sum(what > 0 for what, _ in story.slots)


def test_a_deviation_is_all_in_the_scenario():
    """From noise alone come parameters, places to start from, what was kept, jitter and ties; the nominal has none."""
    _, made = decoder(Path("programs/comet_toss"))
    many = [made.scenario(Story(noise=noise)) for noise in range(1, 200)]
    assert {s.ties > 0 for s in many} == {bool(s.scans) for s in many} == {True, False}
    assert {"table.start_angle", "lift.start_elevation", "wheel.start_speed", "mode.first"} <= {
        name for s in many for name in s.parameters
    }
    assert {s.retained.get("tosses") for s in many} == {None, 0, 1, 32766, 32767}
    assert all(not scans.period and 0 < scans.jitter <= ms(1) for s in many for scans in s.scans.values())
    nominal = Decoder(Machine.load("programs/comet_toss"), nominal=True).scenario(Story(noise=77))
    assert nominal == replace(Scenario("comet_toss", "A story by chance"), seed=77)
