"""A sweep of power cuts on comet_toss: nothing starts by itself as it is, and it does with a bug planted.

The planted bug: the chart is retained, so after a warm restart the machine goes on where it was. Rule: machines are
copied to a temporary folder and changed there.
"""

import json
from pathlib import Path
from shutil import copytree

import pytest

from simplant import Machine
from simplant.campaign import cuts, sweep
from simplant.cli.main import main
from simplant.scenario.read import read_scenario
from simplant.timebase import ms

GOOD = "scenarios/comet_toss/good_calls.toml"
START_RULES = ("nothing starts by itself", "no motion after the mode switch", "a stop removes drive power")
MOVING = ("home_lift", "home_left", "home_right", "raise", "aim", "toss", "leave")
"""Steps in which an axis is commanded or a ball is on its way, and a retained chart would go on."""

pytestmark = pytest.mark.slow


@pytest.fixture
def planted(tmp_path, monkeypatch):
    """A copy of comet_toss whose chart outlasts a power cut."""
    for part in ("programs", "scenarios"):
        copytree(Path(part) / "comet_toss", tmp_path / part / "comet_toss")
    monkeypatch.chdir(tmp_path)
    logic = tmp_path / "programs/comet_toss/logic.py"
    text = logic.read_text(encoding="utf-8")
    end_of_steps = '        Step("tripped"),\n    ])'
    assert text.count(end_of_steps) == 1
    logic.write_text(text.replace(end_of_steps, end_of_steps[:-1] + ", retain=True)"), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("restart", ["warm", "cold"])
def test_no_motion_restarts_by_itself(restart):
    """Whenever the power is cut in a good round of calls: it comes back, and the machine waits for a reset."""
    machine, scenario = Machine.load("programs/comet_toss"), read_scenario(GOOD)
    axis = cuts(machine, scenario, restart=restart, for_=ms(300))
    swept = sweep(machine, scenario, axis, processes=1)
    assert len(axis.cases) > 100
    assert [span.change for span in swept.found if span.change.what in START_RULES] == []
    assert [(s.runs, s.first.at) for s in swept.spans if s.change.what == "at the end cycle is 'off'"] == [
        (len(axis.cases), axis.cases[0].at)
    ]


def test_a_retained_chart_is_found(planted, capsys):
    """Each step in which something moves is told as a range in which motion starts by itself; the find replays."""
    assert main(["sweep", GOOD, "--cut-power", "--processes", "1", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    broken = [c for c in told["sweeps"][0]["changes"] if (c["kind"], c["what"]) == ("broken", START_RULES[0])]
    assert sorted({step for change in broken for step in change["steps"]}) == sorted(MOVING)
    found = "runs/comet_toss_sweep_nothing_starts_by_itself.toml"
    assert found in told["saved"]
    assert main(["replay", found]) == 1
    assert "rule 'nothing starts by itself' broken" in capsys.readouterr().out
