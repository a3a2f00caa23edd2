"""TON, TOF and TP held against the standard's timing, instant by instant.

Source: from memory: IEC 61131-3:2003 Tables 37 and 38 with their timing diagrams (IEC 61131-3:2013 Table 46). PT is
T#100ms, times are milliseconds, calls are as if continuous. Rows marked "our choice" answer what the standard leaves
open; they are stated in the docstrings of simplant/blocks/timers.py.
"""

import pytest

from simplant.blocks import TOF, TON, TP
from simplant.timebase import NEVER, ms, seconds
from simplant.values import TIME

TON_ROWS = [  # (t, IN, Q, ET)
    (0, 1, 0, 0),
    (50, 1, 0, 50),
    (99, 1, 0, 99),
    (100, 1, 1, 100),
    (150, 1, 1, 100),
    (160, 0, 0, 0),
    (200, 1, 0, 0),
    (249, 1, 0, 49),
    (250, 0, 0, 0),
    (400, 0, 0, 0),
]
TOF_ROWS = [
    (-10, 0, 0, 0),
    (0, 1, 1, 0),
    (50, 0, 1, 0),
    (110, 0, 1, 60),
    (120, 1, 1, 0),
    (200, 0, 1, 0),
    (299, 0, 1, 99),
    (300, 0, 0, 100),
    (500, 0, 0, 100),
    (600, 1, 1, 0),
]
TP_ROWS = [
    (0, 1, 1, 0),
    (30, 0, 1, 30),
    (60, 1, 1, 60),
    (80, 0, 1, 80),
    (100, 0, 0, 0),
    (200, 1, 1, 0),
    (300, 1, 0, 100),
    (450, 1, 0, 100),
    (460, 0, 0, 0),
    (470, 1, 1, 0),
]
TABLES = [(TON, TON_ROWS), (TOF, TOF_ROWS), (TP, TP_ROWS)]
BEGIN = seconds(1)


def trace(block, stimuli, begin=BEGIN):
    """Call at each (ms, IN, PT in ms) and give (ms, IN, Q, ET in ms); instants count from `begin`."""
    state, rows = block.initial, []
    for at, level, preset in stimuli:
        now = begin + ms(1) * at
        state = block.call(state, (bool(level), ms(1) * preset), now)
        q, et = block.read(state, now)
        rows.append((at, level, int(q), et / ms(1)))
    return rows


@pytest.mark.parametrize(("block", "rows"), TABLES, ids=lambda each: getattr(each, "name", ""))
def test_timing_table(block, rows):
    """Each row of the diagram, called at just these instants."""
    assert trace(block, [(at, level, 100) for at, level, _q, _et in rows]) == rows


@pytest.mark.parametrize(("block", "rows"), TABLES, ids=lambda each: getattr(each, "name", ""))
def test_timing_table_called_each_millisecond(block, rows):
    """The same rows come out when the block is called every millisecond between them."""
    levels = {at: level for at, level, _q, _et in rows}
    stimuli, level = [], 0
    for at in range(rows[0][0], rows[-1][0] + 1):
        level = levels.get(at, level)
        stimuli.append((at, level, 100))
    assert [row for row in trace(block, stimuli) if row[0] in levels] == rows


@pytest.mark.parametrize(
    ("block", "levels", "q"),
    [  # called at 0, 30, 60, 90, 120, 150 ms
        (TON, [1, 1, 1, 1, 1, 1], [0, 0, 0, 0, 1, 1]),
        (TOF, [1, 0, 0, 0, 0, 0], [1, 1, 1, 1, 1, 0]),
        (TP, [1, 0, 0, 0, 0, 0], [1, 1, 1, 1, 0, 0]),
    ],
    ids=["TON", "TOF", "TP"],
)
def test_every_edge_is_quantised_to_the_first_call(block, levels, q):
    """With calls 30 ms apart, Q changes at the first call with ET >= PT, at or after the table's instant."""
    rows = trace(block, [(30 * k, level, 100) for k, level in enumerate(levels)])
    assert [row[2] for row in rows] == q


def test_et_and_pt_are_time():
    """From memory: IEC 61131-3:2013 Table 46: PT and ET are of type TIME, ET is an output, Q a BOOL."""
    for block in (TON, TOF, TP):
        assert [(field.name, field.type.name) for field in (*block.inputs, *block.outputs)] == [
            ("IN", "BOOL"),
            ("PT", "TIME"),
            ("Q", "BOOL"),
            ("ET", "TIME"),
        ]


def test_ton_with_no_time_follows_its_input():
    """From memory, follows from ET >= PT: with PT = T#0s, Q = IN in the same call. A negative PT: our choice."""
    for preset in (0, -5):
        assert trace(TON, [(0, 0, preset), (1, 1, preset), (2, 1, preset), (3, 0, preset)]) == [
            (0, 0, 0, 0),
            (1, 1, 1, 0),
            (2, 1, 1, 0),
            (3, 0, 0, 0),
        ]


