"""Coverage in a page: the counts of the runs together, and each line with a gap; nothing for a stored trace."""

import re

from simplant.cli import main
from simplant.report.coverage_part import coverage_part
from simplant.report.shown import show_file
from simplant.rig.coverage import Coverage
from tests.plugin.tiny import FILES


def lay_out(folder):
    for name, text in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


def test_the_counts_and_the_gaps(tmp_path, monkeypatch):
    """The counts are those of the sheet; a rung that was never TRUE and FALSE stands with its line; HTML is escaped."""
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    short = (tmp_path / "scenarios/tiny/calm.toml").read_text(encoding="utf-8").replace("300ms", "50ms")
    (tmp_path / "scenarios/tiny/short.toml").write_text(short, encoding="utf-8")
    coverage = Coverage()
    show_file(tmp_path / "scenarios/tiny/short.toml", {}, coverage=coverage)
    told = coverage_part(coverage)
    (sheet,) = (sheet for sheets in coverage.sheets.values() for sheet in sheets.values())
    assert [int(n) for n in re.findall(r'<td class="number">(\d+)</td>', told)] == [
        n for count in sheet.counts().values() for n in (count.seen, count.all)
    ]
    assert "    6 |     p.rung(p.tags.lamp_cmd, held.Q)\n      | rung lamp_cmd was always FALSE" in told


def test_it_stands_in_the_page_of_runs(tmp_path, monkeypatch):
    """A page of scenarios has it; a page of a stored trace has not, and nothing else of the page is changed by it."""
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert main(["dryrun", "tiny", "--scenario", "calm", "--trace", "calm.trace"]) == 0
    assert main(["report", "scenarios/tiny/calm.toml", "--out", "run.html"]) == 0
    assert main(["report", "calm.trace", "--out", "trace.html"]) == 0
    run, trace = ((tmp_path / name).read_text(encoding="utf-8") for name in ("run.html", "trace.html"))
    assert ("<h2>Coverage</h2>" in run, "<h2>Coverage</h2>" in trace) == (True, False)
