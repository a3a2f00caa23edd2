"""Points, blocks, numbers: the smallest program that provokes each finding, and one that must not."""

import pytest

from simplant import BOOL, DINT, INT, UINT, USINT, Program, Tag, constant, limit, max_, min_, ms, select, us
from simplant.blocks import CTU, R_TRIG, TON
from simplant.expr import Assignment, Ref
from simplant.logic.check import Timing, shortest_pulses
from simplant.tags import Direction
from tests.check.kit import findings, whats


def test_points_that_one_side_forgot():
    """Inputs nobody reads, outputs nobody writes, memory with one side or none; the rest in order."""

    def write(p, t):
        held, idle, spare = p.memory("held"), p.memory("idle"), p.memory("spare")
        del spare
        p.rung(t.motor, t.start & ~t.stop & held)
        p.rung(idle, t.start)

    assert [(f.severity, f.kind, f.what) for f in findings(write)] == [
        ("warning", "unused input", "input sensor is never read"),
        ("warning", "unwritten output", "output valve is never written"),
        ("warning", "unused input", "input weight is never read"),
        ("warning", "unwritten memory", "memory held is read but never written"),
        ("note", "unread memory", "memory idle is written but never read"),
        ("note", "unused memory", "memory spare is never used"),
    ]


def test_names_and_types_that_building_did_not_see():
    """A reference made by hand may name nothing, or name it wrongly."""

    def write(p, t):
        p.rung(t.motor, Ref("strat", BOOL))
        p.rung(t.valve, Ref("weight", DINT) > 3)
        p.move(Assignment(p.memory("n", INT), Ref("start", BOOL)))

    assert [f.what for f in findings(write) if f.severity == "error"] == [
        "'strat' is used but not declared",
        "weight is declared INT but used as DINT",
        "n is INT but is given start (BOOL)",
    ]


def test_a_sequence_without_rows_is_said():
    """Its steps are declared, and nothing moves it."""
    assert whats(lambda p, _t: p.sequence("cycle", ["a"]), "undeclared") == [
        ("error", "sequence 'cycle' has steps but no transitions")
    ]


BLOCKS = [
    (R_TRIG, {"CLK": "start"}, ("warning", "conditional edge block", "it (R_TRIG) is called only when sensor")),
    (CTU, {"CU": "start"}, ("warning", "conditional edge block", "it (CTU) is called only when sensor")),
    (TON, {"IN": "start"}, ("note", "conditional timer", "it (TON) is called only when sensor")),
]


@pytest.mark.parametrize(("block", "inputs", "found"), BLOCKS, ids=lambda b: getattr(b, "name", ""))
def test_blocks_that_are_not_called_in_every_scan(block, inputs, found):
    """An edge block is likely wrong then, a timer worth knowing; called always, neither."""

    def write(p, t, **when):
        p.call(p.block("it", block), **{name: t[tag] for name, tag in inputs.items()}, **when)

    kinds = ("conditional edge block", "conditional timer")
    assert [
        (f.severity, f.kind, f.what) for f in findings(lambda p, t: write(p, t, when=t.sensor)) if f.kind in kinds
    ] == [found]
    assert [f for f in findings(write) if f.kind in kinds] == []


def test_an_instance_is_called_once():
    """Never and twice are both found; once is right."""

    def write(p, t):
        p.block("never", "TON")
        p.rising("once", t.start)
        twice = p.block("twice", "R_TRIG")
        p.call(twice, CLK=t.start)
        p.call(twice, CLK=t.stop)

    assert whats(write, "block never called") == [("warning", "never (TON) is declared but never called")]
    assert whats(write, "block called twice") == [("warning", "twice (R_TRIG) is called 2 times: at LINE and LINE")]


COUNTS = [
    (INT, lambda n: n + 1, None, "warning"),
    (INT, lambda n: 1 + n, None, "warning"),
    (UINT, lambda n: n - 1, None, "warning"),
    (INT, lambda n: n + 1, lambda n: n < 10, ""),
    (INT, lambda n: n + 1, lambda n: 10 > n, ""),
    (INT, lambda n: min_(n + 1, 32000), None, ""),
    (INT, lambda n: min_(n + 1, 32767), None, "warning"),  # n + 1 has wrapped before MIN sees it
    (UINT, lambda n: max_(n - 1, 0), None, "warning"),
    (UINT, lambda n: max_(n - 1, 1), None, ""),
    (USINT, lambda n: limit(0, n + 5, 250), None, ""),
    (USINT, lambda n: limit(0, n + 5, 251), None, "warning"),
    (INT, lambda n: (n + 1) % 10, None, ""),
    (INT, lambda n: n * 2, None, ""),
]


