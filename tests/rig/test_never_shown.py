"""What a folder of scenarios leaves unshown: rules never put to the test, accepted hazards that never occur."""

import json
import shutil
from pathlib import Path

import pytest

from simplant.cli import main
from simplant.rig.replay import never_shown, replay_file

ROOT = Path(__file__).parents[2]
HAZARDS = """\
rule,fault,reason,measure,who,date
pump * never runs dry or pumps stop at the stop level,stop_float.stuck_on + duty_float.stuck_on or none,r,m,w,2026-03-02
pump 1 off is off or pump 1 never runs dry or pumps stop at the stop level or pumps give up below the stop level,\
contactor_1.welded,r,m,w,2026-03-02
high level calls the attendant,telemetry.bouncing,r,m,w,2026-03-02
"""
NEVER_SHOWN = (
    "sump_pumps: accepted hazard that occurs in no scenario: high level calls the attendant under telemetry.bouncing"
)


@pytest.fixture(autouse=True)
def copied(tmp_path, monkeypatch):
    for folder in ("programs/sump_pumps", "scenarios/sump_pumps"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    tmp_path.joinpath("programs/sump_pumps/hazards.csv").write_text(HAZARDS, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")


def shown(*names):
    machines = {}
    return never_shown([replay_file(Path(f"scenarios/sump_pumps/{name}.toml"), machines) for name in names])


def test_lines_for_each_machine():
    """Rules that one scenario exercises are shown by another; hazards are told by rule and fault; no rest, no line."""
    assert shown("storm") == (
        "sump_pumps: rules not exercised by any scenario: standby helps, high level calls the attendant,"
        " overflow calls the attendant, pumps start in turn, tripped pump 1 is not driven, pump 1 off is off,"
        " tripped pump 2 is not driven, pump 2 off is off",
        "sump_pumps: accepted hazard that occurs in no scenario: pump 1 never runs dry or pump 2 never runs dry or"
        " pumps stop at the stop level under stop_float.stuck_on + duty_float.stuck_on or none",
        "sump_pumps: accepted hazard that occurs in no scenario: pump 1 off is off or pump 1 never runs dry or"
        " pumps stop at the stop level or pumps give up below the stop level under contactor_1.welded",
        NEVER_SHOWN,
    )
    assert NEVER_SHOWN.replace("telemetry", "contactor_1") not in shown("storm", "welded")
    Path("programs/sump_pumps/hazards.csv").write_text("rule,fault,reason,measure,who,date\n")
    assert len(shown("storm")) == 1


def test_a_folder_tells_what_it_leaves_unshown_and_a_single_run_its_own(capsys):
    """Warnings at the end, also in JSON; a few files named one by one are no folder."""
    main(["replay", "scenarios"])
    assert f"warning: {NEVER_SHOWN}" in capsys.readouterr().out.splitlines()[-3:-1]
    storm, overload = (f"scenarios/sump_pumps/{name}.toml" for name in ("storm", "overload"))
    assert main(["replay", storm, overload]) == 0
    assert "warning" not in capsys.readouterr().out
    assert main(["replay", overload]) == 0
    assert [text for text in capsys.readouterr().out.splitlines() if text.startswith("warning")] == [
        "warning: not exercised in this run: standby helps, high level calls the attendant, overflow calls the"
        " attendant, pump 1 off is off, tripped pump 2 is not driven, pump 2 off is off"
    ]
    main(["replay", "scenarios", "--json"])
    told = json.loads(capsys.readouterr().out)
    assert told["warnings"][-1] == NEVER_SHOWN
    assert len(told["scenarios"]) == len(list(Path("scenarios").rglob("*.toml")))
