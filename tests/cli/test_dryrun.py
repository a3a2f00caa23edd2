"""`simplant dryrun` and `simplant replay` as a user calls them: exit codes, files written, the JSON form."""

import json
import shutil
import time
from pathlib import Path

import pytest

from simplant.cli import main
from simplant.scenario.read import read_scenario
from simplant.scenario.trace import Trace

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def copied(tmp_path, monkeypatch):
    skip = shutil.ignore_patterns("__pycache__")
    for folder in ("programs/comet_toss", "scenarios/comet_toss"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=skip)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "120")
    return tmp_path


def called(capsys, *arguments):
    code = main(arguments)
    return code, capsys.readouterr().out


def test_a_dry_run_tells_everything(capsys):
    """Without options: steps, chart, alarms, rules with margins, balls, counts, scans, events, where the trace is."""
    code, out = called(capsys, "dryrun", "programs/comet_toss")
    assert code == 0
    for part in ("Steps", "Timing", "Alarms", "Rules:", "Balls", "Counts", "Scans", "Events", "risk assessment"):
        assert part in out
    assert "everything that was demanded held" in out
    assert str(Path("runs/comet_toss-good_calls-1.trace")) in out
    assert len(Trace.read("runs/comet_toss-good_calls-1.trace").rows) > 400


def test_the_json_form_says_the_same(capsys):
    """`--json` prints one JSON document with the same facts and no other line."""
    code, out = called(capsys, "dryrun", "programs/comet_toss", "--json")
    told = json.loads(out)
    assert code == 0
    assert told["findings"] == []
    assert {c["name"]: c["value"] for c in told["counts"]} == {"tosses": 3, "catches": 3, "misses": 0}
    assert [b["where"] for b in told["balls"]] == ["at_gate", "queued", "queued"]
    assert {s["controller"] for s in told["scans"]} == {"main", "pulses"}
    assert told["steps"][-1] == {
        "chart": "cycle",
        "step": "wait",
        "entered_ns": told["steps"][-1]["entered_ns"],
        "left_ns": None,
    }


def test_exports_and_the_saved_scenario(capsys, copied):
    """`--trace --vcd --csv --save` each write their file; the saved scenario replays to the same trace."""
    files = ("--trace", "t.trace", "--vcd", "t.vcd", "--csv", "t.csv", "--save", "scenarios/comet_toss/again.toml")
    assert called(capsys, "dryrun", "programs/comet_toss", "--for", "26s", "--seed", "5", *files)[0] in (0, 1)
    saved = read_scenario("scenarios/comet_toss/again.toml")
    assert (saved.seed, saved.length) == (5, 26_000_000_000)
    assert Path("t.vcd").read_text(encoding="utf-8").startswith("$")
    assert Path("t.csv").read_text(encoding="utf-8").startswith("time")
    called(capsys, "dryrun", "programs/comet_toss", "--scenario", "again", "--trace", "u.trace")
    assert Trace.read("u.trace").rows == Trace.read("t.trace").rows


def test_every_scan_gives_the_same_trace(capsys):
    """Running every scan changes the counts of scans and nothing else."""
    called(capsys, "dryrun", "programs/comet_toss", "--trace", "a.trace")
    _, out = called(capsys, "dryrun", "programs/comet_toss", "--every-scan", "--json", "--trace", "b.trace")
    assert Path("a.trace").read_bytes() == Path("b.trace").read_bytes()
    assert all(s["slept"] == 0 for s in json.loads(out)["scans"])


@pytest.mark.slow
def test_real_time_keeps_the_pace_of_the_clock(capsys):
    """A second of machine time in real time takes a second."""
    Path("empty.toml").write_text('machine = "comet_toss"\nlength = "1s"\n', encoding="utf-8")
    began = time.monotonic()
    code, _ = called(capsys, "dryrun", "programs/comet_toss", "--real-time", "--scenario", "empty.toml")
    assert code == 0
    assert time.monotonic() - began >= 1.0


def test_replay_finds_a_difference_and_accept_shows_it_first(capsys):
    """A changed program differs from its golden trace (exit 1); `--accept` shows it, renews it, then all is well."""
    scenario = "scenarios/comet_toss/missing_ball.toml"
    assert called(capsys, "replay", scenario, "--accept")[0] == 0
    assert called(capsys, "replay", scenario)[0] == 0
    logic = Path("programs/comet_toss/logic.py")
    logic.write_text(
        logic.read_text(encoding="utf-8").replace("seconds(15), on_limit", "seconds(14), on_limit"), encoding="utf-8"
    )
    code, out = called(capsys, "replay", scenario)
    assert code == 1
    assert "DIFFERENT" in out
    assert "cycle tripped" in out
    code, out = called(capsys, "replay", scenario, "--accept")
    assert code == 0
    assert "DIFFERENT" in out
    assert "renewed" in out
    assert called(capsys, "replay", scenario)[0] == 0


def test_accept_never_takes_a_newly_broken_rule(capsys):
    """If a rule breaks that was not expected to, the golden trace stays, exit code 1."""
    scenario = "scenarios/comet_toss/good_calls.toml"
    assert called(capsys, "replay", scenario, "--accept")[0] == 0
    golden = Path("scenarios/comet_toss/good_calls.trace")
    before = golden.read_bytes()
    logic = Path("programs/comet_toss/logic.py")
    text = logic.read_text(encoding="utf-8")
    logic.write_text(text.replace("cycle.time >= ms(1600)", "cycle.time >= ms(1100)"), encoding="utf-8")
    code, out = called(capsys, "replay", scenario, "--accept")
    assert code == 1
    assert "warned long enough" in out
    assert "FINDING      scenarios/comet_toss/good_calls.toml" in out
    assert "not renewed" in out
    assert golden.read_bytes() == before
