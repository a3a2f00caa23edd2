"""A machine's program in Structured Text or ladder does what it does in Python, in every scenario.

Rule: equal traces, line by line; who changes one of the programs changes the others.
"""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.rig.outcome import run_scenario
from simplant.scenario.read import read_scenario
from tests.agree.twins import FILES, authored, authored_lines, lines, scenarios, with_logic

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
    assert lines(twin(machine, file), path) == authored_lines(machine, path)


@pytest.mark.slow
@pytest.mark.parametrize(("machine", "file", "path"), EACH[::3], ids=[f"{m}-{f}-{p.stem}" for m, f, p in EACH[::3]])
def test_the_same_told(machine, file, path, twin):
    """Rules, expectations, visits of steps, alarms, counts: what is told of a run is the same, and as little is run."""
    mine, other = (run_scenario(m, read_scenario(path)) for m in (twin(machine, file), authored(machine)))
    for told in ("findings", "verdicts", "steps", "counts"):
        assert getattr(mine, told) == getattr(other, told), told
    assert [replace(a, text="") for a in mine.alarms] == [replace(a, text="") for a in other.alarms]
    assert [(s.run, s.slept) for s in mine.scans] == [(s.run, s.slept) for s in other.scans]


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


def walk_of_inputs(machine, rnd, count):
    """Inputs scan by scan: each changes now and then, some often, some hardly ever."""
    names = {name: machine.program.declared[name].type.default for name in machine.controllers[0].inputs}
    restless = {name: rnd.choice([0.002, 0.02, 0.2]) for name in names}
    for _ in range(count):
        for name, value in names.items():
            if rnd.random() < restless[name]:
                names[name] = (not value) if isinstance(value, bool) else rnd.randint(-32768, 32767)
        yield dict(names)


def played(machine, steps):
    """What a program makes of inputs, scan by scan: all that a trace would show."""
    plan = machine.controllers[0]
    ((setup, task),) = plan.tasks
    state, rows = task.initial, []
    for number, image in enumerate(steps):
        state, _ = task.run(tuple(image[name] for name in task.inputs), state, number * setup.period)
        rows.append({slot.name: value for slot, value in zip(task.slots, state, strict=True) if slot.shown})
    return rows


@pytest.mark.slow
@pytest.mark.parametrize(("machine", "file"), FILES)
@given(seed=st.integers(0, 2**32))
@settings(max_examples=20, deadline=None)
def test_random_inputs(machine, file, twin, seed):
    """Scan for scan the same, whatever comes in."""
    steps = list(walk_of_inputs(authored(machine), Random(seed), 1500))
    assert played(twin(machine, file), steps) == played(authored(machine), steps)
