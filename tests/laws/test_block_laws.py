"""Laws of the standard blocks, over random call sequences; and that the conformance kit can fail."""

import re
from dataclasses import replace
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.blocks import (
    BLOCKS,
    CTD,
    CTU,
    CTUD,
    F_TRIG,
    R_TRIG,
    RS,
    SR,
    TOF,
    TON,
    TP,
    BlockType,
    Field,
    check_block,
    fields,
    never_due,
)
from simplant.errors import ProgramError
from simplant.timebase import NEVER, Ns
from simplant.values import BOOL, BYTE, INT, LTIME, REAL, STRING

TIMERS = [TON, TOF, TP]
pauses = st.integers(0, 60)
presets = st.sampled_from([-3, 0, 1, 20, 50])
timer_calls = st.lists(st.tuples(pauses, st.booleans(), presets), min_size=1, max_size=30)
steady_calls = st.lists(st.tuples(pauses, st.booleans()), min_size=1, max_size=30)
levels = st.lists(st.booleans(), min_size=1, max_size=30)
counts = st.sampled_from([INT.least, -2, 0, 1, 3, INT.most])


def drive(block, calls):
    """Call after each pause and give (now, inputs, state before, state after)."""
    state, now, rows = block.initial, Ns(0), []
    for pause, *inputs in calls:
        now = Ns(now + pause)
        after = block.call(state, tuple(inputs), now)
        rows.append((now, tuple(inputs), state, after))
        state = after
    return rows


@pytest.mark.parametrize("block", BLOCKS.values(), ids=BLOCKS)
def test_standard_blocks_keep_the_contract(block):
    """The conformance kit passes every standard block; the registry names it as it names itself."""
    check_block(block)
    assert BLOCKS[block.name] is block
    assert block.initial == block.state()


def test_edge_blocks():
    """Those that remember an input from call to call, and only those, are marked."""
    assert {name for name, block in BLOCKS.items() if block.edge} == {"CTU", "CTD", "CTUD", "R_TRIG", "F_TRIG"}
    assert {name for name, block in BLOCKS.items() if block.elapsed} == {"TON", "TOF", "TP"}


@pytest.mark.parametrize("block", TIMERS, ids=lambda block: block.name)
@given(timer_calls)
def test_elapsed_time_is_between_nothing_and_the_preset(block, calls):
    """0 <= ET <= PT, read at the call or any time after it; TON: Q implies ET >= PT and IN; TP, TOF: Q or IN has ET."""
    for now, (level, preset), _before, after in drive(block, calls):
        for later in (now, now + 7, now + 1000):
            assert 0 <= block.elapsed(after, later) <= max(preset, 0)
        q, et = block.read(after, now)
        if block is TON:
            assert not q or (level and et == max(preset, 0))
        else:
            assert q or et in (0, max(preset, 0))


