"""`simplant mutate`: the scores, what killed, survivors with what is missing, exit codes."""

import json

import pytest

from simplant.cli.main import main


@pytest.fixture
def ask(tmp_path, capsys, monkeypatch):
    """Give what runs the command and hands back its exit code and output."""
    monkeypatch.setenv("COLUMNS", "120")

    def run(*more):
        code = main(["mutate", *more, "--results", str(tmp_path / "r.sqlite")])
        return code, capsys.readouterr().out

    return run


@pytest.mark.slow
def test_a_sample(ask):
    """Both scores, a row for each kind, every survivor with what it needs; the JSON counts the same."""
    asked = ("sump_pumps", "--sample", "12", "--seed", "4")
    code, shown = ask(*asked)
    told = json.loads(ask(*asked, "--json")[1])
    became = [fate["became"] for fate in told["fates"]]
    assert (code, told["mutants"], len(became)) == (0, 12, 12)
    assert told["counted"] == became.count("killed") + became.count("survived")
    assert told["killed"] == became.count("killed") <= told["differed"] <= told["counted"]
    assert f"{told['killed']} of {told['counted']} mutants are killed by a rule or an expectation" in " ".join(
        shown.split()
    )
    assert shown.count("needs ") >= became.count("survived")
    for fate in told["fates"]:
        assert bool(fate["by"]) is (fate["became"] == "killed")
        assert bool(fate["needed"]) is (fate["became"] == "survived")


@pytest.mark.slow
def test_a_wanted_score(ask):
    """Exit code 1 if the score is missed: a story in which nothing happens kills little."""
    asked = ("sump_pumps", "--scenario", "pump_down", "--only", "timer", "--sample", "3")
    assert [ask(*asked, "--at-least", wanted)[0] for wanted in ("0.0001", "100.1")][1] == 1


def test_wrong_usage(capsys):
    assert main(["mutate", "comet_toss", "--scenario", "god_calls"]) == 2
    assert "comet_toss has no scenario 'god_calls'" in capsys.readouterr().err


@pytest.mark.slow
def test_a_program_in_text(ask):
    """Its mutants lead to lines of the text; the same sample is tried the same way."""
    asked = ("stamp_station", "--only", "reset", "--only", "coil", "--sample", "4", "--json")
    code, shown = ask(*asked)
    fates = json.loads(shown)["fates"]
    assert (code, len(fates)) == (0, 4)
    assert all(fate["place"].startswith("programs/stamp_station/logic.st:") for fate in fates)
    assert {fate["became"] for fate in fates} <= {"killed", "survived", "equivalent"}
