"""Scenarios and traces as files: what a person writes, what a run leaves behind."""

import pytest

from simplant.errors import ScenarioError, UsageError
from simplant.faults import Fault
from simplant.files import AtomicText, replacing
from simplant.scenario.check import Names, check_against
from simplant.scenario.model import (
    OPPOSITES,
    Expect,
    Force,
    Power,
    Scenario,
    State,
    Stimulus,
    Write,
    as_expected,
)
from simplant.scenario.read import parse_scenario, read_scenario
from simplant.scenario.recorder import CHUNK, Recorder
from simplant.scenario.table import write_table
from simplant.scenario.trace import Trace, TraceFile
from simplant.scenario.write import scenario_text, write_scenario
from simplant.timebase import NEVER, ms, seconds

TEXT = """\
machine = "comet_toss"
title = "A good round of calls"
seed = 7
length = "1m"
stimulus = [   # what visitors and attendant do
  { at = "1.0s", on = "start", do = "press", for = "200ms" },
  { at = "2s", on = "mode", do = "select", value = 1 },
]

[[fault]]
at = "4s"
on = "table_at_left"
kind = "stuck_on"
for = "10s"
value = 0.5

[[fault]]
at = "5s"
on = "mode_1"
kind = "swapped"
with = "mode_2"

[[force]]
at = "6s"
tag = "gate_seen"
value = true

[[write]]
at = "7s"
tag = "speed_set"
value = 40

[[power]]
at = "8s"
for = "50ms"

[set]
wheel.jam_torque = 0.2

[retained]
tosses = 12

[expect]
broken = ["wheel_in_band"]
alarms = ["lift_late"]
first_out = "lift_late"
steps = { calls = "idle" }
truths = { balls.held = 3, "lift.angle" = [29.5, 30.5] }

[[expect.at]]
at = "5s"
tags = { wheel_run_cmd = false }
"""

VALUE = Scenario(
    machine="comet_toss",
    title="A good round of calls",
    seed=7,
    length=seconds(60),
    stimuli=(
        Stimulus(seconds(1), "start", "press", None, ms(200)),
        Stimulus(seconds(2), "mode", "select", 1),
    ),
    faults=(
        Fault("table_at_left", "stuck_on", seconds(4), seconds(10), 0.5),
        Fault("mode_1", "swapped", seconds(5), other="mode_2"),
    ),
    forces=(Force(seconds(6), "gate_seen", True),),
    writes=(Write(seconds(7), "speed_set", 40),),
    power=(Power(seconds(8), "main", ms(50), "warm"),),
    parameters={"wheel.jam_torque": 0.2},
    retained={"tosses": 12},
    expect=Expect(
        broken=("wheel_in_band",),
        alarms=("lift_late",),
        first_out="lift_late",
        end=State(steps={"calls": "idle"}, truths={"balls.held": 3, "lift.angle": (29.5, 30.5)}),
        at=((seconds(5), State(tags={"wheel_run_cmd": False})),),
    ),
)


def test_a_scenario_as_a_person_writes_it():
    """Every table of the format, with a dotted name in quotes and without."""
    assert parse_scenario(TEXT) == VALUE


def test_a_scenario_needs_only_its_machine():
    """What is left out is at its default: seed 1, 60 s, nothing happens, nothing is expected."""
    assert parse_scenario('machine = "sump_pumps"') == Scenario("sump_pumps", "", 1, seconds(60))
    assert scenario_text(Scenario("sump_pumps")) == 'machine = "sump_pumps"\nseed = 1\nlength = "60s"\n'


def test_files_from_a_windows_editor(tmp_path):
    """A byte order mark and CR LF line ends change nothing."""
    path = tmp_path / "run.toml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert read_scenario(path) == VALUE


def test_a_scenario_file_is_replaced_whole(tmp_path):
    """Written over an old one; nothing but the file is left in the folder."""
    path = tmp_path / "run.toml"
    path.write_text("old", encoding="utf-8")
    write_scenario(VALUE, path)
    assert read_scenario(path) == VALUE
    assert list(tmp_path.iterdir()) == [path]


def test_an_action_with_a_time_is_followed_by_its_opposite():
    """`for` makes two acts; acts of one instant keep the order written, opposites behind them."""
    scenario = Scenario(
        "m",
        stimuli=(
            Stimulus(ms(200), "a", "press", None, ms(100)),
            Stimulus(ms(300), "b", "close"),
            Stimulus(ms(100), "door", "open", None, ms(200)),
        ),
    )
    assert scenario.acts() == (
        Stimulus(ms(100), "door", "open"),
        Stimulus(ms(200), "a", "press"),
        Stimulus(ms(300), "b", "close"),
        Stimulus(ms(300), "a", "release"),
        Stimulus(ms(300), "door", "close"),
    )
    assert all(act.duration == NEVER for act in scenario.acts())


def test_opposites_are_opposites():
    """The opposite of the opposite is the action, where it has one."""
    for action, opposite in OPPOSITES.items():
        assert OPPOSITES.get(opposite, action) == action


