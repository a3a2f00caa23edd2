"""Where two traces part, and what a trace tells of steps, alarms and events."""

from simplant.scenario.compare import Difference, NameDifference, first_difference
from simplant.scenario.records import AlarmRecord, EventRecord, StepRecord, alarms_of, events_of, steps_of
from simplant.scenario.trace import Trace

STORED = Trace(
    (
        (0, "a", False),
        (0, "calls", "idle"),
        (5, "a", True),
        (6, "calls", "aim"),
        (7, "a", False),
        (9, "!", "main: overrun"),
        (9, "calls", "idle"),
    )
)


def differing(*changes):
    """Give STORED with rows (index, row) put in place; None takes a row out."""
    rows = list(STORED)
    for index, row in changes:
        rows[index] = row
    return Trace(tuple(row for row in rows if row is not None))


def test_equal_traces_have_no_difference():
    """Headers are never compared; 1 and TRUE are one value."""
    assert first_difference(STORED, Trace(STORED.rows, {"seed": "3"})) is None
    assert first_difference(STORED, Trace.parse(STORED.text())) is None


def test_a_change_that_comes_later():
    """The first differing line with its neighbours; each name's first differing instant, with both values."""
    assert first_difference(STORED, differing((3, None), (4, (7, "calls", "aim")), (5, (8, "a", False)))) == Difference(
        line=4,
        before=("0.000000000 a 0", "0.000000000 calls idle", "0.000000005 a 1"),
        stored=(
            "0.000000006 calls aim",
            "0.000000007 a 0",
            "0.000000009 ! main: overrun",
            "0.000000009 calls idle",
        ),
        now=("0.000000007 calls aim", "0.000000008 a 0", "0.000000009 calls idle"),
        names=(
            NameDifference("calls", 6, "aim", "idle"),
            NameDifference("a", 7, "0", "1"),
            NameDifference("!", 9, "main: overrun", ""),
        ),
    )


def test_a_trace_that_ends_early():
    """The shorter one has no lines left."""
    assert first_difference(STORED, Trace(STORED.rows[:-1])) == Difference(
        line=7,
        before=("0.000000005 a 1", "0.000000006 calls aim", "0.000000007 a 0", "0.000000009 ! main: overrun"),
        stored=("0.000000009 calls idle",),
        now=(),
        names=(NameDifference("calls", 9, "idle", "aim"),),
    )


def test_whole_and_real_numbers_differ():
    """1 and 1.0 are written differently, so they differ."""
    difference = first_difference(Trace(((0, "x", 1),)), Trace(((0, "x", 1.0),)))
    assert difference is not None
    assert difference.names == (NameDifference("x", 0, "1", "1.0"),)


def test_steps_from_a_trace():
    """A step lasts until the chart's next one; the last is open."""
    assert steps_of(STORED, ["calls"]) == (
        StepRecord("calls", "idle", 0, 6),
        StepRecord("calls", "aim", 6, 9),
        StepRecord("calls", "idle", 9, None),
    )
    assert steps_of(STORED, []) == ()


def test_alarms_from_a_trace():
    """First-out is the one that came while no other was there; in one instant, the one named first."""
    rows = [
        (0, "late", False),
        (0, "slow", False),
        (5, "slow", True),
        (5, "late", True),
        (8, "slow", False),
        (9, "late", False),
        (9, "other", True),
        (12, "late", True),
    ]
    assert alarms_of(rows, {"late": "Lift not home", "slow": "Wheel slow"}) == (
        AlarmRecord(5, "slow", "Wheel slow", True, 8),
        AlarmRecord(5, "late", "Lift not home", False, 9),
        AlarmRecord(12, "late", "Lift not home", True, None),
    )


def test_events_from_a_trace():
    """Event lines, in order."""
    assert events_of(STORED) == (EventRecord(9, "main: overrun"),)
