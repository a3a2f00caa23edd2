"""Drawing and reading ladders: what is drawn is read, and drawn the same again."""

import pytest
from hypothesis import given, settings

from simplant.logic.ladder.draw import draw
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.report import Report
from tests.ladder.trees import DECLARED, ladders


def read(text, name="t.ladder"):
    report = Report(name, text)
    file = read_ladder(report)
    assert [report.told(m) for m in report.mistakes] == []
    return file


def redrawn(text):
    """Give the drawing of the first unit of a source."""
    return draw(read(text).units[0].body)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(ladders(back=False))
def test_draw_read_draw_is_the_same(ladder):
    """The drawing of any ladder is read without a mistake, and drawn again as it was."""
    text = draw(ladder)
    if "|" in text:
        assert redrawn(DECLARED.format(text)) == text
