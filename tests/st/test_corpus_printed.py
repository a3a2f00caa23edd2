"""The files of the corpus, printed in the canonical way: read again they are the same program, and do the same.

Printing is logic/st/printed.py. Rule: what has been read is never lost on paper.
"""

import pytest

from simplant.logic.st.parse import parse
from simplant.logic.st.printed import printed
from simplant.logic.st.report import Report
from simplant.logic.st.source_text import read_source
from tests.st.wanted import FILES, after, wanted

RUNNING = [path for path in FILES if wanted(read_source(path)).kind in ("runs", "warning")]


@pytest.mark.parametrize("path", RUNNING, ids=[p.stem for p in RUNNING])
def test_printed_it_does_the_same(path, tmp_path):
    """Printing, reading and printing gives the same text, and the same values when it runs."""
    text = read_source(path)
    once = printed(parse(Report(path.name, text)))
    assert printed(parse(Report(path.name, once))) == once
    copy = tmp_path / path.name
    copy.write_text(once, encoding="utf-8")
    found = after(copy, wanted(text))
    assert {n: v for n, (v, _) in found.items()} == {n: v for n, (_, v) in found.items()}
