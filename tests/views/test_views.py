"""What the terminal shows of one small run, compared whole: at 80 and 120 columns, and without block characters.

To renew the texts beside this file after a change that is meant: `python tests/views/test_views.py`.
"""

import io
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from simplant.cli.views.alarms import alarms_view
from simplant.cli.views.as_json import as_json
from simplant.cli.views.counts import counts_view, scans_view
from simplant.cli.views.difference import difference_view
from simplant.cli.views.events import events_view, forced_view
from simplant.cli.views.glyphs import ASCII, BLOCKS, glyphs_for
from simplant.cli.views.ledger import ledger_view
from simplant.cli.views.rules import rules_view
from simplant.cli.views.steps import steps_view
from simplant.cli.views.time_axis import Axis
from simplant.cli.views.timing import TimingChart
from simplant.rules.verdict import Outcome, Verdict
from simplant.scenario.compare import first_difference
from simplant.scenario.records import (
    BallRecord,
    Count,
    ForcedRecord,
    ScanCount,
    alarms_of,
    events_of,
    steps_of,
)
from simplant.scenario.trace import Trace
from simplant.timebase import Ns, ms, seconds

END = seconds(30)
BITS = ("start_pressed", "stop_released", "return_beam", "wheel_run_cmd", "gate_release_cmd", "lift_late", "wheel_slow")


def course(name, first, *toggles):
    """Give the rows of a bit that toggles at each of these instants (ms)."""
    return [(0, name, first), *((ms(at), name, first == (n % 2 == 1)) for n, at in enumerate(toggles))]


TRACE = Trace(
    tuple(
        sorted(
            [
                *course("start_pressed", False, 1_000, 1_200),
                *course("stop_released", True, 20_000, 20_030),
                *course("return_beam", False, 9_000, 9_020, *range(24_000, 24_056, 7)),
                *course("wheel_run_cmd", False, 1_010, 20_010),
                *course("gate_release_cmd", False, 5_000, 6_500),
                *course("lift_late", False, 12_000, 19_000),
                *course("wheel_slow", False, 11_000, 26_000),
                *((ms(at), "calls", step) for at, step in [(0, "idle"), (1_010, "spin_up"), (5_000, "release")]),
                *((ms(at), "calls", step) for at, step in [(6_500, "wait_return"), (9_030, "idle")]),
                *((ms(at), "balls.held", count) for at, count in [(0, 0), (8_000, 1), (8_500, 0), (25_000, 12)]),
                (0, "lift.elevation", 12.5),
                (ms(11_000), "!", "fault wheel.weak begins"),
                (ms(20_010), "!", "rule warned broken"),
            ],
            key=lambda row: row[0],
        )
    )
)
OTHER = Trace(tuple((at + ms(10) if name == "gate_release_cmd" and at else at, name, v) for at, name, v in TRACE))

