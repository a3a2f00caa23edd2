"""Coverage changes nothing and depends on nothing: probed and plain tasks agree, and scans slept through add nothing.

Rule: whole states, traces and sheets are compared.
"""

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.chance import draw
from simplant.logic.compile import compile_task
from simplant.logic.coverage.probes import Prober
from simplant.logic.layout import layouts
from simplant.logic.program import Program
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from simplant.rig.coverage import covered
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.read import read_scenario
from tests.agree.charts import random_chart
from tests.agree.programs import random_program
from tests.agree.st_programs import StAuthor
from tests.agree.stories import controller_of, story_of, told
from tests.agree.test_charts_of_steps import prepared  # noqa: F401 - a fixture
from tests.agree.test_st_programs_agree import told as scans


def told_with(program, seed, make, *, sleep=True, extra=None):
    """Tell a story to a probed program; give the trace, and what was seen of the program."""
    prober = Prober(program)
    probed = {}

    def making(layout):
        probed[layout.task] = prober.probed(layout)
        return replace(make(probed[layout.task]), tried=make(layout).run)

    case = story_of(Random(seed), program, acts=8, make=making)
    return told(case, controller_of(case, sleep=sleep, extra=extra)), prober.sheet.as_json()


def check(program, seed):
    case = story_of(Random(seed), program, acts=8)
    plain = told(case, controller_of(case))
    trace, asleep = told_with(program, seed, compile_task)
    assert trace == plain
    for options in ({"sleep": False}, {"extra": lambda task, k: draw(seed, task, k) < 0.2}):
        assert told_with(program, seed, compile_task, **options) == (plain, asleep)
    assert told_with(program, seed, walk_task) == (plain, asleep)
    return asleep


@pytest.mark.slow
@given(st.integers(0, 2**32))
@settings(max_examples=20)
def test_any_program(seed):
    """Probed, a program leaves the trace of the plain one; asleep, awake, woken and walked it shows the same."""
    check(random_program(Random(seed), tasks=1, opaque=False), seed)


@pytest.mark.slow
@given(st.integers(0, 2**32))
@settings(max_examples=8)
def test_any_chart(prepared, seed):  # noqa: F811 - the fixture
    """The same of charts with several active steps."""
    sheet = check(prepared(random_chart(Random(seed))), seed)
    assert sheet["counts"]["steps"]["seen"] >= 1


@pytest.mark.slow
def test_programs_in_text():
    """Functions, blocks, loops, RETURN, EXIT: states and errors of the plain program; both ways show the same."""
    counts = {}
    for seed in range(45):
        project = Project(StAuthor(Random(seed)).file(), "random.st")
        (layout,) = lay_out(project, "main").layouts
        plain, sheets = scans(compile_task(layout), layout), []
        for make in (compile_task, walk_task):
            prober = Prober(Program("random", []))
            assert scans(make(prober.probed(layout)), layout) == plain
            sheets.append(prober.sheet.as_json())
        assert sheets[0] == sheets[1]
        for kind, count in sheets[0]["counts"].items():
            seen, every = counts.get(kind, (0, 0))
            counts[kind] = seen + count["seen"], every + count["all"]
    assert all(0 < seen < every for seen, every in counts.values())
    assert counts.keys() == {"rungs", "branches", "statements", "conditions"}


@pytest.mark.slow
def test_programs_show_something():
    """The stories are such that the sheets are not empty: steps, transitions, rungs and conditions are seen."""
    total = {}
    for seed in range(15):
        for kind, count in check(random_program(Random(seed), tasks=1, opaque=False), seed)["counts"].items():
            total[kind] = total.get(kind, 0) + count["seen"]
    assert min(total[kind] for kind in ("steps", "transitions", "rungs", "statements", "conditions")) > 10


@pytest.mark.slow
@pytest.mark.parametrize("name", ["sump_pumps", "comet_toss", "stamp_station"])
def test_a_demo_machine_shows_the_same_awake(name):
    """Some scenarios of a machine, asleep and with every scan: the plain traces, and equal sheets."""
    plain = Machine.load(f"programs/{name}")
    sheets = []
    for every_scan in (False, True):
        machine, found = covered(plain)
        for path in sorted(Path(f"scenarios/{name}").glob("*.toml"))[::9]:
            scenario = replace(read_scenario(path), length=min(read_scenario(path).length, 30 * 10**9))
            traced = list(run_scenario(machine, scenario, every_scan=every_scan).trace)
            assert traced == list(run_scenario(plain, scenario).trace)
        sheets.append({controller: sheet.as_json() for controller, sheet in found.items()})
    assert sheets[0] == sheets[1]


def test_probing_leaves_the_layout():
    """Only the statements of a task change: its slots, inputs and outputs stay."""
    program = random_program(Random(3), tasks=2, opaque=False)
    prober = Prober(program)
    for layout in layouts(program):
        assert replace(prober.probed(layout), core=layout.core) == layout
