"""The failure table as a page, and in the page of a run: worst first, those alike in one row, nothing unescaped."""

import re

import pytest

from simplant.cli import main
from simplant.errors import UsageError
from simplant.report.failure_part import COLUMNS, failure_page, read_lines
from tests.plugin.tiny import FILES

LINES = [
    'good,door.open <b>,"loose, bent",ready,1,hazard,ends the same,guard,0.25,no fan (demanded),2.5',
    'good,door.open <b>,"loose, bent",warn,2,hazard,ends the same,guard; late,1.5,no fan (demanded),',
    "good,lamp.dark,burnt out,ready,1,nothing,ends the same,,,,",
]
TEXT = "\n".join([",".join(COLUMNS), *LINES])


def cells(html):
    rows = re.findall(r"<tr>(.*?)</tr>", html)
    return [[re.sub(r"<[^>]*>", "", cell) for cell in re.findall(r"<t[dh].*?</t[dh]>", row)] for row in rows]


def test_the_rows():
    """A fault that does the same in several steps is one row, with the span of times; first each kind is counted."""
    assert cells(failure_page("wind_tube", read_lines(TEXT, "f.csv"))) == [
        ["what the fault does", "runs", "faults"],
        ["hazard", "2", "1"],
        ["nothing", "1", "1"],
        ["fault", "cause", "begun in", "what it does", "noticed by", "runs"],
        ["door.open &lt;b&gt;", "loose, bent", "ready; warn", "no fan (demanded): ends the same",
         "guard after 0.25 s to 1.5 s", "2"],
        ["fault", "cause", "begun in", "what it does", "noticed by", "runs"],
        ["lamp.dark", "burnt out", "ready", "ends the same", "nobody", "1"],
    ]  # fmt: skip


@pytest.mark.parametrize(("text", "told"), [
    ("", r"f\.csv is no failure table\. Its columns would be way, fault"),
    ("a,b\n", r"f\.csv is no failure table\."),
    (TEXT + "\nx", r"f\.csv:5: the line has 1 fields, not 11"),
])  # fmt: skip
def test_what_is_no_table(text, told):
    """Told with its line, or with what it should be."""
    with pytest.raises(UsageError, match=told):
        read_lines(text, "f.csv")


def test_the_commands_write_it(tmp_path, monkeypatch):
    """`fmea --html` writes the page of what `--csv` has; `report --failures` shows the same rows below a run."""
    monkeypatch.chdir(tmp_path)
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert main(["fmea", "tiny", "lamp", "--csv", "t.csv", "--html", "t.html", "--processes", "1"]) in (0, 1)
    page = (tmp_path / "t.html").read_text(encoding="utf-8")
    assert main(["report", "scenarios/tiny/calm.toml", "--failures", "t.csv", "--out", "run.html"]) == 0
    of_run = (tmp_path / "run.html").read_text(encoding="utf-8")
    rows = cells(page)
    assert len(rows) > 3
    assert all(row in cells(of_run) for row in rows)
    assert "http" not in page.replace("http-equiv", "")
