"""A machine's program in Structured Text or ladder does what it does in Python, in every scenario.

Rule: equal traces, line by line; who changes one of the programs changes the others.
"""

import pytest

from tests.agree.twins import FILES, authored, lines, scenarios, with_logic

EACH = [(machine, file, path) for machine, file in FILES for path in scenarios(machine)]
_MADE = {}


@pytest.fixture(scope="module")
def twin(tmp_path_factory):
    """Gives the machine with its program from another file, read once."""

    def give(machine, file):
        if (machine, file) not in _MADE:
            _MADE[machine, file] = with_logic(machine, tmp_path_factory.mktemp("twin"), file)
        return _MADE[machine, file]

    return give


@pytest.mark.parametrize(("machine", "file", "path"), EACH, ids=[f"{m}-{f}-{p.stem}" for m, f, p in EACH])
def test_the_same_trace(machine, file, path, twin):
    """Every tag and every truth at every instant; and what is expected of a run, its alarms too, is met by both."""
    assert lines(twin(machine, file), path) == lines(authored(machine), path)


@pytest.mark.parametrize(("machine", "file"), FILES)
def test_it_sleeps_and_need_not(machine, file, twin):
    """With every scan run, the trace is the same."""
    path = scenarios(machine)[0]
    assert lines(twin(machine, file), path) == lines(twin(machine, file), path, every_scan=True)


@pytest.mark.parametrize(("machine", "file"), FILES)
def test_the_same_names_for_rules_and_scenarios(machine, file, twin):
    """Memory tags, sequences with their steps, alarms and the first-out are there under the same names."""
    ours, theirs = twin(machine, file).program, authored(machine).program
    assert set(ours.declared) == {name for name in theirs.declared if "." not in name}
    assert {n: list(c.steps) for n, c in ours.charts.items()} == {n: list(c.steps) for n, c in theirs.charts.items()}
    (mine,), (other,) = ours.alarm_tables, theirs.alarm_tables
    assert [a.name for a in mine.alarms] == [a.name for a in other.alarms]


@pytest.mark.parametrize(("machine", "file"), FILES)
def test_the_reader_has_nothing_to_say(machine, file, twin):
    """The text is standard: no error and no warning."""
    assert twin(machine, file).program.findings == ()
