"""sump_pumps in Structured Text (programs/sump_pumps/logic.st) does what it does in Python, in every scenario.

Rule: equal traces, line by line; who changes one of the two programs changes the other.
"""

import shutil
from pathlib import Path

import pytest

from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.scenario.read import read_scenario

FOLDER = Path("programs/sump_pumps")
SCENARIOS = sorted(Path("scenarios/sump_pumps").glob("*.toml"))
IN_PYTHON = Machine.load(FOLDER)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    copy = tmp_path_factory.mktemp("twin") / "sump_pumps"
    shutil.copytree(FOLDER, copy)
    file = copy / "machine.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("[machine]", '[machine]\nlogic = "logic.st"', 1))
    return copy


@pytest.fixture(scope="module")
def in_text(folder):
    return Machine.load(folder)


def lines(machine, scenario, **options):
    rig = Rig(machine, scenario, **options)
    rig.run()
    return [line for line in rig.trace.text().splitlines() if not line.startswith("#")], rig


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_the_same_trace(path, in_text):
    """Every tag and every truth at every instant; and what is expected of a run, its alarms too, is met by both."""
    scenario = read_scenario(path)
    written, other = lines(IN_PYTHON, scenario)[0], lines(in_text, scenario)[0]
    assert written == other


def test_it_sleeps_and_need_not(in_text):
    """With every scan run, the trace is the same."""
    scenario = read_scenario(SCENARIOS[0])
    asleep, awake = lines(in_text, scenario), lines(in_text, scenario, every_scan=True)
    assert asleep[0] == awake[0]


def test_the_same_names_for_rules_and_scenarios(in_text):
    """Memory tags, alarms and the first-out are there under the same names."""
    ours, theirs = in_text.program, IN_PYTHON.program
    assert set(ours.declared) == set(theirs.declared)
    (mine,), (other,) = ours.alarm_tables, theirs.alarm_tables
    assert [a.name for a in mine.alarms] == [a.name for a in other.alarms]


def test_the_reader_has_nothing_to_say(in_text):
    """The text is standard: no error and no warning."""
    assert in_text.program.findings == ()
