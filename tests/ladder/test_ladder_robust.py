"""Nothing that is drawn makes the reader crash or hang: it is read, or told what is wrong with it.

The drawings are fuzzed.py; a long campaign is `python -m tests.ladder.fuzz_long`.
"""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ladder.fuzzed import read, text_of
from tests.ladder.trees import DECLARED


@given(st.text(max_size=100))
def test_any_text(text):
    """Any letters at all, also without a program around them."""
    read(text)
    read(DECLARED.format("|" + text + "\n"))


@given(st.randoms(use_true_random=False))
def test_damaged_drawings(rnd):
    """Rungs of our programs with letters out, in or changed, rows moved; letters, pieces and grids of no sense."""
    read(text_of(rnd))


def test_the_drawings_reach_all_of_the_reader():
    """Among plain seeds some can run and most cannot, so both ends are looked at."""
    ends = [read(text_of(Random(seed))) for seed in range(150)]
    assert 2 < sum(ends) < 110


DEEP = {
    "branches": lambda: "\n".join(
        ["|" + "  |" * n + "  b" + "\n|" + "  |" * n + "--| |--+" for n in range(400)]
    ),
    "long line": lambda: "|  a\n+--| |" + "-" * 100_000 + "( )\n",
    "contacts": lambda: "|" + "  a  " * 3000 + "  b\n+" + "--| |" * 3000 + "--( )\n",
    "rungs": lambda: "|  a   b\n+--| |-( )--+\n\n" * 2000,
    "boxes": lambda: "|" + " +---+" * 2000 + "\n|" + " | X |" * 2000 + "\n|" + " +---+" * 2000 + "\n",
    "comments": lambda: "(* " * 20_000 + "\n",
    "value": lambda: "|  +---+\n|  |ABS|\n|  " + "(" * 3000 + "--|IN |\n|  +---+\n",
    "arrows": lambda: "|  >more>--| |-->more>\n" * 300,
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("kind", DEEP)
def test_deep_and_long_drawings_are_read_or_told(kind):
    """No RecursionError, no endless work."""
    read(DECLARED.format(DEEP[kind]()))