def test_a_time_needs_an_opposite():
    """An action that nothing ends is refused where it is made."""
    with pytest.raises(ScenarioError, match="'select' cannot be given a time"):
        Stimulus(ms(1), "mode", "select", 1, ms(5))


def test_values_as_expected():
    """A value is met exactly, a range from least to most inclusive."""
    assert [as_expected((1.0, 2.0), v) for v in (0.9, 1, 2.0, 2.1, "1")] == [False, True, True, False, False]
    assert [as_expected("idle", v) for v in ("idle", "aim")] == [True, False]
    assert as_expected(True, 1)


def test_a_scenario_that_fits():
    """All its names are there: nothing is raised."""
    names = Names(
        actions={"start": ("press",), "mode": ("select",)},
        kinds={"table_at_left": ("stuck_on",), "mode_1": ("swapped",), "mode_2": ()},
        partners={"mode_1": ("mode_2",)},
        points=("gate_seen",),
        memory=("speed_set",),
        retained=("tosses",),
        tags=("wheel_run_cmd",),
        parameters=("wheel.jam_torque",),
        truths=("balls.held", "lift.angle"),
        charts={"calls": ("idle",)},
        rules=("wheel_in_band",),
        alarms=("lift_late",),
    )
    check_against(VALUE, names)


TRACE = Trace(
    (
        (0, "run_cmd", False),
        (0, "count", 0),
        (0, "calls", "idle"),
        (0, "wheel.speed", 0.1),
        (1_500_000_000, "!", "main: watchdog tripped"),
        (1_500_000_001, "run_cmd", True),
        (1_500_000_001, "calls", "spin_up"),
        (2_000_000_000, "count", -3),
        (2_000_000_000, "message", 'two words, "quoted"'),
    ),
    {"machine": "comet_toss", "seed": "7"},
)

TRACE_TEXT = """\
# simplant trace, format 1
# machine: comet_toss
# seed: 7
0.000000000 run_cmd 0
0.000000000 count 0
0.000000000 calls idle
0.000000000 wheel.speed 0.1
1.500000000 ! main: watchdog tripped
1.500000001 run_cmd 1
1.500000001 calls spin_up
2.000000000 count -3
2.000000000 message "two words, \\"quoted\\""
"""


def test_a_trace_as_text(tmp_path):
    """A header, then a line per change; written and read back."""
    assert TRACE.text() == TRACE_TEXT
    path = tmp_path / "run.trace"
    TRACE.write(path)
    assert path.read_bytes() == TRACE_TEXT.encode()
    assert Trace.read(path) == TRACE == Trace(tuple(TraceFile(path)))
    assert Trace.read(path).header == TraceFile(path).header == TRACE.header


def test_a_trace_as_a_table(tmp_path):
    """One row per instant of change, the value after it in each column; events are left out."""
    path = tmp_path / "run.csv"
    write_table(TRACE, path)
    assert path.read_text(encoding="utf-8") == (
        "time_s,run_cmd,count,calls,wheel.speed,message\n"
        "0.000000000,0,0,idle,0.1,\n"
        "1.500000001,1,0,spin_up,0.1,\n"
        '2.000000000,1,-3,spin_up,0.1,"two words, ""quoted"""\n'
    )


def test_recording_to_disk_and_in_memory_give_the_same(tmp_path):
    """Chunks on disk add up to the whole; memory holds less than a chunk; the file appears at the end."""
    path = tmp_path / "run.trace"
    in_memory = Recorder(TRACE.header)
    with Recorder(TRACE.header, path) as on_disk:
        for n in range(2 * CHUNK + 10):
            for recorder in (in_memory, on_disk):
                recorder.change(n, "n", n)
                recorder.event(n, "two\nlines  and blanks ")
                recorder.spill()
            assert len(on_disk.rows) < CHUNK
        assert not path.exists()
    assert Trace.read(path) == in_memory.trace()
    assert in_memory.trace().rows[1] == (0, "!", "two lines and blanks")
    assert list(tmp_path.iterdir()) == [path]


def test_a_run_that_fails_leaves_no_trace_file(tmp_path):
    """The recorder drops its file; an older one stays as it was."""
    path = tmp_path / "run.trace"
    path.write_text("older", encoding="utf-8")
    with pytest.raises(ZeroDivisionError), Recorder({}, path) as recorder:
        recorder.change(0, "n", 1 // 0)
    assert path.read_text(encoding="utf-8") == "older"
    assert list(tmp_path.iterdir()) == [path]


def test_a_block_that_fails_leaves_the_old_file(tmp_path):
    """So does any text written whole or not at all."""
    path = tmp_path / "note"
    with replacing(path) as file:
        file.write("one\n")
    with pytest.raises(ZeroDivisionError), replacing(path) as file:
        file.write(f"{1 // 0}\n")
    assert path.read_bytes() == b"one\n"
    assert list(tmp_path.iterdir()) == [path]


def test_a_target_that_became_a_folder_is_refused(tmp_path):
    """Moving the file into place can fail late: the error says so, and the temporary file is gone."""
    path = tmp_path / "note"
    text = AtomicText(path)
    path.mkdir()
    with pytest.raises(UsageError, match="note cannot be written"):
        text.keep()
    assert list(tmp_path.iterdir()) == [path]
