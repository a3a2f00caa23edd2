"""One ladder three ways: as rungs, in its plainest form, and as the graph that its drawing is."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.logic.compile import compile_task
from simplant.logic.fbd.as_ladder import as_ladder
from simplant.logic.fbd.from_ladder import drawn_ladder, plainest
from simplant.logic.st.declared import File
from simplant.logic.st.parse import parse
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report
from simplant.logic.st.tasks import lay_out
from simplant.timebase import ms
from tests.ladder.trees import BOOLS, DECLARED, ladders
from tests.st.trees import bare

FRAME = parse(Report("made.st", DECLARED.format("")))
SHOWN = (*BOOLS, "i", "j", "row[1]", "row[2]", "span", "late.Q", "second.Q", "tally.CV")
GIVEN = (*BOOLS[:3], "i", "row[1]")


def traced(body, seed):
    """Give what twelve scans leave in the declared variables, some of them given anew before each scan."""
    file = replace(FRAME, units=(replace(FRAME.units[0], body=body),))
    project = Project("", "made", read=lambda report: File(file.types, file.units, (), ()))
    project.report.raise_errors()
    (layout,) = lay_out(project).layouts
    task, random, rows = compile_task(layout), Random(seed), []
    names = [slot.name for slot in task.slots]
    state = task.initial
    for number in range(12):
        new = {name: random.randrange(4) if name == "i" else random.random() < 0.5 for name in GIVEN}
        state = tuple(new.get(name, value) for name, value in zip(names, state, strict=True))
        state, _ = task.run((), state, number * ms(10))
        rows.append({name: value for name, value in zip(names, state, strict=True) if name in SHOWN})
    return rows


def _one_ladder_three_ways(ladder, seed):
    plain = plainest(ladder)
    drawing = drawn_ladder(plain)
    rows = traced(ladder, seed)
    assert traced(plain, seed) == rows
    assert traced(drawing.graph, seed) == rows
    assert bare(as_ladder(drawing.graph)) == bare(plain)


def _once_each(ladder):
    """Say whether no network calls an instance twice, which a graph does not allow."""
    text = [bare(rung) for rung in ladder.rungs]
    return all(
        str(row).count(f"'str', '{name}'), ('str', 'IN')") < 2 for row in text for name in ("late", "second")
    ) and all(str(row).count("'tally'") < 2 for row in text)


@given(ladders(back=False).filter(_once_each), st.integers(0, 1000))
def test_a_ladder_and_its_drawing_do_the_same(ladder, seed):
    """A ladder, its plainest form and its drawing give equal values in every scan; the drawing is that ladder again."""
    _one_ladder_three_ways(ladder, seed)


@pytest.mark.slow
@settings(max_examples=100)
@given(ladders(back=False).filter(_once_each), st.integers(0, 1000))
def test_a_ladder_and_its_drawing_do_the_same_at_length(ladder, seed):
    """As above, many times."""
    _one_ladder_three_ways(ladder, seed)
