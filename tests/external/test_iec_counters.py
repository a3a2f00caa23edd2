"""CTU, CTD and CTUD held against the standard's bodies, call by call.

Source: from memory: IEC 61131-3:2003 Table 36 (IEC 61131-3:2013 Table 45). CV and PV are INT, so PVmax is 32767 and
PVmin is -32768 (range: IEC 61131-3:2003 Table 10, seen in the web reprint).
"""

import pytest

from simplant.blocks import CTD, CTU, CTUD
from simplant.timebase import Ns


def calls(block, *inputs, state=None):
    """Call in order and give the outputs after each call."""
    state, rows = state or block.initial, []
    for *levels, preset in inputs:
        state = block.call(state, (*(bool(level) for level in levels), preset), Ns(0))
        rows.append(tuple(int(value) for value in block.read(state, Ns(0))))
    return rows


def test_ctu_counts_rises_and_goes_on_past_the_preset():
    """Rows: edge-qualified CU; Q := CV >= PV; it does not stop at PV."""
    presses = [(1, 0, 2), (1, 0, 2), (0, 0, 2), (1, 0, 2), (0, 0, 2), (1, 0, 2)]
    assert calls(CTU, *presses) == [(0, 1), (0, 1), (0, 1), (1, 2), (1, 2), (1, 3)]


def test_ctu_reset_dominates():
    """Row: R TRUE and a CU edge in one call give CV = 0 and the edge is lost, also after R has gone."""
    assert calls(CTU, (1, 0, 2), (0, 0, 2), (1, 1, 2), (1, 0, 2), (0, 0, 2), (1, 0, 2)) == [
        (0, 1),
        (0, 1),
        (0, 0),
        (0, 0),
        (0, 0),
        (0, 1),
    ]


def test_ctu_holds_at_the_greatest_int():
    """Row: up to PVmax (INT: 32767), then it holds and does not wrap."""
    near = CTU.state(False, False, 5, True, 32766, False)
    assert calls(CTU, (1, 0, 5), (0, 0, 5), (1, 0, 5), state=near) == [(1, 32767), (1, 32767), (1, 32767)]


@pytest.mark.parametrize("preset", [0, -1, -32768])
def test_ctu_with_no_preset_is_done_at_once(preset):
    """Row: PV <= 0 gives Q TRUE at CV = 0."""
    assert calls(CTU, (0, 0, preset)) == [(1, 0)]


def test_ctd_loads_counts_down_and_goes_below_zero():
    """Rows: fresh instance Q TRUE; LD loads PV and dominates; Q := CV <= 0; it goes on below 0."""
    presses = [(0, 0, 2), (1, 1, 2), (1, 0, 2), (0, 0, 2), (1, 0, 2), (0, 0, 2), (1, 0, 2), (0, 0, 2), (1, 0, 2)]
    assert calls(CTD, *presses) == [(1, 0), (0, 2), (0, 2), (0, 2), (0, 1), (0, 1), (1, 0), (1, 0), (1, -1)]


def test_ctd_holds_at_the_least_int():
    """Row: down to PVmin (INT: -32768), Q stays TRUE."""
    near = CTD.state(False, False, 5, True, -32767, False)
    assert calls(CTD, (1, 0, 5), (0, 0, 5), (1, 0, 5), state=near) == [(1, -32768), (1, -32768), (1, -32768)]


def test_ctd_has_no_reset():
    """Row: CTD has CD, LD, PV and no R; CTU has CU, R, PV and no LD."""
    assert [[field.name for field in block.inputs] for block in (CTU, CTD, CTUD)] == [
        ["CU", "R", "PV"],
        ["CD", "LD", "PV"],
        ["CU", "CD", "R", "LD", "PV"],
    ]


@pytest.mark.parametrize(
    ("CU", "CD", "R", "LD", "after"),
    [
        (0, 0, 0, 0, 3), (1, 0, 0, 0, 4), (0, 1, 0, 0, 2), (1, 1, 0, 0, 3),
        (0, 0, 0, 1, 5), (1, 0, 0, 1, 5), (0, 1, 0, 1, 5), (1, 1, 0, 1, 5),
        (0, 0, 1, 0, 0), (1, 0, 1, 0, 0), (0, 1, 1, 0, 0), (1, 1, 1, 0, 0),
        (0, 0, 1, 1, 0), (1, 0, 1, 1, 0), (0, 1, 1, 1, 0), (1, 1, 1, 1, 0),
    ],
)  # fmt: skip
def test_ctud_priority(CU, CD, R, LD, after):
    """Rows: R > LD > count; both edges at once leave CV; QU := CV >= PV, QD := CV <= 0. CV was 3, PV is 5."""
    at_three = CTUD.state(False, False, False, False, 5, False, False, 3, False, False)
    assert calls(CTUD, (CU, CD, R, LD, 5), state=at_three) == [(int(after >= 5), int(after <= 0), after)]


def test_ctud_counts_rises_only():
    """Row: CU and CD are edge-qualified, each with its own memory; a lasting CU does not hide a CD edge."""
    presses = [(1, 0, 0, 0, 2), (1, 0, 0, 0, 2), (1, 1, 0, 0, 2), (1, 1, 0, 0, 2), (0, 1, 0, 0, 2), (1, 1, 0, 0, 2)]
    assert [cv for _qu, _qd, cv in calls(CTUD, *presses)] == [1, 1, 0, 0, 0, 1]


def test_ctud_holds_at_both_limits():
    """Row: PVmin and PVmax as in CTU and CTD."""
    top = CTUD.state(False, False, False, False, 5, True, False, 32767, False, False)
    bottom = CTUD.state(False, False, False, False, 5, False, True, -32768, False, False)
    assert calls(CTUD, (1, 0, 0, 0, 5), state=top) == [(1, 0, 32767)]
    assert calls(CTUD, (0, 1, 0, 0, 5), state=bottom) == [(0, 1, -32768)]
