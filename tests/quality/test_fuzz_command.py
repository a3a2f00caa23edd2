"""`simplant fuzz` finds what was broken on purpose, makes it small, and writes what replays it.

Many planted bugs, seeds and steering come with the fuzzer's own quality tests. Rule: machines are copied to a
temporary folder and changed there.
"""

import json
from pathlib import Path
from shutil import copytree

import pytest

from simplant.cli.main import main
from simplant.scenario.read import read_scenario

RULES = """
from simplant.rules import never


def build(machine):
    t = machine.program.tags
    return [never(t.pump_1_run_cmd & t.pump_2_run_cmd, name="never both", faults="pair")]
"""


@pytest.fixture
def sump(tmp_path, monkeypatch):
    """A copy of sump_pumps of which is demanded what it does not do: the second pump never helps."""
    for part in ("programs", "scenarios"):
        copytree(Path(part) / "sump_pumps", tmp_path / part / "sump_pumps")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "160")
    folder = tmp_path / "programs/sump_pumps"
    (folder / "rules.py").write_text(RULES)
    table = (folder / "machine.toml").read_text(encoding="utf-8")
    (folder / "machine.toml").write_text(table.replace("rules.toml", "rules.py"), encoding="utf-8")
    (folder / "hazards.csv").write_text((folder / "hazards.csv").read_text().splitlines()[0] + "\n")
    return tmp_path


def test_a_find_is_small_and_replays(sump, capsys):
    """The planted rule is broken within 60 stories; the find is written, small, and breaks the rule when replayed."""
    assert main(["fuzz", "programs/sump_pumps", "--cases", "60", "--nominal", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["found"] == "never both"
    scenario = read_scenario(told["scenario"])
    assert len(scenario.stimuli) + len(scenario.faults) + len(scenario.power) <= 2
    assert scenario.parameters == {}
    assert main(["replay", told["scenario"]]) == 1
    assert "never both" in capsys.readouterr().out


def test_the_same_seed_finds_the_same(sump, capsys):
    """Two runs of one seed tell the same, word for word; it is an engineer's story."""
    outputs = []
    for _ in range(2):
        assert main(["fuzz", "programs/sump_pumps", "--cases", "60"]) == 1
        outputs.append(capsys.readouterr().out)
    assert outputs[0] == outputs[1]
    assert "RULE BROKEN: never both" in outputs[0]
    assert "again: simplant replay runs/sump_pumps-never_both.toml" in outputs[0]


def test_nothing_found_is_exit_code_0(capsys):
    """A few stories without tolerances break nothing in sump_pumps as it is."""
    assert main(["fuzz", "programs/sump_pumps", "--cases", "5", "--nominal"]) == 0
    assert "no story broke a rule" in capsys.readouterr().out


TWO_RULES = RULES.replace("]\n", ", never(t.horn, name='quiet', faults='pair')]\n")


def test_it_goes_on_to_finds_that_are_different(sump, capsys):
    """Each find differs from those before in what broke or what it needs; a story that has it all counts as again."""
    (sump / "programs/sump_pumps/rules.py").write_text(TWO_RULES)
    assert main(["fuzz", "programs/sump_pumps", "--cases", "60", "--finds", "9", "--save", "find.toml", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    finds = [(find["found"], tuple(find["with"])) for find in told["finds"]]
    assert len(finds) == len(set(finds)) >= 3
    assert {rule for rule, _ in finds} == {"never both", "quiet"}
    assert all(not (a != b and a[0] == b[0] and set(a[1]) <= set(b[1])) for n, b in enumerate(finds) for a in finds[:n])
    numbered = ["find.toml", *(f"find_{number}.toml" for number in range(2, len(finds) + 1))]
    assert [find["scenario"] for find in told["finds"]] == numbered
    assert sum(told["again"].values()) > 0
    assert (told["found"], told["scenario"]) == (finds[0][0], "find.toml")


def test_it_stops_at_as_many_finds_as_asked_for(sump, capsys):
    """Two are asked for, more there would be."""
    (sump / "programs/sump_pumps/rules.py").write_text(TWO_RULES)
    assert main(["fuzz", "programs/sump_pumps", "--cases", "60", "--finds", "2", "--save", "find.toml", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert [find["scenario"] for find in told["finds"]] == ["find.toml", "find_2.toml"]