@pytest.mark.parametrize(("kind", "value", "guard", "severity"), COUNTS)
def test_a_count_must_be_stopped_before_its_type_ends(kind, value, guard, severity):
    """By a bound that holds before the sum wraps, or by a guard that looks at the count."""

    def write(p, _t):
        n = p.memory("n", kind)
        p.move(n.becomes(value(n)), when=None if guard is None else guard(n))

    assert [s for s, _ in whats(write, "counter wraps")] == [severity] * bool(severity)


def test_a_reset_elsewhere_makes_a_count_worth_knowing_only():
    """And a heartbeat is meant to wrap."""

    def write(p, t):
        n, beat = p.memory("n", INT), p.memory("beat", INT, free_running=True)
        p.move(n.becomes(n + 1), when=t.start)
        p.move(n.becomes(0), when=t.stop)
        p.move(beat.becomes(beat + 1))

    assert [s for s, _ in whats(write, "counter wraps")] == ["note"]


DIVISIONS = [
    (lambda w: constant(60, INT) / w, None, "warning"),
    (lambda w: constant(60, INT) % w, lambda w: w > 5, ""),
    (lambda w: constant(60, INT) / w, lambda w: w >= 0, "warning"),
    (lambda w: constant(60, INT) / w, lambda w: ~(w == 0), ""),
    (lambda w: w / 4, None, ""),
    (lambda w: w / 0, None, "error"),
    (lambda w: constant(60, INT) / max_(w, 1), None, ""),
    (lambda w: constant(60, INT) / max_(w, 0), None, "warning"),
    (lambda w: constant(60, INT) / limit(1, w, 9), None, ""),
    (lambda w: select(w != 0, 0, constant(60, INT) / w), None, ""),
    (lambda w: select(w == 0, constant(60, INT) / w, 0), None, ""),
    (lambda w: select(w != 0, constant(60, INT) / w, 0), None, "warning"),
]


@pytest.mark.parametrize(("value", "guard", "severity"), DIVISIONS)
def test_a_divisor_must_not_be_zero(value, guard, severity):
    """A guard, a bound or a choice that excludes zero is seen, and one that does not is not trusted."""

    def write(p, t):
        n = p.memory("n", INT)
        p.move(n.becomes(value(t.weight)), when=None if guard is None else guard(t.weight))

    assert [s for s, _ in whats(write, "division by zero")] == [severity] * bool(severity)


def test_and_looks_no_further_once_decided():
    """`w <> 0 AND 60 / w > 3` is safe, the other order is not."""

    def guarded(first, second):
        return whats(lambda _p, _t: _p.rung(_t.motor, first(_t.weight) & second(_t.weight)), "division by zero")

    def nonzero(w):
        return w != 0

    def quotient(w):
        return constant(60, INT) / w > 3

    assert guarded(nonzero, quotient) == []
    assert len(guarded(quotient, nonzero)) == 1


def test_plain_python_is_named():
    """It cannot be looked into."""

    def mix(x):
        return x

    assert whats(lambda p, t: p.python(mix, reads=[t.start], writes=[t.motor]), "plain Python") == [
        ("note", "plain Python 'mix' is run in every scan")
    ]


def test_the_shortest_pulse_is_that_of_the_slowest_reader():
    """Filter + period + start jitter, the greatest over the tasks that read it; unread inputs are left out."""
    p = Program("press", [Tag(n, BOOL, Direction.INPUT) for n in ("fast", "both", "none")])
    p.rung(p.memory("x"), p.tags.both)
    with p.task("quick", period=ms(1)):
        p.rung(p.memory("y"), p.tags.fast & p.tags.both)
    timings = {"main": Timing(ms(10), ms(12), us(500)), "quick": Timing(ms(1))}
    assert shortest_pulses(p, {"fast": ms(3)}, timings) == [("fast", ms(4)), ("both", us(20_500))]
