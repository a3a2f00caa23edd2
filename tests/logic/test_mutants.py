"""Mutants of small programs: every kind, told in full; the program itself stays as it was."""

import pytest

from simplant import INT, TIME, Alarm, Program, Step, constant, go, ms, seconds
from simplant.logic.compile import source_of
from simplant.logic.layout import layouts
from simplant.logic.mutate import KINDS, difference, mutants
from simplant.tags import Direction, Tag
from simplant.values import BOOL

IN, OUT = Direction.INPUT, Direction.OUTPUT
TAGS = [Tag("a_pressed", BOOL, IN), Tag("b_pressed", BOOL, IN), Tag("lamp_cmd", BOOL, OUT), Tag("horn_cmd", BOOL, OUT)]


def told(program):
    """Give all mutants without their place."""
    return [f"{m.kind}: {m.where}: {m.before} -> {m.after}" for m in mutants(program)]


def program(build):
    p = Program("small", TAGS)
    build(p, p.tags)
    return p


def test_a_rung():
    """Each contact negated and mistaken, the connective swapped, each side dropped; the coil; the rung left out."""
    assert told(program(lambda p, t: p.rung(t.lamp_cmd, t.a_pressed & ~t.b_pressed))) == [
        "connective: ( ) lamp_cmd: a_pressed AND NOT b_pressed -> a_pressed OR NOT b_pressed",
        "dropped: ( ) lamp_cmd: NOT b_pressed -> nothing",
        "dropped: ( ) lamp_cmd: a_pressed -> nothing",
        "negated: ( ) lamp_cmd: a_pressed -> NOT a_pressed",
        "input: ( ) lamp_cmd: a_pressed -> b_pressed",
        "negated: ( ) lamp_cmd: NOT b_pressed -> b_pressed",
        "input: ( ) lamp_cmd: NOT b_pressed -> NOT a_pressed",
        "coil: ( ) lamp_cmd: ( ) -> (S)",
        "assignment: ( ) lamp_cmd: it -> nothing",
    ]


def test_set_and_reset():
    """A set coil becomes a reset coil and back, and either is left out."""

    def build(p, t):
        p.set(t.lamp_cmd, t.a_pressed)
        p.reset(t.lamp_cmd, t.b_pressed)

    assert [line for line in told(program(build)) if line.startswith(("coil", "assignment"))] == [
        "coil: (S) lamp_cmd: (S) -> (R)",
        "assignment: (S) lamp_cmd: it -> nothing",
        "coil: (R) lamp_cmd: (R) -> (S)",
        "assignment: (R) lamp_cmd: it -> nothing",
    ]


def test_a_timer():
    """Its preset a tenth, tenfold and a scan off; another type; called only while its input is on, so never reset."""

    def build(p, t):
        p.rung(t.lamp_cmd, p.ton("held", t.a_pressed, seconds(2)).Q)

    assert [line for line in told(program(build)) if not line.startswith(("negated", "input", "coil"))] == [
        "preset: held (TON) PT: T#2s -> T#200ms",
        "preset: held (TON) PT: T#2s -> T#20s",
        "preset: held (TON) PT: T#2s -> T#2s10ms",
        "preset: held (TON) PT: T#2s -> T#1s990ms",
        "reset: held (TON): called always -> only while IN",
        "timer: held: TON -> TOF",
        "timer: held: TON -> TP",
        "assignment: ( ) lamp_cmd: it -> nothing",
    ]


def test_a_counter_is_not_reset():
    def build(p, t):
        n = p.call(p.block("n", "CTU"), CU=t.a_pressed, R=t.b_pressed, PV=3)
        p.rung(t.lamp_cmd, n.Q)

    assert [line for line in told(program(build)) if line.startswith(("reset", "constant"))] == [
        "reset: n (CTU) R: b_pressed -> never",
        "constant: n (CTU) PV: 3 -> 4",
        "constant: n (CTU) PV: 3 -> 2",
    ]


def test_a_sequence():
    """Transitions left out one by one, led elsewhere, in another order; limits; what steps do."""

    def build(p, t):
        n = p.memory("n", INT, initial=4)
        c = p.sequence("c", [
            Step("rest"),
            Step("run", drive=(t.lamp_cmd,), entry=(n.becomes(n + 1),), limit=seconds(1), on_limit="rest"),
            Step("late"),
        ])  # fmt: skip
        c.transitions([
            go("rest", "run", t.a_pressed),
            go("run", "rest", t.b_pressed),
            go("run", "late", c.time >= ms(500)),
            go(["run", "late"], "rest", ~t.a_pressed),
        ])  # fmt: skip

    kinds = ("transition", "order", "limit", "assignment", "preset", "comparison", "arithmetic", "initial")
    assert [line for line in told(program(build)) if line.startswith(kinds)] == [
        "transition: c: rest -> run: it -> nothing",
        "transition: c: rest -> run: to run -> to late",
        "transition: c: run -> rest: it -> nothing",
        "comparison: c: run -> late: c.T >= T#500ms -> c.T > T#500ms",
        "preset: c: run -> late: T#500ms -> T#50ms",
        "preset: c: run -> late: T#500ms -> T#5s",
        "preset: c: run -> late: T#500ms -> T#510ms",
        "preset: c: run -> late: T#500ms -> T#490ms",
        "transition: c: run -> late: it -> nothing",
        "transition: c: run -> late: to late -> to rest",
        "transition: c: run -> rest: it -> nothing",
        "transition: c: late -> rest: it -> nothing",
        "transition: c: run and 1 more -> rest: to rest -> to run",
        "order: c: run -> rest: before -> after c: run -> late",
        "order: c: run -> late: before -> after c: run and 1 more -> rest",
        "assignment: c: step run entry n := n + 1: it -> nothing",
        "arithmetic: c: step run entry n := n + 1: n + 1 -> n - 1",
        "assignment: c: step run: drives lamp_cmd -> not",
        "preset: c: step run: limit 1.000 s -> 100 ms",
        "preset: c: step run: limit 1.000 s -> 10.000 s",
        "preset: c: step run: limit 1.000 s -> 1.010 s",
        "preset: c: step run: limit 1.000 s -> 990 ms",
        "limit: c: step run: limit 1.000 s -> none",
        "limit: c: step run: on limit to rest -> late",
        "initial: n: lost at a restart -> kept over a restart",
        "initial: n: begins as 4 -> as 41",
        "initial: c: lost at a restart -> kept over a restart",
    ]


