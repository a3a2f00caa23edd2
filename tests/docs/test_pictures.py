"""The pictures of panel and report: made by their command, small, and fetching nothing."""

import re

import pytest

from tests.docs.pictures import PANEL, REPORT, panel_svg

pytest.importorskip("textual", reason="textual comes with the extra `panel`")


def texts(svg):
    """Give all text of a picture."""
    return " ".join(re.findall(r"<text[^>]*>(.*?)</text>", svg)).replace("&#160;", " ")


@pytest.mark.slow
def test_the_picture_is_made_by_its_command():
    """What the command makes now and what is stored show the same panes, and neither asks for anything."""
    for svg in (panel_svg(), PANEL.read_text(encoding="utf-8")):
        assert re.findall(r"(?:https?:)?//[\w.]+", svg) == ["http://www.w3.org"]
        assert len(svg) < 120_000
        shown = texts(svg)
        assert [
            word for word in ("desk", "plan", "alarms", "steps", "table.angle", "lamp_green") if word not in shown
        ] == []
        assert "comet_toss" in shown


def test_the_picture_of_a_report():
    """A small PNG."""
    stored = REPORT.read_bytes()
    assert (stored[:8], len(stored) < 200_000) == (b"\x89PNG\r\n\x1a\n", True)
