"""R_TRIG, F_TRIG, SR and RS held against the standard's bodies.

Source: from memory: IEC 61131-3:2003 Tables 34 (bistables) and 35 (edge detection), note in 2.5.2.3.2;
IEC 61131-3:2013 Tables 43 and 44.
"""

import pytest

from simplant.blocks import F_TRIG, R_TRIG, RS, SR
from simplant.timebase import Ns


def q_of(block, levels):
    """Call with each level of CLK and give Q after each call."""
    state, seen = block.initial, []
    for level in levels:
        state = block.call(state, (bool(level),), Ns(0))
        (q,) = block.read(state, Ns(0))
        seen.append(int(q))
    return seen


@pytest.mark.parametrize(
    ("block", "clk", "q"),
    [
        (R_TRIG, [0, 1, 1, 0, 0, 1, 0, 1], [0, 1, 0, 0, 0, 1, 0, 1]),
        (R_TRIG, [1, 1, 0], [1, 0, 0]),  # first call with CLK TRUE: Q TRUE for that one call
        (F_TRIG, [1, 0, 0, 1, 1, 0, 1, 0], [0, 1, 0, 0, 0, 1, 0, 1]),
        (F_TRIG, [1, 1, 0], [0, 0, 1]),  # first call with CLK TRUE: Q FALSE
        (F_TRIG, [0, 0, 1, 0], [1, 0, 0, 1]),  # first call with CLK FALSE: literal consequence of the body
    ],
)
def test_edges(block, clk, q):
    """Q is TRUE for exactly the call that sees the edge; the first call is as the bodies say."""
    assert q_of(block, clk) == q


@pytest.mark.parametrize(
    ("s", "r", "sr", "rs"),
    [(0, 0, "Q1", "Q1"), (0, 1, 0, 0), (1, 0, 1, 1), (1, 1, 1, 0)],
)
@pytest.mark.parametrize("before", [0, 1])
def test_bistables(s, r, sr, rs, before):
    """The truth table, from both states: SR lets set win, RS lets reset win."""
    for block, expected in ((SR, sr), (RS, rs)):
        after = block.call(block.state(False, False, bool(before)), (bool(s), bool(r)), Ns(0))
        assert block.read(after, Ns(0)) == (bool(before if expected == "Q1" else expected),)


def test_names_of_the_standard():
    """The dominant input carries the 1: SR has S1 and R, RS has S and R1; both give Q1, and start FALSE."""
    names = [[field.name for field in (*block.inputs, *block.outputs)] for block in (SR, RS, R_TRIG, F_TRIG)]
    assert names == [["S1", "R", "Q1"], ["S", "R1", "Q1"], ["CLK", "Q"], ["CLK", "Q"]]
    assert all(not any(block.initial) for block in (SR, RS, R_TRIG, F_TRIG))
