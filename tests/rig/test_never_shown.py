"""What a folder of scenarios leaves unshown: rules never put to the test, accepted hazards that never occur."""

import json
import shutil
from pathlib import Path

import pytest

from simplant.cli import main
from simplant.rig.replay import never_shown, replay_file

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def copied(tmp_path, monkeypatch):
    for folder in ("programs/sump_pumps", "scenarios/sump_pumps"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")


def shown(*names):
    machines = {}
    return never_shown([replay_file(Path(f"scenarios/sump_pumps/{name}.toml"), machines) for name in names])


def test_two_lines_for_each_machine():
    """Rules that one scenario exercises are shown by another; hazards are told by their lines; no rest, no line."""
    by_one = shown("storm")
    assert by_one == (
        "sump_pumps: rules not exercised by any scenario: standby helps, high level calls the attendant,"
        " overflow calls the attendant, pumps start in turn, tripped pump 1 is not driven, pump 1 off is off,"
        " tripped pump 2 is not driven, pump 2 off is off",
        "sump_pumps: accepted hazards that occur in no scenario: hazards.csv, line 2, 3, 4, 5, 6, 7, 8, 9, 10",
    )
    assert shown("storm", "overload", "deluge", "by_hand", "stop_float_stuck", "welded", "pump_down") == (
        "sump_pumps: accepted hazards that occur in no scenario: hazards.csv, line 4, 5, 6, 7, 8, 9, 10",
    )
    Path("programs/sump_pumps/hazards.csv").write_text("rule,fault,reason,measure,who,date\n")
    assert len(shown("storm")) == 1


def test_a_folder_tells_what_it_leaves_unshown_and_a_single_run_its_own(capsys):
    """Warnings at the end, exit code 0; a few files named one by one are no folder; JSON has them too."""
    line = "warning: sump_pumps: accepted hazards that occur in no scenario: hazards.csv, line 4, 5, 6, 7, 8, 9, 10"
    assert main(["replay", "scenarios"]) == 0
    assert capsys.readouterr().out.splitlines()[-2:] == [line, "11 of 11 scenarios as expected"]
    storm, overload = (f"scenarios/sump_pumps/{name}.toml" for name in ("storm", "overload"))
    assert main(["replay", storm, overload]) == 0
    assert "warning" not in capsys.readouterr().out
    assert main(["replay", overload]) == 0
    assert [text for text in capsys.readouterr().out.splitlines() if text.startswith("warning")] == [
        "warning: not exercised in this run: standby helps, high level calls the attendant, overflow calls the"
        " attendant, pump 1 off is off, tripped pump 2 is not driven, pump 2 off is off"
    ]
    assert main(["replay", "scenarios", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [f"warning: {text}" for text in told["warnings"]] == [line]
    assert len(told["scenarios"]) == 11
