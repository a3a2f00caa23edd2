"""The page: everything in one file, nothing fetched, nothing from a run taken for markup, safety always said."""

import re
import shutil
from html.parser import HTMLParser
from pathlib import Path

import pytest

from simplant.report.page import page
from simplant.report.safety import SAFETY
from simplant.report.shown import show_file

ROOT = Path(__file__).parents[2]
VOID = {"meta", "br", "link", "img", "input"}


class Reader(HTMLParser):
    """Holds a page to account: tags closed in order, headings, attributes that would fetch."""

    def __init__(self, text):
        super().__init__()
        self.open, self.headings, self.fetched, self.ids = [], [], [], []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attributes):
        if tag not in VOID:
            self.open.append(tag)
        for name, value in attributes:
            if name in ("src", "href", "action", "data", "srcset", "poster") and not value.startswith("#"):
                self.fetched.append((tag, name, value))
            if name == "id":
                self.ids.append(value)

    def handle_startendtag(self, tag, attributes):
        self.handle_starttag(tag, attributes)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open and self.open[-1] in ("h1", "h2", "h3"):
            self.headings.append(data)


@pytest.fixture(scope="module")
def shown():
    return show_file(ROOT / "scenarios/comet_toss/stuck_limit.toml", {})


def test_a_page_shows_the_whole_run(shown):
    """Headings in order; verdicts with words, the alarm as first-out, the path, the ledger, the scenario's own text."""
    text = page([shown])
    reader = Reader(text)
    assert reader.headings == [
        shown.title,
        "Timing",
        "Rules",
        "Faults and forces",
        "Alarms",
        "Path through the program",
        "Chart cycle",
        "Balls",
        "Events",
        "Scenario, and how to run it again",
    ]
    assert all(verdict.rule in text for verdict in shown.run.verdicts if "&" not in verdict.rule)
    assert "✓ held" in text
    assert "first-out" in text
    assert 'machine = "comet_toss"' in text
    assert "simplant replay" in text
    assert SAFETY in text


def test_a_page_fetches_nothing(shown):
    """No address, no source, no import; and the page's own policy forbids it."""
    text = page([shown])
    assert Reader(text).fetched == []
    assert "default-src 'none'" in text.replace("&#x27;", "'")
    assert re.findall(r"(?:https?:)?//\w[\w.]+/", text.replace("http://www.w3.org/", "")) == []
    assert "@import" not in text
    assert "url(" not in re.sub(r"url\(#to-\w+\)", "", text)


def test_what_a_run_says_is_never_markup(shown, tmp_path):
    """A scenario whose title closes a script stays text, in the page and in the data of its chart."""
    for folder in ("programs/comet_toss", "scenarios/comet_toss"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    path = tmp_path / "scenarios/comet_toss/odd.toml"
    bad = "</script><script>alert(1)</script><b title='&'>"
    path.write_text(f'machine = "comet_toss"\nlength = "5s"\ntitle = "{bad}"\n', encoding="utf-8")
    text = page([show_file(path, {})])
    Reader(text)
    assert bad not in text
    assert "alert(1)" in text


def test_several_runs_make_one_page(shown):
    """An overview with each result, then each run under its own heading and mark."""
    other = show_file(ROOT / "scenarios/sump_pumps/storm.toml", {})
    reader = Reader(page([shown, other]))
    assert reader.headings[0] == "2 runs"
    assert [h for h in reader.headings if h in (shown.title, other.title)] == [shown.title, other.title]
    own = [mark for mark in reader.ids if mark.startswith("run-")]
    assert own == ["run-0", "run-1"]


def test_a_stored_trace_is_shown_without_verdicts():
    """What only a run can tell is absent, and the page says so; the scenario beside the trace is shown."""
    shown = show_file(ROOT / "scenarios/comet_toss/left_turning.trace", {})
    text = page([shown])
    headings = Reader(text).headings
    assert "Rules" not in headings
    assert "Balls" not in headings
    assert "stored trace, not judged" in text
    assert "left_turning.toml" in text


def test_the_chart_is_there_without_a_script_and_as_a_table(shown):
    """The picture stands in the page before any script runs, has a name, and its changes stand in a table."""
    text = page([shown])
    plot = text[text.index('class="plot"') : text.index("Mouse, touch and keys")]
    assert 'role="img" aria-label="Timing chart: ' in plot
    assert "table_run_cmd" in plot
    assert "The chart as a table of changes" in text
    assert text.index("<td>table_run_cmd</td>") > 0
