"""Laws of the reducer: what it gives back still shows the same, and nothing can be left out of it.

The rules of real machines are not needed here: what is wrong is said by a small function. Rule: 1-minimal, always.
"""

from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.faults import Fault
from simplant.fuzz import Decoder, story_by_seed
from simplant.fuzz.reduce import reduced, things
from simplant.rig.machine import Machine
from simplant.scenario.model import Scenario, Stimulus
from simplant.timebase import NEVER, Ns, ms, seconds
from tests.quality.reducing import without


@cache
def decoder() -> Decoder:
    return Decoder(Machine.load("programs/comet_toss"))


def names(scenario: Scenario) -> set[str]:
    return {f"{type(t).__name__} {getattr(t, 'on', '') or getattr(t, 'target', '')}" for t in things(scenario)}


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.data())
def test_a_reduced_scenario_is_one_minimal(number, data):
    """Some of what happens is needed, in whatever order and number: all of that is left and nothing else."""
    scenario = decoder().scenario(story_by_seed(2, number, *decoder().sizes))
    there = sorted(names(scenario))
    needed = set(data.draw(st.lists(st.sampled_from(there), max_size=3))) if there else set()
    tried = 0

    def wrong(given: Scenario) -> bool:
        nonlocal tried
        tried += 1
        return needed <= names(given)

    small = reduced(scenario, seconds(30), wrong)
    assert wrong(small)
    assert not any(wrong(without(small, n)) for n in range(len(things(small))))
    assert (small.parameters, small.seed) == ({}, 1)
    assert small.length <= seconds(40)
    assert all(getattr(t, "at", getattr(t, "onset", None)) == 0 for t in things(small))
    assert tried < 400


def test_times_become_early_and_round():
    """A press after 12.3 s, and a fault within a second of it: both come at a whole second, the fault for good."""
    scenario = Scenario(
        "comet_toss",
        stimuli=(Stimulus(Ns(17_377_123_000), "start", "press", duration=ms(1234)),),
        faults=(Fault("start", "held", Ns(17_777_123_000), duration=ms(777)),),
        parameters={"lift.top": 1.0},
    )

    def wrong(given: Scenario) -> bool:
        late = given.stimuli and given.stimuli[0].at > ms(12_300)
        return bool(late and given.faults and abs(given.faults[0].onset - given.stimuli[0].at) < seconds(1))

    small = reduced(scenario, seconds(18), wrong)
    assert [(s.at, s.duration) for s in small.stimuli] == [(seconds(17), ms(200))]
    assert [(f.onset, f.duration) for f in small.faults] == [(seconds(17), NEVER)]
    assert small.parameters == {}
    assert small.length == ms(18_100)
