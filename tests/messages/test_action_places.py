"""An action that fails is told at its own line, not at that of the transition or sequence that led to it.

Other places are test_places.py. Rule: the place is the author's line.
"""

import inspect

import pytest

from simplant import BOOL, INT, Direction, Program, Step, Tag, go
from simplant.errors import ProgramError
from simplant.logic.compile import compile_task
from simplant.logic.layout import layouts
from simplant.logic.walk import walk_task
from simplant.timebase import Ns


def line():
    """The caller's line."""
    return inspect.currentframe().f_back.f_lineno


def built(where):
    """A sequence with an action that divides by 0 on entry, on exit, on the way or during a step; and its line."""
    program = Program("p", [Tag("call", BOOL, Direction.INPUT)])
    n, zero = program.memory("n", INT), program.memory("zero", INT)
    bad, at = n.becomes(n / zero), line()
    steps = [Step("rest", exit=[bad] if where == "exit" else [])]
    steps.append(Step("work", entry=[bad] if where == "entry" else [], during=[bad] if where == "during" else []))
    sequence = program.sequence("cycle", steps)
    sequence.transitions([go("rest", "work", program.tags.call, *([bad] if where == "way" else []))])
    return program, at


@pytest.mark.parametrize("where", ["entry", "exit", "way", "during"])
@pytest.mark.parametrize("make", [compile_task, walk_task])
def test_the_line_of_the_action(where, make):
    """Compiled and walked."""
    program, at = built(where)
    task = make(layouts(program)[0])
    state, _ = task.run((True,), task.initial, Ns(0))
    with pytest.raises(ProgramError, match="0 is divided by 0") as caught:
        task.run((True,), state, Ns(10**7))
    assert caught.value.place.file.endswith("test_action_places.py")
    assert caught.value.place.line == at
