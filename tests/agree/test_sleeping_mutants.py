"""Each class of state and each kind of due is needed: left out in turn, random stories show it.

The classes are those of the first sentence on the sleeping scan, the dues those of its fifth; the causes of waking
are left out in tests/laws/test_sleeping_kernel.py. Rule: a mutant is the real code less one thing, never a stand-in.
"""

from dataclasses import replace
from functools import cache
from random import Random

import pytest

from simplant.expr import Elapsed, Op, TimerElapsed, constant
from simplant.kernel.controller import Controller
from simplant.kernel.processor import Processor
from simplant.kernel.same import comparer, picker, settler
from simplant.logic import compile as compiler
from simplant.logic import emit, inline
from simplant.logic.emit import Turn
from simplant.logic.lower import FIRST_SCAN
from simplant.timebase import ms
from simplant.values import BOOL, INT, TIME
from tests.agree.programs import TIMES, Author
from tests.agree.stories import controller_of, presses, story_of, told

SEEDS = range(400)
"""The stories; a search ends with the first that shows a mutant."""

FIELDS = {
    "block outputs": ("Q", "Q1", "QU", "QD", "CV"),
    "block inputs": ("PT", "S", "R", "S1", "R1", "LD", "PV"),
    "edge memory": ("M", "M_up", "M_down", "CLK", "CU", "CD"),
    "timer start": ("start", "IN"),
    "entry instants": ("since",),
}
"""An input that a block keeps says as much as the memory made from it, so the two are left out together."""

CLASSES = (
    *FIELDS,
    "steps",
    "alarm latches",
    "variables",
    "shared tags",
    "retained values",
    "first-scan mark",
    "outputs",
)


def classes(executable, position):
    """Give the classes of state that a slot belongs to."""
    slot = executable.slots[position]
    head, _, field = slot.name.partition(".")
    yield from (kind for kind, fields in FIELDS.items() if field in fields)
    tests = {
        "steps": head.startswith("chart"),
        "alarm latches": head.startswith("table"),
        "variables": head.startswith("m_"),
        "shared tags": position in executable.shared,
        "retained values": slot.retain,
        "first-scan mark": slot.name == FIRST_SCAN.name,
        "outputs": position in executable.outputs,
    }
    yield from (kind for kind, holds in tests.items() if holds)


class Plain(Author):
    """Writes short calm programs, mostly of blocks and charts on inputs as they are, so that little hides a mutant."""

    def task(self, number):
        kinds = [self.block] * 6 + [self.again] * 2 + [self.timed_chart] * 2 + [self.alarms, self.rung]
        for _ in range(self.rnd.randint(1, 4)):
            self.rnd.choice(kinds)()
            self.publish()
        out = self.program.tags
        self.program.rung(out[f"q{number}"], self.rnd.choice(self.reads[BOOL]) & ~self.program.first_scan)
        self.program.move(out[f"w{number}"].becomes(self.value(INT, 1)))

    def bit(self, depth):
        return self.rnd.choice(self.inputs) if self.rnd.random() < 0.5 else super().bit(min(depth, 1))

    def show(self, handle):
        super().show(handle)
        if handle.instance.block.elapsed and self.rnd.random() < 0.3:
            late = handle.ET + constant(ms(12), TIME) >= constant(self.rnd.choice(TIMES[5:]), TIME)
            self.program.rung(self.target(BOOL), late)

    def preset(self, kind):
        return self.constant(kind) if kind is not TIME else constant(self.rnd.choice(TIMES[4:]), TIME)

    def arguments(self, handle):
        given = super().arguments(handle)
        return given if self.rnd.random() < 0.7 else dict([*given.items()][1:])


def written(seed):
    """One story, its program compiled by whatever the compiler now is."""
    rnd = Random(seed)
    case = story_of(rnd, Plain(rnd, tasks=rnd.randint(1, 2), opaque=False, calm=True).write(), acts=5)
    return replace(case, acts=(*case.acts, *presses(rnd)))


story = cache(written)


@cache
def truth(seed):
    return told(story(seed), controller_of(story(seed)))


class NeverFirst(Processor):
    """A processor that takes no scan for the first one."""

    def begin(self, now, *, warm):
        super().begin(now, warm=warm)
        for task in self._tasks:
            task.first = False


class NeverFirstController(Controller):
    PROCESSOR = NeverFirst


