"""Settings that cannot be: each is refused where it is made, with what, why and how to mend it."""

import pytest

from simplant.errors import ProgramError, UsageError
from simplant.kernel.controller import Controller
from simplant.kernel.executable import Slot
from simplant.kernel.rest import why_awake
from simplant.kernel.setup import ControllerSetup, Filter, TaskSetup
from simplant.timebase import NEVER, ms
from tests.kernel.kit import program


def still(image, state, now):
    return state, NEVER


def build(tasks=(), *, filters=None, safe=None):
    return Controller(ControllerSetup("plc", filters or {}), tasks, ["guard_closed"], ["horn"], safe or {})


def task(name="main", inputs=(), slots=(), outputs=(), shared=()):
    return TaskSetup(name, ms(10)), program(inputs, slots, still, outputs, shared)


@pytest.mark.parametrize(
    ("make", "error", "text"),
    [
        (lambda: TaskSetup("main", ms(0)), UsageError, "the period of task 'main' is 0.000 s. The least is 1 ns."),
        (lambda: TaskSetup("main", 0.01), UsageError,
         "the period of task 'main' is 0.01. A time is a whole number of nanoseconds. Write ms(10)."),
        (lambda: TaskSetup("main", ms(10), phase=-1), UsageError, "the phase of task 'main' is -1 ns. The least is 0."),
        (lambda: TaskSetup("main", ms(10), start_jitter=ms(10)), UsageError,
         "the start jitter of task 'main' is 10 ms, its period 10 ms. Scans would overtake each other. "
         "Keep the jitter below the period."),
        (lambda: Filter(off=-5), UsageError, "the off time of a filter is -5 ns. The least is 0."),
        (lambda: ControllerSetup("plc", restart="hot"), UsageError,
         "controller 'plc' is to restart 'hot'. Write \"warm\" or \"cold\"."),
        (lambda: build(filters={"guard_close": ms(1)}), UsageError,
         "controller 'plc' has a filter for 'guard_close', which is no input of it. Close in spelling: guard_closed."),
        (lambda: build(safe={"hron": False}), UsageError,
         "'hron' has a safe value but is no output. Close in spelling: horn."),
        (lambda: build([task(), task()]), UsageError, "controller 'plc' has two tasks 'main'. Give each its own name."),
        (lambda: build([task(inputs=["gard_closed"])]), ProgramError,
         "task 'main' reads input 'gard_closed', which the controller does not have. Close in spelling: guard_closed."),
        (lambda: build([task(slots=[Slot("hornn", False)], outputs=["hornn"])]), ProgramError,
         "task 'main' drives output 'hornn', which the controller does not have. Close in spelling: horn."),
        (lambda: build([task("one", slots=[Slot("n", 0)]), task("two", slots=[Slot("n", 0)])]), ProgramError,
         "task 'two' stores 'n', and so does another task. Each would have a value of its own. "
         "Mark it as shared in both."),
        (lambda: build().force("hron", True, ms(1)), UsageError,
         "controller 'plc' has no input or output 'hron' to force. Close in spelling: horn."),
        (lambda: build().write("n", 1, ms(1)), UsageError, "the controller stores no tag 'n'. None is declared."),
        (lambda: build().value("n"), UsageError, "the controller stores no tag 'n'. None is declared."),
        (lambda: build([task(slots=[Slot("n", 0)])]).write("n", True, ms(1)), UsageError,
         "'n' cannot be written True. It holds values of type int."),
        (lambda: build([task(slots=[Slot("horn", False)], outputs=["horn"])]).write("horn", True, ms(1)), UsageError,
         "'horn' is an output. The program writes it at every scan. Force it instead."),
    ],
)  # fmt: skip
def test_refusals(make, error, text):
    """The whole message."""
    with pytest.raises(error) as caught:
        make()
    assert str(caught.value) == text


AWAKE = [
    ([TaskSetup("a", ms(10), execution=ms(9))], ""),
    ([TaskSetup("a", ms(10), execution=ms(7), start_jitter=ms(2))], ""),
    (
        [TaskSetup("a", ms(10), execution=ms(7), start_jitter=ms(3))],
        "scans may take 7 ms from the start of task 'a', and task 'a' may start 7 ms after it",
    ),
    (
        [TaskSetup("a", ms(10), execution=ms(2)), TaskSetup("b", ms(20), execution=ms(9))],
        "scans may take 11 ms from the start of task 'a', and task 'a' may start 10 ms after it",
    ),
    ([TaskSetup("a", ms(10), execution=ms(3)), TaskSetup("b", ms(10), phase=ms(5), execution=ms(4))], ""),
    (
        [TaskSetup("a", ms(10), execution=ms(3)), TaskSetup("b", ms(10), phase=ms(5), execution=ms(5))],
        "scans may take 5 ms from the start of task 'b', and task 'a' may start 5 ms after it",
    ),
    (
        [TaskSetup("a", ms(10), execution=ms(1)), TaskSetup("b", ms(10), execution=ms(1), start_jitter=ms(1))],
        "scans may take 2 ms from the start of task 'a', and task 'b' may start 1 ns after it",
    ),
    (
        [TaskSetup("a", ms(9), execution=ms(1)), TaskSetup("b", ms(10), execution=ms(1), start_jitter=ms(2))],
        "scans may take 2 ms from the start of task 'a', and task 'b' may start 1 ns after it",
    ),
    ([TaskSetup("a", ms(10)), TaskSetup("b", ms(10), start_jitter=ms(1))], ""),
]


@pytest.mark.parametrize(("tasks", "why"), AWAKE)
def test_who_may_sleep(tasks, why):
    """Only tasks whose executions can never reach a start of one of them."""
    assert why_awake(tasks) == why
