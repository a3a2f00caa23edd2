"""Files as many people write them: each does what its first line says (wanted.py).

Rule: what the standard has runs; what it has not is named, with what to write instead.
"""

import pytest

from simplant.errors import SimplantError
from simplant.logic.st.source_text import read_source
from tests.st.wanted import FILES, after, outcome, wanted


@pytest.mark.parametrize("path", FILES, ids=[p.stem for p in FILES])
def test_it_does_what_its_first_line_says(path):
    """Read without a word, with a warning, or refused with the reason; run to the values given, compiled and walked."""
    want = wanted(read_source(path))
    kind, told = outcome(path)
    if want.kind == "fails":
        with pytest.raises(SimplantError) as caught:
            after(path, want)
        kind, told = "fails", str(caught.value)
        assert caught.value.place is not None, "a run-time error has a place"
    assert (kind, [t for t in want.texts if t.lower() not in told.lower()]) == (want.kind, []), told
    if kind in ("runs", "warning"):
        found = after(path, want)
        assert {n: v for n, (v, _) in found.items()} == {n: v for n, (_, v) in found.items()}
