"""Random Structured Text programs: the compiled program and the walker agree in every value and every error.

The author is st_programs.py. Rule: a program that is made is accepted, whatever it does when it runs.
"""

import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.errors import SimplantError
from simplant.logic.compile import compile_task
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from simplant.timebase import ms
from tests.agree.st_programs import StAuthor

SCANS = 4


def told(task, layout):
    """Give the values after each scan, with their Python types, REAL by its bits; an error ends it."""
    state, rows = task.initial, []
    for number in range(SCANS):
        try:
            state, _ = task.run((), state, number * ms(10))
        except SimplantError as error:
            return [*rows, (type(error).__name__, error.what, error.why, error.mend, str(error.place))]
        rows.append([(s.name, type(v), v.hex() if isinstance(v, float) and not math.isnan(v) else str(v))
                     for s, v in zip(layout.slots, state, strict=True)])  # fmt: skip
    return rows


def agree(text):
    """Run a file both ways; give how it ended."""
    project = Project(text, "random.st")
    project.report.raise_errors()
    (layout,) = lay_out(project, "main").layouts
    fast, plain = told(compile_task(layout), layout), told(walk_task(layout), layout)
    assert fast == plain
    return fast[-1]


@pytest.mark.slow
@given(st.randoms(use_true_random=False))
def test_compiled_and_walked_agree(rnd):
    """Types, functions, blocks, loops, arrays, texts, in any combination."""
    agree(StAuthor(rnd).file())


@pytest.mark.slow
def test_plain_seeds_come_far():
    """Most programs run to their last scan, and some do not: both ends of the law are looked at."""
    ends = [agree(StAuthor(Random(seed)).file()) for seed in range(40)]
    failed = sum(isinstance(end, tuple) for end in ends)
    assert 0 < failed < 30
