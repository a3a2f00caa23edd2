"""Whole timelines of small controllers: every line that can be seen, with its instant."""

from math import copysign

import pytest

from simplant.errors import ProgramError, UsageError
from simplant.kernel.controller import Controller
from simplant.kernel.executable import Slot
from simplant.kernel.mode import Mode
from simplant.kernel.setup import ControllerSetup, Filter, TaskSetup
from simplant.timebase import NEVER, Ns, ms, us
from tests.kernel.kit import force, hang, level, play, power, program, start, stop, write


def follow(image, state, now):
    return image, NEVER


def one(run, slots, *, inputs=("a",), outputs=("q",), setup=None, safe=None, **timing):
    """A controller with one task `main`, every 10 ms unless said."""
    task = TaskSetup("main", **({"period": ms(10)} | timing))
    driven = [slot.name for slot in slots if slot.name in outputs]
    tasks = [(task, program(inputs, slots, run, outputs=driven))]
    return Controller(setup or ControllerSetup("plc"), tasks, inputs, outputs, safe or {})


def told(lines):
    """Give a trace in ms, without the lines of power and restart."""
    return [
        (t / 1e6, name, value)
        for t, name, value in lines
        if not (name == "!" and str(value).startswith(("power", "restart")))
    ]


def test_phases_filter_execution_and_delay():
    """A change waits for its filter, the next grid instant, the execution and the output delay."""
    setup = ControllerSetup("plc", {"a": Filter(ms(3), ms(1))}, output_delay=us(500), boot=ms(5))
    controller = one(follow, [Slot("q", False)], setup=setup, phase=ms(2), execution=ms(1))
    acts = [
        (0, power(True)),
        (ms(26), level("a", True)),
        (ms(41), level("a", False)),
        (ms(60), level("a", True)),
        (ms(62), level("a", False)),
    ]
    assert play(controller, acts, ms(100)) == [
        (0, "!", "power back: boots for 5 ms"),
        (ms(5), "!", "restart: cold: all values initial"),
        (ms(29), ">a", True),
        (ms(38) + us(500), "q>", True),
        (ms(42), ">a", False),
        (ms(48) + us(500), "q>", False),
    ]


def test_a_level_within_one_instant_is_not_seen_by_a_filter():
    """The filter times the level at the end of an instant; coming and going inside it restarts nothing."""
    controller = one(follow, [Slot("q", False)], setup=ControllerSetup("plc", {"a": ms(3)}))
    acts = [(0, power(True)), (ms(20), level("a", True)), (ms(22), level("a", False)), (ms(22), level("a", True))]
    assert told(play(controller, acts, ms(100)))[0] == (23.0, ">a", True)


def test_image_is_frozen_and_memory_is_not():
    """Tasks due at one instant see one image, but a later one sees what an earlier one has just stored."""

    def writer(image, state, now):
        return (image[0],), NEVER

    def reader(image, state, now):
        return (state[0], image[0] and state[0]), NEVER

    tasks = [
        (
            TaskSetup("low", ms(10), 2, execution=ms(2)),
            program(["a"], [Slot("s", False), Slot("q", False)], reader, ["q"], ["s"]),
        ),
        (TaskSetup("high", ms(20), 1, execution=ms(1)), program(["a"], [Slot("s", False)], writer, shared=["s"])),
    ]
    controller = Controller(ControllerSetup("plc"), tasks, ["a"], ["q"], {"q": False})
    lines = told(play(controller, [(0, power(True)), (ms(15), level("a", True))], ms(100)))
    assert lines == [(0.0, "s", False), (15.0, ">a", True), (20.0, "s", True), (23.0, "q>", True)]
    assert controller.counts(Ns(ms(100))) == (3 + 4, 11 + 6 - 3 - 4)


