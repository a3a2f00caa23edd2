"""Unique-cause MC/DC: which evaluations show that a condition decides.

The definition: two evaluations that differ in this condition alone (what was not evaluated counts as equal) and in the
outcome. Rule: whole sets of shown conditions, derived by hand.
"""

from itertools import product

import pytest

from simplant.errors import Place
from simplant.expr import Ref, binary, evaluate
from simplant.expr.operators import Op
from simplant.logic.coverage import decisions
from simplant.logic.coverage.conditions import Written
from simplant.logic.coverage.decisions import Decision
from simplant.logic.coverage.sheet import Sheet
from simplant.values import BOOL, INT

A, B, C = (Ref(name, BOOL) for name in "abc")
CYCLE = Ref("cycle", INT)
PLACE = Place("p.py", 1)
WRITTEN = Written({"cycle": ("off", "aim", "toss")}, {"cycle"})


def seen(expression, *rows):
    """Evaluate an expression on rows of values (`10-` is a, b, c in turn); give what its decision saw."""
    sheet = Sheet("p")
    watched = WRITTEN.watched(expression, sheet, "rung", "q", PLACE)
    for row in rows:
        env = {name: value == "1" for name, value in zip("abc", row, strict=True)}
        assert evaluate(watched, env) == evaluate(expression, env)
    (decision,) = sheet.decisions.values()
    return decision


def shown(expression, *rows):
    decision = seen(expression, *rows)
    return "".join(text for number, text in enumerate(decision.conditions) if number in decision.shown)


@pytest.mark.parametrize(
    ("expression", "rows", "wanted"),
    [
        (A & B, ("110", "010"), "a"),
        (A & B, ("110", "100"), "b"),
        (A & B, ("110", "010", "100"), "ab"),
        (A & B, ("000", "010"), ""),  # never TRUE
        (A & B, ("110", "000"), "a"),  # b was not evaluated where a is FALSE
        (A | B, ("000", "100", "010"), "ab"),
        (A | B, ("100", "010"), ""),  # never FALSE
        (binary(Op.XOR, A, B), ("000", "100", "010"), "ab"),
        (binary(Op.XOR, A, B), ("000", "110"), ""),
        ((A & B) | C, ("110", "010", "100", "001"), "abc"),
        ((A & B) | C, ("111", "000"), "a"),
        ((A & B) | C, ("100", "101"), "c"),
        (~A & B, ("010", "110"), "a"),
        ((A & B) | (A & C), ("110", "010", "001"), "a"),  # a stands twice and is one condition
        (A, ("000",), ""),
        (A, ("000", "100"), "a"),
    ],
)
def test_what_is_shown(expression, rows, wanted):
    """Pairs that differ in one condition alone; AND and OR stop as soon as they know."""
    assert shown(expression, *rows) == wanted


def test_all_vectors_show_all_conditions_that_can_decide():
    """On all eight rows every condition of these is shown; of one that never decides, none."""
    rows = ["".join(row) for row in product("01", repeat=3)]
    assert shown((A & B) | C, *rows) == "abc"
    assert shown(A & (B | ~B) & C, *rows) == "ac"


def test_steps_of_one_chart_are_one_condition():
    """`cycle among aim, toss` is asked as one thing, and named by the steps."""
    among = binary(Op.OR, CYCLE == 1, CYCLE == 2)
    assert [WRITTEN.text(c) for c in WRITTEN.conditions(among & A)] == ["cycle among aim, toss", "a"]
    assert [WRITTEN.text(c) for c in WRITTEN.conditions((CYCLE == 0) | A)] == ["cycle.off", "a"]


def test_what_nobody_wrote_is_no_decision():
    """Numbers of steps alone, flags of transitions, the first scan: lowering made them."""
    made = [CYCLE == 1, Ref("condition.3", BOOL), Ref("p.chart.0", BOOL), Ref("first_scan", BOOL)]
    assert [WRITTEN.wrote(each) for each in made] == [False] * 4
    assert WRITTEN.wrote((CYCLE == 1) & A)


def test_an_evaluation_that_failed_leaves_nothing_behind():
    """What was told before an error belongs to no later evaluation."""
    decision = Decision("rung", "q", PLACE, ("a", "b"))
    first, second = decision.observer(0, first=True), decision.observer(1, first=False)
    first(True)
    second(True)  # and then something failed
    first(False)
    decision.ended(False)
    first(True)
    second(False)
    decision.ended(True)
    assert decision.shown == {0}


def test_memory_is_bounded(monkeypatch):
    """Past the bound nothing more is kept, and what comes is still held against what is there."""
    monkeypatch.setattr(decisions, "MOST", 4)
    decision = Decision("rung", "q", PLACE, tuple("abcdefg"))
    for number in range(100):
        decision.add(tuple(bool(number >> n & 1) for n in range(7)), outcome=False)
    assert len(decision._kept) == len(decision._seen) == 4
    decision.add((True, *[False] * 6), outcome=True)
    assert decision.shown == {0, 1}  # against 0000000 and 1100000, which are among the four that are kept
    assert decision.missing == tuple("cdefg")


def test_a_whole_decision_keeps_nothing():
    """Once every condition is shown there is nothing left to find."""
    decision = seen(A & B, "110", "010", "100", "000")
    assert decision.missing == ()
    assert decision._kept == []
    assert decision.outcomes == {True, False}
