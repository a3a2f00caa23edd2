"""Dealing: nothing comes again before all has come once, and a story has no more faults than its rule bears.

What steering is worth is measured in tests/quality. Rule: laws of any seed; one machine of ours stands for all.
"""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant import Machine
from simplant.fuzz import Act, Cut, Decoder, Fail, Story
from simplant.fuzz.cover import covered
from simplant.fuzz.dealt import Dealer
from simplant.fuzz.deck import Deck, Dice
from simplant.fuzz.steer import Steering
from simplant.rig.outcome import run_scenario

MANY = 400

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def sump():
    return Machine.load("programs/sump_pumps")


@pytest.fixture(scope="module")
def decoder(sump):
    return Decoder(sump)


@given(st.lists(st.integers(0, 5), max_size=9), st.integers(0, 2**32), st.integers(1, 4))
def test_a_deck_is_dealt_whole_before_it_begins_anew(cards, seed, rounds):
    """Each round is a shuffle of all cards; the same seed deals the same; a deck without cards says so."""
    deck, other = Deck(cards), Deck(cards)
    assert bool(deck) == bool(cards)
    for number in range(rounds if cards else 0):
        dice, same = Dice(seed, f"{number}"), Dice(seed, f"{number}")
        dealt = [deck.deal(dice) for _ in cards]
        assert Counter(dealt) == Counter(cards)
        assert dealt == [other.deal(same) for _ in cards]


def happening(decoder: Decoder, story: Story) -> list[Act | Cut | Fail]:
    return [decoder.whats[number - 1] for number, _ in story.slots]


@pytest.mark.parametrize("bears", [(0, 0), (0, 1), (2,), ()])
def test_no_more_faults_than_some_rule_bears(decoder, bears):
    """None, one or two, as the rules have it, and one where there are no rules; all that is dealt happens."""
    dealer = Dealer(decoder, bears)
    most = Counter()
    for number in range(MANY):
        story = dealer.story(Dice(3, f"{number}"))
        kinds = Counter(type(what) for what in happening(decoder, story))
        most[kinds[Fail], kinds[Cut]] += 1
        scenario = decoder.scenario(story)
        assert len(scenario.faults) <= kinds[Fail]
        assert len(scenario.power) == kinds[Cut]
        assert len(scenario.faults) == 1 or kinds[Fail] != 1
    wanted = max(bears, default=1)
    assert set(most) == {(0, 1), *((n, 0) for n in range(min(bears, default=1) and 1, wanted + 1))}


def test_each_target_fails_before_any_fails_again(decoder):
    """The first faults dealt are of as many targets, then each comes again, with another fault if it has one."""
    dealer = Dealer(decoder, (1,))
    stories = (dealer.story(Dice(5, f"{number}")) for number in range(MANY))
    failed = [what for story in stories for what in happening(decoder, story) if isinstance(what, Fail)]
    faults = Counter(what.target for what in decoder.whats if isinstance(what, Fail))
    targets = len(faults)
    assert len({what.target for what in failed[:targets]}) == targets
    assert len({what.target for what in failed[targets : 2 * targets]}) == targets
    assert len(set(failed[: 2 * targets])) == sum(min(2, count) for count in faults.values())


def test_what_steering_tells_depends_on_seed_and_runs_alone(sump, decoder):
    """Two that learn the same tell the same; first the machine's own way of play, then each of them once."""
    one, two, other = (Steering(seed, decoder, (0, 1)) for seed in (1, 1, 2))
    told = []
    for number in range(20):
        story = one.story(number)
        assert story == two.story(number)
        told.append((story, other.story(number)))
        run = run_scenario(sump, decoder.scenario(story))
        for each in (one, two, other):
            each.learn(story, covered(run), {"a rule": 1 / (1 + number)})
    plays = len(decoder.plays)
    assert told[0][0] == told[0][1] == Story(play=1)
    assert sorted(story.play for story, _ in told[:plays]) == list(range(plays))
    assert all(a != b for a, b in told[1:])


def test_a_run_is_always_in_some_place(sump, decoder):
    """Places follow each other without a gap up to the end of the run."""
    run = run_scenario(sump, decoder.scenario(Story(play=1)))
    stays = covered(run).stays
    assert len({place for place, _, _ in stays}) > 2
    assert all(until == since for (_, _, until), (_, since, _) in pairwise(stays))
    assert stays[-1][2] == run.ended