VERDICTS = (
    Verdict("wheel_in_band", Outcome.HELD, None, 0.15, "3.1 rad/s", (), 1, "wheel speed in its band at release"),
    Verdict(
        "warned",
        Outcome.BROKEN,
        ms(20_010),
        -0.1,
        "-200 ms of 2.000 s",
        (("horn", False, Ns(0)), ("gate_release_cmd", True, ms(5_000))),
        5,
        "horn for 2 s before each release",
        2,
    ),
    Verdict("no_sector", Outcome.BROKEN, ms(9), -0.1, "-0.3 deg", (("table.angle", 61.5, ms(9)),), 5, "within limits"),
    Verdict("estop_stops", Outcome.NOT_EXERCISED, None, None, "", (), 0, "no drive is on 200 ms after emergency stop"),
    Verdict("returns", Outcome.UNDECIDED, None, 0.4, "4.000 s of 10.000 s", (), 4, "each ball returns within 10 s"),
)
STEPS = steps_of(TRACE, ["calls"])
ALARMS = alarms_of(
    TRACE,
    {
        "wheel_slow": "Wheel did not reach its speed within 3 s: check the 48 V supply and the belt",
        "lift_late": "Lift not home in time",
    },
)
COUNTS = (Count("catches", 3), Count("misses", 2, "2 on the floor, 0 lost"))
SCANS = (ScanCount("main", 260, 5740), ScanCount("pulses", 60000, 0, "reads a clock in every scan (pulses.py:12)"))
BALLS = (BallRecord("1", "at_gate", seconds(25)), BallRecord("2", "in_return", Ns(27_250_001_000)))
FORCED = (ForcedRecord("table_at_left", True, seconds(3), None), ForcedRecord("speed", 1.5, seconds(3), seconds(4)))
CHART = TimingChart(
    TRACE,
    {
        "inputs": ("start_pressed", "stop_released", "return_beam"),
        "outputs": ("wheel_run_cmd", "gate_release_cmd"),
        "plant": ("calls", "balls.held", "lift.elevation", "a_name_that_is_longer_than_there_is_room"),
        "": ("!",),
    },
    Ns(0),
    END,
)
VIEWS = (
    CHART,
    steps_view(STEPS, END),
    steps_view(STEPS, END, most=3),
    steps_view((), END),
    alarms_view(ALARMS),
    alarms_view(()),
    rules_view(VERDICTS, {"no_sector"}),
    rules_view([v for v in VERDICTS if v.outcome is not Outcome.BROKEN]),
    counts_view(COUNTS),
    scans_view(SCANS),
    ledger_view(BALLS),
    events_view(events_of(TRACE)),
    forced_view(FORCED),
    forced_view(()),
    difference_view(first_difference(TRACE, OTHER)),
    difference_view(first_difference(TRACE, Trace(TRACE.rows[:-1]))),
    difference_view(None),
)


class Terminal(io.StringIO):
    """A terminal of some encoding."""

    encoding = "utf-8"


def rendered(view, width, encoding="utf-8", **options):
    """Give a view as text, without the blanks at line ends."""
    terminal = Terminal()
    terminal.encoding = encoding
    Console(file=terminal, width=width, color_system=None, force_terminal=True, _environ={}, **options).print(view)
    return "".join(f"{line.rstrip()}\n" for line in terminal.getvalue().splitlines())


def whole(width, encoding):
    return "\n".join(rendered(view, width, encoding, legacy_windows=False) for view in VIEWS)


SHOWN = {"run_80.txt": (80, "utf-8"), "run_120.txt": (120, "utf-8"), "run_80_ascii.txt": (80, "cp1252")}


@pytest.mark.parametrize(("file", "terminal"), SHOWN.items(), ids=SHOWN)
def test_the_views_are_as_stored(file, terminal):
    """Every view of the run, whole, as it stands in the text beside this file."""
    text = whole(*terminal)
    text.encode(terminal[1])
    assert text == (Path(__file__).parent / file).read_text(encoding="utf-8")
    assert max(len(line) for line in text.split("\n")) <= terminal[0]


def test_old_terminals_get_ascii():
    """Blocks only where they can be encoded, and never on an old Windows console."""
    assert [glyphs_for(e) for e in ("utf-8", "cp437", "cp850", "cp1252", "ascii", "no such")] == [BLOCKS] + 5 * [ASCII]
    assert glyphs_for("utf-8", legacy=True) == ASCII
    assert rendered(CHART, 80, legacy_windows=True) == rendered(CHART, 80, "cp1252", legacy_windows=False)


def test_a_window_of_the_chart():
    """Only what lies in the window, to the scale of the window."""
    chart = TimingChart(TRACE, {"": ("return_beam", "calls", "!")}, ms(8_990), ms(9_040), "Window")
    assert rendered(chart, 60) == (
        "Window\n"
        "              │8990 ms │9000    │9010    │9020    │9030\n"
        "  return_beam ▁▁▁▁▁▁▁▁▁▆▆▆▆▆▆▆▆▆▆▆▆▆▆▆▆▆▆▁▁▁▁▁▁▁▁▁▁▁▁▁▁▁▁▁▁\n"
        "  calls       │wait_return                        │idle\n"
        "  events\n"
    )


