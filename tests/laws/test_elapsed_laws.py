"""A timer's ET as compiled lines equals what the block says of its state, in every state and for every preset."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.timebase import ms
from tests.st.running import scans

TEXT = """
PROGRAM p
VAR_INPUT i, again : BOOL; n : TIME; END_VAR
VAR_OUTPUT e : TIME; late, soon : BOOL; END_VAR
VAR t : KIND; END_VAR
IF again THEN t(IN := i, PT := n); END_IF;
e := t.ET;
late := t.ET >= T#20ms;
soon := n > t.ET;
END_PROGRAM
"""
steps = st.fixed_dictionaries(
    {"i": st.booleans(), "again": st.booleans(), "n": st.sampled_from([ms(-5), ms(0), ms(15), ms(20), ms(40)])}
)


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["TON", "TOF", "TP"])
@given(steps=st.lists(steps, min_size=1, max_size=12))
def test_elapsed(kind, steps):
    """Compiled and walked, scan by scan: the same ET, the same comparisons."""
    told = scans(TEXT.replace("KIND", kind), dict(enumerate(steps)), count=len(steps) + 3)
    assert all(0 <= row["e"] <= ms(40) for row in told)
