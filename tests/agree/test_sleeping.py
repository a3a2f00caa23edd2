"""The law of the sleeping scan for compiled programs: nothing that can be seen tells which scans were slept through.

The kernel alone, on programs made by hand, is tests/laws/test_sleeping_kernel.py; here the dues are the compiler's.
Rule: whole traces are compared; every scan, walked plainly, is the reference.
"""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.chance import draw
from simplant.logic.walk import walk_task
from tests.agree.programs import randoms
from tests.agree.stories import controller_of, random_story, told


def check(make, seed):
    """Tell one story five ways; `make(kind)` gives it with executables of a kind, all else alike."""
    case = make()
    awake, sleeper = controller_of(case, sleep=False), controller_of(case)
    every, asleep = told(case, awake), told(case, sleeper)
    assert asleep == every
    assert told(case, controller_of(case, extra=lambda task, k: draw(seed, task, k) < 0.2)) == every
    walked = make(make=walk_task)
    assert told(walked, controller_of(walked)) == every
    (ran, slept), (all_scans, none) = sleeper.counts(case.until), awake.counts(case.until)
    assert none == 0
    if not any(name == "!" and ("error" in text or "watchdog" in text) for _, name, text in every):
        assert ran + slept == all_scans
    return slept, all_scans


@given(st.integers(0, 2**32), st.integers(0, 99))
def test_sleeping_is_not_seen(story, seed):
    """Every scan, sleeping, sleeping with extra wakes, and walked: one trace, for any program and any story."""
    check(lambda **how: random_story(Random(story), tasks=1, acts=8, **how), seed)


@given(randoms())
def test_sleeping_is_not_seen_in_small_stories(rnd):
    """The same law on stories that hypothesis can shrink."""
    case = random_story(rnd, tasks=1, acts=6)
    assert told(case, controller_of(case)) == told(case, controller_of(case, sleep=False))


@pytest.mark.parametrize("seed", range(40))
def test_sleeping_is_not_seen_on_plain_seeds(seed):
    """The same law with up to three tasks and long stories."""
    check(lambda **how: random_story(Random(seed), **how), seed)


def test_random_stories_do_sleep():
    """The stories are such that sleeping matters: more than a fifth of all scans is slept through."""
    counts = [
        check(lambda seed=seed, **how: random_story(Random(seed), opaque=False, **how), seed) for seed in range(12)
    ]
    assert sum(slept for slept, _ in counts) > 0.2 * sum(every for _, every in counts)
