"""What is said about a `transitions` Machine that a scan cannot do: one smallest Machine each, and the whole text.

The Machines that it can do are held to their steps in tests/agree/test_transitions_machine.py.
"""

import pytest
from transitions import Machine
from transitions.extensions.states import Timeout, add_state_features

from simplant.errors import ProgramError
from simplant.logic.program import Program
from simplant.tags import Direction, Tag
from simplant.values import BOOL


@add_state_features(Timeout)
class WithTimeouts(Machine):
    """A Machine whose states may time out."""


PROGRAM = Program("own", [Tag("start", BOOL, Direction.INPUT), Tag("run", BOOL, Direction.OUTPUT)])
START, RUN = PROGRAM.tags.start, PROGRAM.tags.run
ROW = {"trigger": "go", "source": "a", "dest": "b", "conditions": START}


def own(*rows, states=("a", "b"), kind=Machine, auto_transitions=False, **more):
    return kind(states=list(states), transitions=list(rows), initial="a", auto_transitions=auto_transitions, **more)


CASES = {
    "automatic": (
        own(ROW, auto_transitions=True),
        "the Machine has the automatic transition 'to_a'. It jumps past every guard. "
        "Build it with auto_transitions=False.",
    ),
    "timeout": (
        own(ROW, states=["a", {"name": "b", "timeout": 3, "on_timeout": "go"}], kind=WithTimeouts),
        "state 'b' has a timeout, which runs on the wall clock. A scan has a clock of its own. "
        "Write a row with a guard on a timer's Q instead.",
    ),
    "internal": (
        own(ROW | {"dest": None}),
        "the transition from 'a' is internal: it leads nowhere. A scan takes at most one transition, "
        "from step to step. Write what it does into the program beside the sequence.",
    ),
    "after": (
        own(ROW | {"after": RUN.becomes(True)}),
        "the transition from 'a' has 'after' callbacks. A scan has no place for them. "
        "Use on_enter and on_exit of a state, or before of a row.",
    ),
    "whole machine": (
        own(ROW, before_state_change=RUN.becomes(True)),
        "the Machine has 'before_state_change' callbacks. A scan has no place for them. "
        "Use on_enter and on_exit of a state, or before of a row.",
    ),
    "before an exit": (
        own(ROW | {"before": RUN.becomes(True)}, states=[{"name": "a", "on_exit": RUN.becomes(False)}, "b"]),
        "the transition from 'a' has 'before' callbacks, and the state has exit actions. "
        "The library does `before` ahead of the exit actions, a scan does it after them. "
        "Put all of it into on_exit, or into on_enter of the destination.",
    ),
    "no guard": (
        own({"trigger": "go", "source": "a", "dest": "b"}),
        "own: row 1 has no condition. It would fire at once, and rows below it never. "
        "Give it a guard, for instance sequence.time >= seconds(1).",
    ),
    "guard by name": (
        own(ROW | {"conditions": "is_ready"}),
        "own: row 1: conditions holds 'is_ready', which is not a Boolean expression on tags. "
        "A guard by name would fail only when it is fired. Write for instance tags.start_pressed & ~tags.fault.",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_a_scan_cannot_do_is_refused(case):
    """Each thing that a Machine can do and a scan cannot is refused, with what to write instead."""
    machine, text = CASES[case]
    with pytest.raises(ProgramError) as refused:
        Program("own", PROGRAM.declared.values()).sequence_from("own", machine)
    _, _, clauses = str(refused.value).partition(": ") if refused.value.place else ("", "", str(refused.value))
    assert clauses == text
