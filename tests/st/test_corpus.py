"""Files as many people write them: each does what its first line says (wanted.py).

Rule: what the standard has runs; what it has not is named, with what to write instead.
"""

import pytest

from simplant.errors import SimplantError
from simplant.logic.st.project import open_project
from simplant.logic.st.source_text import read_source
from tests.st.wanted import CORPUS, FILES, after, outcome, wanted


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


LOOSE = ("arrays_of_other_bounds", "input_written_inside", "inner_instance_read", "inputs_read_outside",
         "loose_in_small_things", "mixed_whole_and_real", "names_beyond_ascii", "names_like_blocks", "names_of_words",
         "string_parse_number")  # fmt: skip


@pytest.mark.parametrize("name", LOOSE)
def test_with_strict_what_is_loose_is_an_error(name):
    """The same mistakes at the same places; what the standard allows stays a warning."""
    found, strict = (open_project(CORPUS / f"{name}.st", strict=s).report.mistakes for s in (False, True))
    loose = [(m.place, m.what) for m in found if m.why == "not in IEC 61131-3"]
    assert loose
    assert [(m.place, m.what) for m in strict if m.severity == "error"] == loose
