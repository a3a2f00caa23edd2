"""A Python program said in Structured Text does the same, scan for scan: random programs, and our machines.

Rule: everything that can be seen is compared; of an error only the place differs.
"""

from pathlib import Path
from random import Random

import pytest

from simplant.logic.convert.programs import converted
from simplant.logic.st.prepared import prepared
from simplant.logic.st.printed import printed
from simplant.logic.st.report import SourceErrors
from simplant.logic.st.sequences import charts_of
from simplant.report.path_taken import ways_of
from simplant.rig.machine import MAIN
from simplant.tags import Direction
from tests.agree.programs import random_program
from tests.agree.stories import seen
from tests.agree.twins import authored, authored_lines, lines, scenarios, with_logic

MACHINES = sorted(path.parent.name for path in Path("programs").glob("*/machine.toml"))
PLANS = [(m, plan) for m in MACHINES for plan in authored(m).controllers if plan.logic.suffix == ".py"]
PROGRAMS = [(m, p.name) for m, p in PLANS if p.name == MAIN or p.logic.parent.name == m]  # a variant's are another's


def in_text(program):
    """The program as text, read again; None where it cannot be said, which is told."""
    io = [t for t in program.declared.values() if t.direction is not Direction.MEMORY and "." not in t.name]
    whole = converted(program)
    try:
        return prepared(printed(whole.file, whole.notes, whole.head), "random.st", io)
    except SourceErrors as error:  # a constant divisor, which the text may not have
        if "division by 0" in str(error):
            return None
        raise


def ways(program):
    """Which step leads to which other one."""
    charts = charts_of(program)
    return {(name, w.source, w.dest) for name in charts for w in ways_of(charts[name]) if w.source != w.dest}


def check(seed, tasks):
    program = random_program(Random(seed), tasks=tasks, opaque=False)
    text = in_text(program)
    if text is not None:
        assert ways(text) <= ways(program)  # a way that its own step forbids is none
        assert seen(Random(-seed), text) == seen(Random(-seed), program)
    return text is not None


@pytest.mark.slow
def test_random_programs():
    """Sequences, blocks, alarms, calculations, forces, power cuts: one task."""
    assert sum(check(seed, 1) for seed in range(40)) >= 36


TOO_EARLY = (11,)
"""Here a task looks at the step time of a sequence before it has run: Python counts from 0 then, a timer does not."""


@pytest.mark.slow
def test_random_programs_with_tasks():
    """Three tasks that share tags, and read the step times of one another's sequences."""
    assert sum(check(seed, 3) for seed in range(24) if seed not in TOO_EARLY) >= 22


@pytest.mark.slow
@pytest.mark.parametrize(("machine", "controller"), PROGRAMS)
def test_our_machines(machine, controller, tmp_path):
    """Every tag and every truth, in every second scenario."""
    plan = next(c for c in authored(machine).controllers if c.name == controller)
    whole = converted(plan.program)
    twin = with_text(machine, controller, printed(whole.file, whole.notes, whole.head), tmp_path)
    for path in scenarios(machine)[::2]:
        assert lines(twin, path) == authored_lines(machine, path), path.stem


def with_text(machine, controller, text, tmp_path):
    (tmp_path / "made.st").write_text(text, encoding="utf-8")
    return with_logic(machine, tmp_path, str(tmp_path / "made.st"), controller)