def test_forces_hold_image_and_terminal_but_not_the_program():
    """A forced output leaves the program's own value alone; a forced input hides its terminal."""
    controller = one(follow, [Slot("q", False)])
    acts = [
        (0, power(True)),
        (ms(15), force("q", True)),
        (ms(20), force("a", True)),
        (ms(35), level("a", False)),
        (ms(55), force("a", None)),
        (ms(65), force("q", None)),
    ]
    lines = told(play(controller, acts, ms(60)))
    assert controller.forced == {"q": True}
    assert lines == [(15.0, "q>", True), (20.0, ">a", True), (55.0, ">a", False)]
    assert (controller.value("q"), controller.tasks[0].state) == (True, (False,))
    assert told(play(controller, acts[-1:], ms(100))) == [(65.0, "q>", False)]


def test_no_force_holds_an_output_on_without_a_running_program():
    """Stop and power loss beat a force; it is back when the program runs again."""
    controller = one(follow, [Slot("q", False)], safe={"q": False})
    acts = [
        (0, power(True)),
        (ms(15), force("q", True)),
        (ms(25), stop("drill")),
        (ms(35), start()),
        (ms(45), power(False)),
        (ms(55), power(True)),
    ]
    assert told(play(controller, acts, ms(100))) == [
        (15.0, "q>", True), (25.0, "q>", False), (25.0, "!", "stop: drill"),
        (35.0, "q>", True), (45.0, "q>", False), (55.0, "q>", True)
    ]  # fmt: skip


def test_writes_from_outside():
    """A write is taken between scans; unless the tasks run it is lost, and said to be."""
    slots = [Slot("limit", 3), Slot("over", False)]

    def run(image, state, now):
        return (state[0], state[0] > 5), NEVER

    controller = one(run, slots, outputs=())
    acts = [(0, write("limit", 9)), (ms(1), power(True)), (ms(14), write("limit", 9)), (ms(14), write("limit", 8))]
    assert told(play(controller, acts, ms(100))) == [
        (0.0, "!", "write lost: limit := 9 finds the controller off"),
        (1.0, "limit", 3), (1.0, "over", False), (14.0, "limit", 8), (21.0, "over", True),
    ]  # fmt: skip
    assert controller.value("over") is True


def test_charts_show_the_names_of_their_steps():
    """A shown slot with words is told by them, shared or not."""
    slots = [
        Slot("cycle", 0, words=("idle", "busy")),
        Slot("shared", 0, words=("a", "b")),
        Slot("hidden", 0, shown=False),
    ]

    def run(image, state, now):
        return (1, 1, 5), NEVER

    other = program([], [Slot("shared", 0, words=("a", "b"))], lambda i, s, now: (s, NEVER), shared=["shared"])
    tasks = [
        (TaskSetup("main", ms(10)), program([], slots, run, shared=["shared"])),
        (TaskSetup("other", ms(10)), other),
    ]
    controller = Controller(ControllerSetup("plc"), tasks, [], [], {})
    assert told(play(controller, [(0, power(True))], ms(50))) == [(0.0, "cycle", "busy"), (0.0, "shared", "b")]
    assert controller.value("hidden") == 5