def blind_to(left_out, case):
    """A controller whose tasks do not look at one class when they compare the state before and after a scan."""
    controller = controller_of(case, kind=NeverFirstController if left_out == "first-scan mark" else Controller)
    for task in controller.tasks:
        executable = task.executable
        seen = [p for p in range(len(executable.slots)) if left_out not in classes(executable, p)]
        look = picker(seen)
        alike = comparer(look(executable.initial)) or (lambda a, b: a == b)
        task.same = lambda a, b, look=look, alike=alike: alike(look(a), look(b))
    return controller


def test_every_slot_is_of_some_class():
    """There is no stored value that these classes forget."""
    every = [(e, p) for seed in SEEDS[:100] for _, e in story(seed).tasks for p in range(len(e.slots))]
    assert {e.slots[p].name for e, p in every if not {*classes(e, p)}} == set()
    assert {kind for e, p in every for kind in classes(e, p)} == set(CLASSES)


@pytest.mark.parametrize("left_out", CLASSES)
def test_each_class_of_state_is_needed(left_out):
    """A controller that leaves one class out of the comparison gives another trace of some of the stories."""
    assert caught(lambda seed: told(story(seed), blind_to(left_out, story(seed))) != truth(seed))


HANDED_ON = ("block outputs", "block inputs", "edge memory", "timer start", "entry instants", "steps", "shared tags")
"""Classes that calm programs hand on; variables and outputs are handed on only by programs with loops through them."""


def careless_of(left_out, case):
    """A controller that goes to sleep although a class of what a scan hands on to the next has changed."""
    controller = controller_of(case)
    for task in controller.tasks:
        executable = task.executable
        kept = [p for p in executable.carried if left_out not in classes(executable, p)]
        task.settled = settler(executable.initial, kept)
    return controller


@pytest.mark.parametrize("left_out", HANDED_ON)
def test_each_class_handed_on_keeps_awake(left_out):
    """A controller that sleeps although one class of what is handed on has changed gives another trace."""
    assert caught(lambda seed: told(story(seed), careless_of(left_out, story(seed))) != truth(seed))


def without_report(block):
    """The lines of a timer that does not say when it will change."""
    return tuple(line for line in inline.LINES[block] if "due" not in line)


@pytest.mark.parametrize("block", ["TON", "TOF", "TP"])
def test_each_timer_must_say_when_it_is_due(monkeypatch, block):
    """A timer that does not report its start + PT sleeps past it."""
    monkeypatch.setitem(inline.LINES, block, without_report(block))
    assert caught(overslept)


LOOKS = {
    "step time with a bound": (Elapsed, (0,)),
    "step time past a bound": (Elapsed, (1,)),
    "step time at a bound": (Elapsed, (0, 1)),
    "ET with a bound": (TimerElapsed, (0,)),
    "ET past a bound": (TimerElapsed, (1,)),
    "ET at a bound": (TimerElapsed, (0, 1)),
}


@pytest.mark.parametrize("left_out", LOOKS)
def test_each_comparison_with_time_must_say_when_it_turns(monkeypatch, left_out):
    """A comparison of a running time that does not report its turn sleeps past it."""
    kind, after = LOOKS[left_out]
    look = compiler.looks_at_time

    def careless(expression):
        turns, volatile = look(expression)
        silent = [isinstance(t.running, kind) and t.after == after for t in turns]
        return [replace(t, after=()) if mute else t for t, mute in zip(turns, silent, strict=True)], volatile

    monkeypatch.setattr(compiler, "looks_at_time", careless)
    assert caught(overslept)


def test_past_a_bound_is_a_nanosecond_later(monkeypatch):
    """`ET > x` turns 1 ns after x: a scan at x itself finds nothing yet, and would be the last."""
    monkeypatch.setitem(emit._TURNS, Op.GT, (0,))
    assert caught(overslept)


@pytest.mark.parametrize("kind", [Elapsed, TimerElapsed])
def test_a_volatile_look_keeps_awake(monkeypatch, kind):
    """A running time that is not merely compared with a bound must be looked at in every scan."""
    look = compiler.looks_at_time

    def careless(expression):
        turns, volatile = look(expression)
        turns += [Turn(v, constant(0, TIME), ()) for v in volatile if isinstance(v, kind)]
        return turns, [v for v in volatile if not isinstance(v, kind)]

    monkeypatch.setattr(compiler, "looks_at_time", careless)
    assert caught(overslept)


def overslept(seed):
    """Whether a story, compiled by whatever the compiler now is, is told otherwise asleep than scanned always."""
    case = written(seed)
    return told(case, controller_of(case)) != told(case, controller_of(case, sleep=False))


def caught(shows):
    """Whether any of the stories shows a mutant."""
    return any(shows(seed) for seed in SEEDS)
