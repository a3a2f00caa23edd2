"""The law of the sleeping scan: nothing that can be seen tells whether scans were slept through.

Published outputs, image and memory changes and events of every-scan, sleeping, and sleeping with random extra
wakes are compared as whole traces; then each cause of waking is left out in turn, and must be missed.
"""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.chance import draw
from simplant.kernel.controller import Controller
from simplant.kernel.processor import Cause, Processor
from simplant.timebase import NEVER
from tests.kernel.kit import play
from tests.kernel.random_programs import random_case


def trace(case, *, sleep=True, extra=None, kind=Controller):
    setup = replace(case.setup, sleep=sleep)
    controller = kind(setup, case.tasks, ("a", "b", "c", "d"), case.outputs, {}, extra_wakes=extra)
    lines = play(controller, case.acts, case.until, case.wires)
    return lines, controller


@settings(max_examples=60, deadline=None)
@given(st.randoms(use_true_random=False), st.integers(0, 99))
def test_three_ways_to_scan_make_one_trace(rnd, seed):
    """Every scan, sleeping, and sleeping with random extra wakes: one trace."""
    check(random_case(rnd), seed)


@pytest.mark.parametrize("seed", range(60))
def test_three_ways_on_plain_seeds(seed):
    """The same law on cases of full size, which hypothesis draws seldom."""
    check(random_case(Random(seed)), seed)


def check(case, seed):
    every, awake = trace(case, sleep=False)
    asleep, sleeper = trace(case)
    assert asleep == every
    assert trace(case, extra=lambda task, k: draw(seed, task, k) < 0.2)[0] == every
    ran, slept = sleeper.counts(case.until)
    if not any(word in line for _, name, line in every if name == "!" for word in ("watchdog", "error")):
        assert (ran + slept, 0) == awake.counts(case.until)


def deaf_to(cause):
    """A controller that leaves out one cause of waking."""

    class Deaf(Processor):
        def wake(self, task, earliest, why):
            if why is not cause:
                super().wake(task, earliest, why)

        def _rest(self, task, due):
            super()._rest(task, NEVER if cause == "due" else due)

    class DeafController(Controller):
        PROCESSOR = Deaf

    return DeafController


@pytest.mark.parametrize("cause", ["due", *Cause], ids=str)
def test_each_cause_of_waking_is_needed(cause):
    """A controller that is deaf to one cause gives another trace, in some of a few dozen cases."""
    cases = [random_case(Random(seed)) for seed in range(60)]
    wrong = sum(trace(case, kind=deaf_to(cause))[0] != trace(case)[0] for case in cases)
    assert wrong >= 3


class PlainlyEqual(Controller):
    """A controller that takes -0.0 for 0.0."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for task in self.tasks:
            task.same = None


def test_real_values_are_compared_by_their_bits():
    """A controller that compares with `==` alone sleeps through a change of sign, in some of many cases."""
    cases = [random_case(Random(seed)) for seed in range(200)]
    assert any(trace(case, kind=PlainlyEqual)[0] != trace(case)[0] for case in cases)
