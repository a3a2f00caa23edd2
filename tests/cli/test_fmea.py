"""`simplant fmea`: the table, CSV, JSON, the dictionary, exit codes; the same from one process and from two."""

import csv
import json

import pytest

from simplant.cli.main import main

ASKED = ["fmea", "comet_toss", "limit_left", "--scenario", "good_calls"]


@pytest.fixture
def ask(tmp_path, capsys, monkeypatch):
    """Give what runs the command and hands back its exit code and output; results are kept for the test."""
    monkeypatch.setenv("COLUMNS", "120")

    def run(*more):
        code = main([*ASKED, "--results", str(tmp_path / "r.sqlite"), *more])
        return code, capsys.readouterr().out

    return run


@pytest.mark.slow
def test_table_and_dictionary(ask):
    """A lost limit is noticed as home not found, in the steps before it is needed."""
    code, shown = ask()
    assert code in (0, 1)
    text = " ".join(shown.split())
    assert "limit_left.stuck_off" in text
    assert "home_lost after" in text
    assert "of one way of use" in text
    _, told = ask("--dictionary")
    assert "Faults that the alarms cannot tell apart" in told
    assert any(line.split()[0] == "home_lost" for line in told.splitlines() if line.strip())


@pytest.mark.slow
def test_json_and_csv_say_the_same(ask, tmp_path):
    """A line for each run; the rows of the table count them all; each line's kind is that of a row."""
    path = tmp_path / "t.csv"
    code, out = ask("--json", "--csv", str(path))
    told = json.loads(out)
    lines = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    onsets = told["ways"]["good_calls"]
    faults = {row["fault"] for row in told["rows"]}
    assert len(lines) == told["runs"] == len(onsets) * len(faults) == sum(row["runs"] for row in told["rows"])
    assert {(line["fault"], line["kind"]) for line in lines} == {(row["fault"], row["kind"]) for row in told["rows"]}
    assert code == int(any(row["kind"].startswith("hazard") and "," not in row["kind"] for row in told["rows"]))
    assert ask("--json")[1] == out


@pytest.mark.slow
def test_two_processes(ask, tmp_path, capsys):
    """The answer is that of one process."""
    _, here = ask("--json", "--processes", "1")
    main([*ASKED, "--results", str(tmp_path / "other.sqlite"), "--json", "--processes", "2"])
    assert capsys.readouterr().out == here


@pytest.mark.slow
def test_pairs(ask):
    """Latent faults and another: their runs come on top, told with both names."""
    alone, both = (json.loads(ask("--json", *more)[1]) for more in ((), ("--pairs", "20")))
    assert both["runs"] == alone["runs"] + 20
    pairs = [row["fault"] for row in both["rows"] if " + " in row["fault"]]
    assert len(pairs) > 3


def test_wrong_usage(capsys):
    assert main(["fmea", "comet_toss", "limit_lef"]) == 2
    assert "nothing named 'limit_lef' can fail. Close in spelling: limit_left" in " ".join(
        capsys.readouterr().err.split()
    )