def test_watchdog_trips_and_needs_a_power_cycle():
    """A scan that is too long leaves nothing behind: its trip makes the outputs safe, and power alone helps."""

    def run(image, state, now):
        return (True, state[1] + 1), NEVER

    slots = [Slot("q", False), Slot("n", 0)]
    setup = ControllerSetup("plc", seed=3)
    controller = one(run, slots, inputs=(), setup=setup, execution=ms(1), execution_jitter=ms(8), watchdog=ms(8))
    lines = told(play(controller, [(0, power(True)), (ms(900), power(False)), (ms(910), power(True))], ms(905)))
    trip = next(line for line in lines if line[1] == "!")
    assert "watchdog: a scan of task 'main' takes 8." in trip[2]
    assert trip[0] % 10 == 8
    scans = int(trip[0] // 10)
    assert [line for line in lines if line[1] == "n"] == [(10.0 * k, "n", k + 1) for k in range(scans)]
    assert lines[-2:] == [(trip[0], "q>", False), trip]
    assert controller.why_awake == "a scan of task 'main' may take 9 ms, longer than its watchdog"


def test_a_scan_that_is_too_long_cannot_be_talked_out_of_its_trip():
    """The end of a hang does not free a processor that is stuck in a scan; a stop does."""
    for act, last in ((hang(False), "watchdog: "), (stop("drill"), "stop: drill")):
        controller = one(follow, [Slot("q", False)], execution=ms(20), watchdog=ms(8))
        lines = told(play(controller, [(0, power(True)), (ms(3), act)], ms(50)))
        assert len(lines) == 1
        assert lines[0][2].startswith(last)


def test_shared_outputs_and_shared_reals():
    """Another task may read an output, and sees a REAL by its bits; the terminal alone is told of the output."""

    def owner(image, state, now):
        return (image[0], -0.0 if image[0] else 0.0), NEVER

    def reader(image, state, now):
        return (*state[:2], state[0], copysign(1.0, state[1]) < 0), NEVER

    both = [Slot("q", False), Slot("x", 0.0)]
    readers = [*both, Slot("seen", False), Slot("sign", False)]
    tasks = [
        (TaskSetup("owner", ms(10)), program(["a"], both, owner, ["q"], ["q", "x"])),
        (TaskSetup("reader", ms(5), 2), program([], readers, reader, ["q"], ["q", "x"])),
    ]
    controller = Controller(ControllerSetup("plc", output_delay=ms(1)), tasks, ["a"], ["q"], {})
    lines = told(play(controller, [(0, power(True)), (ms(12), level("a", True)), (ms(48), power(False))], ms(50)))
    assert lines == [
        (0.0, "seen", False), (0.0, "sign", False), (0.0, "x", 0.0), (12.0, ">a", True),
        (20.0, "seen", True), (20.0, "sign", True), (20.0, "x", -0.0), (21.0, "q>", True),
        (48.0, ">a", False), (48.0, "q>", False),
    ]  # fmt: skip
    assert str(controller.value("x")) == "-0.0"


def test_a_faulted_controller_does_not_start():
    """Start is for after a stop; the message says what helps."""
    controller = one(follow, [Slot("q", False)], execution=ms(2), watchdog=ms(1))
    play(controller, [(0, power(True))], ms(50))
    with pytest.raises(
        UsageError, match=r"'plc' cannot start at 60 ms. It is faulted. Take its power away and give it back"
    ):
        controller.start(ms(60))
    assert controller.mode is Mode.FAULTED
    controller.stop(ms(60))
    assert controller.mode is Mode.FAULTED
    with pytest.raises(UsageError, match=r"It is off\.$"):
        one(follow, [Slot("q", False)]).start(ms(60))


def test_overruns_are_skipped_and_told():
    """A grid instant inside an execution is skipped with an event; one at its end is scanned."""

    def count(image, state, now):
        return (state[0] + 1,), NEVER

    controller = one(count, [Slot("n", 0)], inputs=(), outputs=(), execution=ms(20))
    assert told(play(controller, [(0, power(True))], ms(45))) == [
        (0.0, "n", 1),
        (10.0, "!", "overrun: task 'main' skips scan 1: the processor is busy until 20 ms"),
        (20.0, "n", 2),
        (30.0, "!", "overrun: task 'main' skips scan 3: the processor is busy until 40 ms"),
        (40.0, "n", 3),
    ]
    assert controller.counts(ms(45)) == (3, 0)


def test_one_task_may_hold_up_another():
    """Not preemptive: a grid instant of any task inside another's execution is skipped; others are not."""

    def count(image, state, now):
        return (state[0] + 1,), NEVER

    tasks = [
        (TaskSetup("slow", ms(20), 2, execution=ms(7)), program([], [Slot("slow_n", 0)], count)),
        (TaskSetup("fast", ms(5), 1, execution=ms(1)), program([], [Slot("fast_n", 0)], count)),
    ]
    controller = Controller(ControllerSetup("plc"), tasks, [], [], {})
    lines = told(play(controller, [(0, power(True))], ms(19)))
    assert [line for line in lines if line[1] != "!"] == [
        (0.0, "fast_n", 1),
        (0.0, "slow_n", 1),
        (10.0, "fast_n", 2),
        (15.0, "fast_n", 3),
    ]
    assert [line[0] for line in lines if line[1] == "!"] == [5.0]
    assert controller.why_awake == (
        "scans may take 8 ms from the start of task 'slow', and task 'fast' may start 5 ms after it"
    )


def test_a_program_error_stops_the_controller():
    """What a program raises is told, kept, and makes the outputs safe; other tasks do not run on."""
    wrong = ProgramError("division by zero", mend="guard it")

    def run(image, state, now):
        if image[0]:
            raise wrong
        return (True,), NEVER

    tasks = [
        (TaskSetup("main", ms(10)), program(["a"], [Slot("q", False)], run, ["q"])),
        (TaskSetup("after", ms(10)), program([], [Slot("n", 0)], lambda i, s, now: ((s[0] + 1,), NEVER))),
    ]
    controller = Controller(ControllerSetup("plc"), tasks, ["a"], ["q"], {})
    lines = told(play(controller, [(0, power(True)), (ms(15), level("a", True))], ms(100)))
    assert lines == [
        (0.0, "q>", True), (0.0, "n", 1), (10.0, "n", 2), (15.0, ">a", True), (20.0, "q>", False),
        (20.0, "!", "program error: division by zero. Guard it."),
    ]  # fmt: skip
    assert (controller.error, controller.mode, controller.next_due()) == (wrong, Mode.FAULTED, NEVER)


def test_a_processor_hangs_as_soon_as_it_runs():
    """Before and during the boot there is nothing to hang; after a restart it hangs again, until the cause is gone."""
    controller = one(follow, [Slot("q", False)], setup=ControllerSetup("plc", boot=ms(20)), watchdog=ms(30))
    acts = [(ms(5), hang(True)), (ms(10), power(True)), (0, level("a", True))]
    acts += [(ms(80), power(False)), (ms(90), power(True)), (ms(125), hang(False)), (ms(130), hang(True))]
    acts += [(ms(135), power(False)), (ms(140), hang(False)), (ms(150), power(True))]
    assert [line for line in play(controller, acts, ms(200)) if line[1] != ">a"] == [
        (ms(10), "!", "power back: boots for 20 ms"),
        (ms(30), "!", "restart: cold: all values initial"),
        (ms(30), "!", "hang: the processor hangs"),
        (ms(60), "!", "watchdog: the processor has hung for 30 ms"),
        (ms(80), "!", "power lost: outputs go to their safe values"),
        (ms(90), "!", "power back: boots for 20 ms"),
        (ms(110), "!", "restart: warm: retained values kept"),
        (ms(110), "!", "hang: the processor hangs"),
        (ms(125), "!", "hang: the processor goes on"),
        (ms(130), "!", "hang: the processor hangs"),
        (ms(135), "!", "power lost: outputs go to their safe values"),
        (ms(150), "!", "power back: boots for 20 ms"),
        (ms(170), "q>", True),
        (ms(170), "!", "restart: warm: retained values kept"),
    ]


@pytest.mark.parametrize(
    ("watchdog", "ends"), [(ms(30), (46.0, "!", "watchdog: the processor has hung for 30 ms")), (NEVER, None)]
)
def test_a_hanging_processor(watchdog, ends):
    """Hung, it scans nothing and its outputs stay, until its watchdog trips or it goes on."""
    controller = one(follow, [Slot("q", False)], watchdog=watchdog)
    acts = [
        (0, power(True)),
        (ms(5), level("a", True)),
        (ms(16), hang(True)),
        (ms(17), level("a", False)),
        (ms(60), hang(False)),
    ]
    lines = told(play(controller, acts, ms(100)))
    assert lines == [
        (5.0, ">a", True), (10.0, "q>", True), (16.0, "!", "hang: the processor hangs"), (17.0, ">a", False),
        (46.0, "q>", False) if ends else (60.0, "q>", False),
        ends or (60.0, "!", "hang: the processor goes on"),
    ]  # fmt: skip
    assert controller.counts(ms(100))[0] == (2 if ends else 4)


def test_an_analogue_input_starts_where_it_is_told_to():
    """A number passes the filter like a level; its start value is given; REAL values keep their bits."""
    setup = ControllerSetup("plc", {"a": ms(4)}, filter_start={"a": 0})
    controller = one(follow, [Slot("q", 0)], setup=setup, safe={"q": -1})
    acts = [(0, level("a", 200)), (ms(1), power(True)), (ms(3), level("a", 300)), (ms(50), power(False))]
    assert told(play(controller, acts, ms(100))) == [
        (1.0, "q>", 0), (7.0, ">a", 300), (11.0, "q>", 300), (50.0, ">a", 0), (50.0, "q>", -1)
    ]  # fmt: skip


def test_a_restless_program_never_sleeps():
    """A program with opaque code scans at every grid instant, and the controller says why."""
    opaque = program([], [Slot("q", False)], lambda i, s, now: (s, NEVER), ["q"], restless="it calls a Python function")
    controller = Controller(ControllerSetup("plc"), [(TaskSetup("main", ms(10)), opaque)], [], ["q"], {})
    play(controller, [(0, power(True))], ms(100))
    assert (controller.counts(ms(100)), controller.why_awake) == ((11, 0), "task 'main': it calls a Python function")


def test_a_change_after_the_scans_of_an_instant_waits_for_the_next():
    """An output that comes back as an input in the same instant is not scanned twice."""
    setup = ControllerSetup("plc")

    def run(image, state, now):
        return (image[0], image[1]), NEVER

    tasks = [(TaskSetup("main", ms(10)), program(["a", "b"], [Slot("q", False), Slot("r", False)], run, ["q", "r"]))]
    controller = Controller(setup, tasks, ["a", "b"], ["q", "r"], {})
    lines = told(play(controller, [(0, power(True)), (ms(20), level("a", True))], ms(100), {"q": "b"}))
    assert lines == [(20.0, ">a", True), (20.0, "q>", True), (20.0, ">b", True), (30.0, "r>", True)]


def test_power_that_returns_after_the_scans_of_an_instant():
    """A controller without boot time scans at the very instant of its power, though others have scanned already."""
    controller = one(follow, [Slot("q", True)])
    for phase in (controller.settle_filters, controller.scan, controller.publish):
        phase(ms(7))
    controller.power(ms(7), on=True)
    assert controller.next_due() == ms(7)
    assert told(play(controller, [], ms(20))) == []
    assert controller.counts(ms(20)) == (2, 0)


def test_a_real_that_changes_only_its_sign_is_a_change():
    """-0.0 is not 0.0: a program that tells them apart is not put to sleep between them; NaN is quiet."""

    def run(image, state, now):
        return (-state[0], state[1] + 0.0, state[2]), NEVER

    slots = [Slot("x", 0.0), Slot("nan", float("nan")), Slot("n", 1)]
    controller = one(run, slots, inputs=(), outputs=())
    play(controller, [(0, power(True))], ms(100))
    assert controller.counts(ms(100)) == (11, 0)
    still = one(lambda i, s, now: ((s[0], s[1] + 0.0, 1), NEVER), slots, inputs=(), outputs=())
    play(still, [(0, power(True))], ms(100))
    assert still.counts(ms(100)) == (2, 9)


def test_inputs_by_position_and_an_idle_controller():
    """A terminal may be given by its position; a controller without tasks has nothing due."""
    controller = Controller(ControllerSetup("plc"), [], ["a"], ["q"], {})
    assert told(play(controller, [(0, power(True)), (ms(5), lambda c, now: c.set_input(0, True, now))], ms(20))) == [
        (5.0, ">a", True)
    ]
    assert controller.next_due() == NEVER
    assert controller.value("a") is True
