"""Whatever stands in a text, its reader ends with what it says or with what is wrong with it.

The texts are fuzzed.py; a long campaign is `python -m tests.st.fuzz_long`. Rule: no exception but ours ever leaves it.
"""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.st.fuzzed import read, text_of


@pytest.mark.slow
@given(st.randoms(use_true_random=False))
def test_any_text(rnd):
    """Bytes, letters, words, programs with mistakes, things in things, patchwork."""
    read(text_of(rnd))


@given(st.binary(max_size=300))
def test_any_bytes(data):
    """Bytes as a file may hold them."""
    read(data.decode("utf-8", "replace"))


@pytest.mark.slow
def test_the_texts_reach_all_of_the_reader():
    """Among plain seeds some texts can run and most cannot, so both ends are looked at."""
    ends = [read(text_of(Random(seed))) for seed in range(110)]
    assert 2 < sum(ends) < 80


@pytest.mark.parametrize("seed", [317257, 420549, 609634])
def test_what_crashed_or_hung_once_is_told(seed):
    """An address with a dot behind a name; a reference to what could not be read; rows of no section."""
    assert not read(text_of(Random(seed)))
