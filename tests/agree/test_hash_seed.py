"""A trace does not depend on the process that made it: another PYTHONHASHSEED, the same bytes.

What else could leak into a trace (the wall clock, `id()`, global chance) is kept out by the linter. Rule: two
processes are compared, since the seed of hashing is fixed when a process starts.
"""

import os
import subprocess
import sys

import pytest

DAY = """
import sys
from tests.agree.test_comet_toss_sleeping import comet_toss, random_day, text
sys.stdout.write(text(comet_toss(), random_day(0, faults=2)))
"""


def trace_under(hash_seed):
    """The trace that a new process makes under one seed of hashing."""
    environment = os.environ | {"PYTHONHASHSEED": hash_seed, "PYTHONPATH": ".", "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([sys.executable, "-c", DAY], env=environment, capture_output=True, text=True, check=True)
    return done.stdout


@pytest.mark.slow
def test_hash_seed_is_not_seen():
    """Sets and dicts in any order of hashing: the trace of a day with two faults is the same, byte for byte."""
    first = trace_under("1")
    assert len(first.splitlines()) > 100
    assert trace_under("2") == first