@given(
    st.lists(st.integers(0, 10**6), min_size=1, max_size=20, unique=True).map(sorted),
    st.integers(30, 200),
    st.booleans(),
)
def test_no_change_is_lost_to_the_width(instants, width, first):
    """A line has the same width whatever happens in it, and every stretch of 1 or 0 leaves its mark."""
    rows = [(at, "x", first == (n % 2 == 0)) for n, at in enumerate(instants)]
    end = Ns(10**6 + 1)
    chart = TimingChart(rows, {"": ("x",)}, Ns(0), end)
    columns = width - 5
    plot = rendered(chart, width).split("\n")[2][4:].ljust(columns)
    assert len(plot) == columns
    axis = Axis(0, end, columns)
    for (at, _, on), until in zip(rows, [*instants[1:], end], strict=True):
        level = BLOCKS.high if on else BLOCKS.low
        stretch = plot[axis.column(at) : axis.column(until) + 1]
        assert set(stretch) & {level, BLOCKS.pulse, BLOCKS.gap, BLOCKS.busy}


@given(st.integers(0, 10**13), st.integers(300, 10**13), st.integers(1, 300))
def test_columns_share_out_the_window(start, length, width):
    """Each instant lies in exactly one column, at or right of its left edge; edges round to the nearest column."""
    axis = Axis(start, start + length, width)
    for at in {start, start + length // 3, start + length // 2, start + length - 1}:
        column = axis.column(at)
        assert axis.left(column) <= at
        assert column == width - 1 or at < axis.left(column + 1)
        assert axis.edge(at) in (column, column + 1)


def test_the_same_as_json():
    """Plain values under the names of the records; times in whole nanoseconds."""
    data = as_json(
        header={"machine": "m"},
        steps=STEPS[-1:],
        alarms=ALARMS[1:],
        verdicts=VERDICTS[2:3],
        balls=BALLS[:1],
        counts=(Count("best", float("inf")),),
        scans=SCANS[:1],
        forced=FORCED[:1],
        events=events_of(TRACE)[:1],
        difference=first_difference(Trace(((1, "a", 1),)), Trace(())),
    )
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert data == {
        "header": {"machine": "m"},
        "steps": [{"chart": "calls", "step": "idle", "entered_ns": 9_030_000_000, "left_ns": None}],
        "alarms": [
            {
                "time_ns": 12_000_000_000,
                "name": "lift_late",
                "text": "Lift not home in time",
                "first_out": False,
                "cleared_ns": 19_000_000_000,
            }
        ],
        "rules": [
            {
                "rule": "no_sector",
                "outcome": "broken",
                "time_ns": 9_000_000,
                "margin": -0.1,
                "margin_text": "-0.3 deg",
                "tags": [{"name": "table.angle", "value": 61.5, "since_ns": 9_000_000}],
                "times_exercised": 5,
                "text": "within limits",
                "breaches": 0,
            }
        ],
        "balls": [{"ball": "1", "where": "at_gate", "since_ns": 25_000_000_000}],
        "counts": [{"name": "best", "value": "inf", "text": ""}],
        "scans": [{"controller": "main", "run": 260, "slept": 5740, "reason": ""}],
        "forced": [{"tag": "table_at_left", "value": True, "since_ns": 3_000_000_000, "until_ns": None}],
        "events": [{"time_ns": 11_000_000_000, "text": "fault wheel.weak begins"}],
        "difference": {
            "line": 1,
            "before": [],
            "stored": ["0.000000001 a 1"],
            "now": [],
            "names": [{"name": "a", "at_ns": 1, "stored": "1", "now": ""}],
        },
    }


if __name__ == "__main__":
    for name, (columns, code) in SHOWN.items():
        (Path(__file__).parent / name).write_text(whole(columns, code), encoding="utf-8", newline="\n")