def test_tof_and_tp_with_no_time():
    """Our choice, as the diagrams shrink to nothing: TOF follows IN, TP gives no pulse; a negative PT is T#0s."""
    for preset in (0, -5):
        assert trace(TOF, [(0, 1, preset), (1, 0, preset), (2, 0, preset)]) == [
            (0, 1, 1, 0),
            (1, 0, 0, 0),
            (2, 0, 0, 0),
        ]
        assert trace(TP, [(0, 1, preset), (1, 1, preset), (2, 0, preset)]) == [(0, 1, 0, 0), (1, 1, 0, 0), (2, 0, 0, 0)]


@pytest.mark.parametrize(
    ("block", "rows"),
    [  # rows of (t, IN, PT, Q, ET)
        (TON, [(0, 1, 100, 0, 0), (40, 1, 50, 0, 40), (50, 1, 50, 1, 50)]),
        (TON, [(0, 1, 100, 0, 0), (60, 1, 50, 1, 50)]),
        (TON, [(0, 1, 100, 0, 0), (90, 1, 200, 0, 90), (199, 1, 200, 0, 199), (200, 1, 200, 1, 200)]),
        (TON, [(0, 1, 100, 0, 0), (100, 1, 100, 1, 100), (150, 1, 500, 1, 500)]),
        (TOF, [(0, 1, 100, 1, 0), (1, 0, 100, 1, 0), (50, 0, 10, 0, 10)]),
        (TOF, [(0, 1, 50, 1, 0), (1, 0, 50, 1, 0), (51, 0, 50, 0, 50), (52, 0, 900, 0, 900)]),
        (TP, [(0, 1, 100, 1, 0), (10, 1, 0, 0, 0), (20, 1, 100, 0, 100)]),
        (TP, [(0, 1, 100, 1, 0), (10, 0, 0, 0, 0), (20, 0, 100, 0, 0)]),
    ],
)
def test_preset_changed_while_timing(block, rows):
    """Our choice: PT is looked at in every call and counts from the start; once run out, nothing starts again."""
    seen = trace(block, [(at, level, preset) for at, level, preset, _q, _et in rows])
    assert seen == [(at, level, q, et) for at, level, _preset, q, et in rows]


def test_first_call_with_input_on():
    """Our choice: a first call with IN TRUE is the rise; TON and TP start, TOF is on."""
    assert [trace(block, [(0, 1, 100)]) for block in (TON, TOF, TP)] == [[(0, 1, 0, 0)], [(0, 1, 1, 0)], [(0, 1, 1, 0)]]


def test_timing_from_the_first_instant_of_a_run():
    """Instant 0 is an instant like any other: a time that starts there runs out as it should."""
    rows = {
        TON: [(0, 1, 0, 0), (50, 1, 0, 50), (100, 1, 1, 100)],
        TOF: [(0, 1, 1, 0), (0, 0, 1, 0), (50, 0, 1, 50), (100, 0, 0, 100)],
        TP: [(0, 1, 1, 0), (50, 0, 1, 50), (100, 1, 0, 100)],
    }
    for block, expected in rows.items():
        assert trace(block, [(at, level, 100) for at, level, _q, _et in expected], seconds(0)) == expected


def test_rise_seen_in_the_call_that_ends_the_pulse():
    """Our choice: it belongs to the pulse that ends; the next pulse needs a fall and a rise."""
    assert trace(TP, [(0, 1, 100), (95, 0, 100), (105, 1, 100), (300, 1, 100), (310, 0, 100), (320, 1, 100)]) == [
        (0, 1, 1, 0),
        (95, 0, 1, 95),
        (105, 1, 0, 100),
        (300, 1, 0, 100),
        (310, 0, 0, 0),
        (320, 1, 1, 0),
    ]


def test_running_timers_are_due_when_their_time_runs_out():
    """Start + PT while running, never otherwise; the longest TIME still has a due instant."""
    on, off, preset = True, False, ms(100)
    fresh = {block.name: block.initial for block in (TON, TOF, TP)}
    rises = {block.name: block.call(fresh[block.name], (on, preset), BEGIN) for block in (TON, TOF, TP)}
    falls = {block.name: block.call(rises[block.name], (off, preset), BEGIN + ms(10)) for block in (TON, TOF, TP)}
    dues = {
        block.name: [block.due(states[block.name], BEGIN + ms(10)) for states in (fresh, rises, falls)]
        for block in (TON, TOF, TP)
    }
    assert dues == {
        "TON": [NEVER, BEGIN + preset, NEVER],
        "TOF": [NEVER, NEVER, BEGIN + ms(110)],
        "TP": [NEVER, BEGIN + preset, BEGIN + preset],
    }
    longest = TON.call(TON.initial, (on, TIME.most), BEGIN)
    assert BEGIN < TON.due(longest, BEGIN) < NEVER