def everything(p, t):
    """One program with a mistake of every kind in it."""
    n, longest = p.memory("n", INT), p.memory("longest", TIME, retain=True)
    alarms = p.alarms("alarm", reset=t.b_pressed, rows=[Alarm("much", n > 3, "too many")])
    edge = p.rising("edge", t.a_pressed)
    p.move(n.becomes(n * 2, when=t.b_pressed), when=edge | alarms.any)
    both = p.call(p.block("both", "SR"), S1=t.a_pressed, R=t.b_pressed ^ t.a_pressed)
    p.call(p.block("pulse", "TP"), IN=both.Q1, PT=constant(ms(30), TIME))
    c = p.sequence("c", [Step("rest"), Step("run", limit=seconds(1), on_limit="rest")])
    c.transitions(
        [go("rest", "run", edge, longest.becomes(ms(20))), go("run", "rest", ~edge), go("run", "rest", n == 3)]
    )
    p.set(t.lamp_cmd, c["run"])
    p.reset(t.lamp_cmd, ~c["run"])
    p.rung(t.horn_cmd, alarms.any | (longest > ms(10)))


def forms(p):
    return [(source_of(layout)[0], layout.slots) for layout in layouts(p)]


def test_each_is_one_mistake_and_the_program_stays():
    """Every kind is there; each compiles, to something else unless its condition is the same; the program stays."""
    p = program(everything)
    before, listed = forms(p), mutants(p)
    assert {m.kind for m in listed} == set(KINDS)
    assert len({str(m) for m in listed}) == len(listed)
    same = [
        str(m) for m in listed if forms(m.make()) == before and not (m.conditions and difference(*m.conditions).none)
    ]
    assert [line.rpartition(": c: ")[2] for line in same] == []
    assert forms(p) == before
    assert [str(m) for m in mutants(p)] == [str(m) for m in listed]


@pytest.mark.parametrize(
    ("make", "tried", "at"),
    [
        (lambda a, b, c: (a & b, b & a), 4, None),
        (lambda a, b, c: (~(a & b), ~a | ~b), 4, None),
        (lambda a, b, c: (a | (a & c), a), 4, None),
        (lambda a, b, c: (a & b, a | b), 4, {"a": False, "b": True}),
        (lambda a, b, c: (a & b & ~c, a & b), 8, {"a": True, "b": True, "c": True}),
        (lambda a, b, c: (a | (b & c), a), 8, {"a": False, "b": True, "c": True}),
        (lambda a, b, c: (a ^ b, a | b), 4, {"a": True, "b": True}),
    ],
)
def test_whether_two_conditions_are_the_same(make, tried, at):
    """All combinations are tried; where they first differ, only the bits that matter are told."""
    p = Program("bits", [Tag(name, BOOL, IN) for name in "abc"])
    found = difference(*make(p.tags.a, p.tags.b, p.tags.c))
    assert (found.tried, found.at) == (tried, at)


def test_too_many_bits_are_not_tried():
    p = Program("bits", [Tag(f"bit_{n}", BOOL, IN) for n in range(13)])
    condition = p.tags.bit_0
    for tag in p.tags:
        condition = condition & tag
    assert (difference(condition, condition).tried, difference(condition, condition).none) == (0, False)


def test_the_order_of_guards_that_never_meet():
    """Two rows whose guards cannot both hold may change places; with guards that can, it is told where they do."""

    def build(p, t):
        c = p.sequence("c", ["rest", "run", "walk"])
        c.transitions([
            go("rest", "run", t.a_pressed & t.b_pressed), go("rest", "walk", t.a_pressed & ~t.b_pressed),
            go("rest", "run", t.b_pressed), go("rest", "walk", t.a_pressed), go(["run", "walk"], "rest", ~t.b_pressed),
        ])  # fmt: skip

    found = [difference(*m.conditions) for m in mutants(program(build)) if m.kind == "order"]
    assert [(each.none, each.at) for each in found] == [
        (True, None),
        (True, None),
        (False, {"b_pressed": True, "a_pressed": True}),
    ]