@pytest.mark.parametrize("block", TIMERS, ids=lambda block: block.name)
@given(timer_calls)
def test_due_is_the_very_instant(block, calls):
    """A call with the same inputs changes nothing before `due` and something at it."""
    for now, inputs, _before, after in drive(block, calls):
        due = block.due(after, now)
        assert due > now
        for earlier in {now, Ns((now + due) // 2), Ns(due - 1)}:
            assert block.call(after, inputs, earlier) == after
        if due < NEVER:
            assert block.call(after, inputs, due) != after
            assert block.elapsed(after, due) == inputs[1]


@pytest.mark.parametrize("block", TIMERS, ids=lambda block: block.name)
@given(steady_calls, st.lists(st.integers(0, 2000), max_size=10))
def test_extra_calls_before_due_change_nothing(block, calls, extras):
    """Calls with unchanged inputs between two calls, none beyond due, leave the trace as it was."""
    state, now = block.initial, Ns(0)
    expected = [after for *_rest, after in drive(block, [(pause, level, 50) for pause, level in calls])]
    for (pause, level), after in zip(calls, expected, strict=True):
        inputs = state[:2]
        for share in sorted(extras):
            at = Ns(now + share % (pause + 1))
            if at < block.due(state, now):
                state = block.call(state, inputs, at) if state != block.initial else state
        now = Ns(now + pause)
        state = block.call(state, (level, 50), now)
        assert state == after


@given(steady_calls)
def test_ton_means_on_for_the_preset(calls):
    """Q exactly if IN was TRUE in every call of at least the last PT."""
    since = None
    for now, (level, preset), _before, after in drive(TON, [(pause, level, 50) for pause, level in calls]):
        since = (now if since is None else since) if level else None
        assert after.Q is (since is not None and now - since >= preset)


@given(steady_calls)
def test_tof_means_on_within_the_preset(calls):
    """Q exactly if IN is TRUE, or was and the fall was seen less than PT ago."""
    ever, fell = False, None
    for now, (level, preset), before, after in drive(TOF, [(pause, level, 50) for pause, level in calls]):
        fell = now if before.IN and not level else fell
        ever = ever or level
        assert after.Q is (level or (ever and now - fell < preset))


@given(steady_calls)
def test_tp_pulse_is_never_cut_or_stretched(calls):
    """Q lasts from the call that starts it to the first call PT later, whatever IN does; it starts only at a rise."""
    began = None
    for now, (_level, preset), before, after in drive(TP, [(pause, level, 50) for pause, level in calls]):
        if after.Q and not before.Q:
            assert after.IN
            assert not before.IN
            began = now
        if before.Q:
            assert after.Q is (now - began < preset)


@given(st.lists(st.tuples(st.booleans(), st.booleans(), counts), min_size=1, max_size=30))
def test_ctu_and_ctd_mirror_each_other(calls):
    """CV stays an INT; it moves by one at a rise only; R and LD set it whatever the edges do; Q compares."""
    for block, one, loads in ((CTU, 1, False), (CTD, -1, True)):
        for _now, (count, load, preset), before, after in drive(block, [(0, *call) for call in calls]):
            rise = count and not before[0]
            moved = min(max(before.CV + one * rise, INT.least), INT.most)
            assert after.CV == ((preset if loads else 0) if load else moved)
            assert after.Q is (after.CV <= 0 if loads else after.CV >= preset)


@given(st.lists(st.tuples(*[st.booleans()] * 4, counts), min_size=1, max_size=30))
def test_ctud_bounds_and_priority(calls):
    """CV stays an INT; R beats LD beats counting; a rise on both sides moves nothing."""
    for _now, (up, down, reset, load, preset), before, after in drive(CTUD, [(0, *call) for call in calls]):
        change = int(up and not before.CU) - int(down and not before.CD)
        moved = min(max(before.CV + change, INT.least), INT.most)
        assert after.CV == (0 if reset else preset if load else moved)
        assert (after.QU, after.QD) == (after.CV >= preset, after.CV <= 0)


@given(levels)
def test_edges_are_where_the_input_changes(clk):
    """R_TRIG is on exactly where CLK rises, F_TRIG where it falls; before the first call: low, and high (sic)."""
    for block, before, edge in ((R_TRIG, False, (False, True)), (F_TRIG, True, (True, False))):
        seen = [after.Q for *_rest, after in drive(block, [(0, level) for level in clk])]
        assert seen == [pair == edge for pair in zip([before, *clk], clk, strict=False)]


@given(st.lists(st.tuples(st.booleans(), st.booleans()), min_size=1, max_size=30))
def test_dominance_and_memory(calls):
    """Set wins in SR, reset wins in RS; without either the latch keeps; they differ only while both are on."""
    for block, both in ((SR, True), (RS, False)):
        for _now, (set_, reset), before, after in drive(block, [(0, *call) for call in calls]):
            kept = before.Q1 if not set_ and not reset else set_ if set_ is not reset else both
            assert after.Q1 is kept


class Scaled(NamedTuple):
    TEXT: str = ""
    X: float = 0.0
    MASK: int = 0
    OUT: float = 0.0


def scaled(state, _now):
    return state._replace(OUT=REAL.wrap(len(state.TEXT) + state.X / 2 + state.MASK % 16))


def test_a_block_of_the_users_own_keeps_the_contract():
    """The conformance kit drives inputs of every kind, not only those the standard blocks have."""
    inputs = fields(TEXT=STRING, X=REAL, MASK=BYTE)
    own = BlockType("SCALED", inputs, fields(OUT=REAL), (*inputs, *fields(OUT=REAL)), Scaled, scaled, never_due)
    check_block(own)
    with pytest.raises(ProgramError, match="OUT leaves its type"):
        check_block(replace(own, step=lambda s, _now: s._replace(OUT=s.X / 3)))


HIDDEN = []


def impure(state, now):
    HIDDEN.append(now)
    return state._replace(Q=len(HIDDEN) % 2 == 0)


BROKEN = {
    "the step changes its inputs": replace(R_TRIG, step=lambda s, _now: s._replace(CLK=False)),
    "the step is not pure": replace(R_TRIG, step=impure),
    "the state changes its class": replace(R_TRIG, step=lambda s, _now: tuple(s)),
    "CV leaves its type": replace(CTU, step=lambda s, _now: s._replace(CV=40000)),
    "Q1 leaves its type": replace(SR, step=lambda s, _now: s._replace(Q1=1)),
    "the same call at the same instant never settles": replace(R_TRIG, step=lambda s, _now: s._replace(Q=not s.Q)),
    "`due` is not later than the call": replace(TON, due=lambda _s, now: now),
    "a call before `due` changes the state": replace(TON, due=lambda _s, _now: NEVER),
    "a call before `due` changes": replace(TP, due=lambda s, now: Ns(TP.due(s, now) + (TP.due(s, now) < NEVER))),
    "ET runs although nothing is due": replace(RS, outputs=TON.outputs[1:], elapsed=lambda _s, now: now),
    "ET runs backwards": replace(TON, elapsed=lambda s, now: Ns(-TON.elapsed(s, now))),
    "ET runs back": replace(TON, elapsed=lambda s, now: Ns(10**12 - TON.elapsed(s, now))),
    "an output is neither stored nor ET": replace(SR, outputs=(Field("Q2", BOOL, False),)),
    "Q1 starts outside its type": replace(SR, stored=(*SR.stored[:2], Field("Q1", BOOL, 7)), outputs=()),
    "start starts outside its type": replace(TON, stored=(*TON.stored[:3], Field("start", LTIME, "never"))),
    "the stored fields do not start with the inputs": replace(SR, inputs=SR.inputs[::-1]),
    "two stored fields share a name": replace(SR, stored=SR.stored[:2] * 2, outputs=()),
    "`state` is no NamedTuple of the stored fields": replace(SR, state=RS.state),
}


@pytest.mark.parametrize(("what", "broken"), BROKEN.items(), ids=BROKEN)
def test_the_conformance_kit_can_fail(what, broken):
    """Each clause of the contract, broken in one way, is found and named."""
    with pytest.raises(ProgramError, match=re.escape(f"block {broken.name}: {what}")):
        check_block(broken)
