"""Planted bugs are found, and their stories made as small as one would write them by hand.

All bugs with many seeds are measured by hand (steering.py, reducing.py); here a few of them, each with one seed. Rule:
the machine as it is holds in the very story that shows the bug.
"""

from collections import Counter

import pytest

from simplant.fuzz.search import is_wrong
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from tests.quality.bugs import BUGS
from tests.quality.planting import PROGRAMS, planted, true_machine
from tests.quality.reducing import found, is_minimal, is_small, known, made_small
from tests.quality.steering import CAP, FOLDER, Results, decoders

FEW = {
    "reset starts": (1, 10),
    "lamp off for a scan": (2, 30),
    "mode switch unheeded": (3, 30),
    "pump runs on": (4, 10),
    "outvoted for five minutes": (5, 30),
    "two writers of a lamp": (6, 10),
}
"""Bug -> seed, and the stories within which it is found."""


@pytest.fixture(scope="module")
def made():
    return decoders()


def test_each_bug_is_one_change_in_a_program():
    """Each text stands once in its file and is changed; each rule that shows the bug is one of the machine."""
    machines = {name: Machine.load(PROGRAMS / name) for name in ("comet_toss", "sump_pumps")}
    for bug in BUGS:
        text = (PROGRAMS / bug.machine / bug.file).read_text(encoding="utf-8")
        assert (text.count(bug.old), bug.old != bug.new) == (1, True), bug.name
        assert set(bug.rules) <= {*machines[bug.machine].rules.names, "the program failed"}, bug.name
    assert len({bug.name for bug in BUGS}) == len(BUGS) >= 30
    assert set(Counter(bug.machine for bug in BUGS)) == set(machines)


@pytest.mark.slow
@pytest.mark.parametrize("name", FEW)
def test_a_bug_is_found_and_made_small(name, made, tmp_path):
    """Within so many stories, reduced to five things at most, none of which can be left out."""
    (bug,) = (bug for bug in BUGS if bug.name == name)
    seed, within = FEW[name]
    machine = planted(bug, tmp_path / "planted")
    hit = found(machine, made[bug.machine], bug, seed, within)
    assert hit is not None
    small = made_small(machine, hit[1])
    assert is_wrong(run_scenario(machine, small), hit[1].what)
    assert is_minimal(machine, small, hit[1].what)
    true = true_machine(bug.machine, tmp_path / "true")
    assert not is_wrong(run_scenario(true, small), hit[1].what)


def test_what_was_measured_is_kept():
    """The stored results speak of bugs that there are; whatever was made small is small and needs all that is left."""
    names = {bug.name for bug in BUGS}
    for way in ("steered", "unsteered"):
        rows = Results(FOLDER / f"{way}.csv").rows.values()
        assert {row.bug for row in rows} <= names
        assert all(0 <= row.cases <= row.cap <= CAP for row in rows)
    small = known(FOLDER / "reduced.csv")
    assert set(small) <= names
    assert [row for row in small.values() if not is_small(row)] == []
