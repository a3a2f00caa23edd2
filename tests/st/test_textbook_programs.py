"""Textbook programs with traces worked out by hand, a scan each 10 ms.

Each trace is written as one letter per scan: `#` TRUE, `.` FALSE.
"""

from tests.st.running import scans

SEAL_IN = """
PROGRAM motor
VAR_INPUT start : BOOL; stop_ok : BOOL := TRUE; END_VAR
VAR_OUTPUT run : BOOL; END_VAR
run := (start OR run) AND stop_ok;
END_PROGRAM
"""
BLINKER = """
PROGRAM blinker
VAR_INPUT enable : BOOL; END_VAR
VAR_OUTPUT lamp : BOOL; END_VAR
VAR on_time, off_time : TON; END_VAR
off_time(IN := enable AND NOT on_time.Q, PT := T#30ms);
on_time(IN := off_time.Q, PT := T#20ms);
lamp := off_time.Q;
END_PROGRAM
"""
DEBOUNCE = """
FUNCTION_BLOCK Debounce
VAR_INPUT raw : BOOL; span : TIME := T#20ms; END_VAR
VAR_OUTPUT clean : BOOL; END_VAR
VAR rise, fall : TON; END_VAR
rise(IN := raw, PT := span);
fall(IN := NOT raw, PT := span);
IF rise.Q THEN clean := TRUE; ELSIF fall.Q THEN clean := FALSE; END_IF;
END_FUNCTION_BLOCK
PROGRAM main
VAR_INPUT contact : BOOL; END_VAR
VAR_OUTPUT level : BOOL; END_VAR
VAR filter : Debounce; END_VAR
filter(raw := contact, clean => level);
END_PROGRAM
"""
ALTERNATOR = """
PROGRAM alternator
VAR_INPUT call : BOOL; END_VAR
VAR_OUTPUT pump_1, pump_2 : BOOL; END_VAR
VAR edge : R_TRIG; second : BOOL := TRUE; END_VAR
edge(CLK := call);
IF edge.Q THEN second := NOT second; END_IF;
pump_1 := call AND NOT second;
pump_2 := call AND second;
END_PROGRAM
"""
TRAFFIC_LIGHT = """
TYPE Phase : (red, red_yellow, green, yellow); END_TYPE
PROGRAM light
VAR_OUTPUT r, y, g : BOOL; END_VAR
VAR phase : Phase; timer : TON; span : TIME := T#30ms; END_VAR
timer(IN := TRUE, PT := span);
IF timer.Q THEN
  timer(IN := FALSE);
  CASE phase OF
    red: phase := red_yellow; span := T#10ms;
    red_yellow: phase := green; span := T#20ms;
    green: phase := yellow; span := T#10ms;
    yellow: phase := red; span := T#30ms;
  END_CASE;
END_IF;
r := phase = red OR phase = red_yellow;
y := phase = red_yellow OR phase = yellow;
g := phase = green;
END_PROGRAM
"""
SEQUENCER = """
PROGRAM press
VAR_INPUT start, down_reached, up_reached : BOOL; END_VAR
VAR_OUTPUT move_down, move_up : BOOL; parts : INT; END_VAR
VAR step : INT; hold : TON; END_VAR
CASE step OF
  0: IF start THEN step := 10; END_IF;
  10: IF down_reached THEN step := 20; END_IF;
  20: IF hold.Q THEN step := 30; END_IF;
  30: IF up_reached THEN step := 0; parts := parts + 1; END_IF;
ELSE
  step := 0;
END_CASE;
hold(IN := step = 20, PT := T#30ms);
move_down := step = 10;
move_up := step = 30;
END_PROGRAM
"""


def trace(rows, name):
    return "".join("#" if row[name] else "." for row in rows)


def test_seal_in():
    """Start seals in, stop breaks it, and stop wins over start."""
    given = {1: {"start": True}, 2: {"start": False}, 4: {"stop_ok": False}, 5: {"stop_ok": True},
             7: {"start": True, "stop_ok": False}, 8: {"stop_ok": True}}  # fmt: skip
    assert trace(scans(SEAL_IN, given, count=10), "run") == ".###....##"


def test_blinker():
    """Off 30 ms, on 20 ms; each time is one scan longer, since the one timer sees the other's Q in the next scan."""
    rows = scans(BLINKER, {1: {"enable": True}}, count=16)
    assert trace(rows, "lamp") == "....###....###.."


def test_debounce():
    """A level is believed once it has held for 20 ms; shorter pulses are not seen."""
    given = {1: {"contact": True}, 2: {"contact": False}, 4: {"contact": True}, 9: {"contact": False},
             10: {"contact": True}, 12: {"contact": False}}  # fmt: skip
    assert trace(scans(DEBOUNCE, given, count=16), "level") == "......########.."


def test_alternator():
    """Each call is answered by the other pump."""
    given = {n: {"call": level} for n, level in ((1, True), (3, False), (4, True), (6, False), (7, True), (8, False))}
    rows = scans(ALTERNATOR, given, count=9)
    assert (trace(rows, "pump_1"), trace(rows, "pump_2")) == (".##....#.", "....##...")


def test_traffic_light():
    """Red 30 ms, red and yellow 10, green 20, yellow 10; the timer starts again one scan after it was reset."""
    rows = scans(TRAFFIC_LIGHT, count=20)
    assert trace(rows, "r") == "#####.....######...."
    assert trace(rows, "y") == "...##...##....##...#"
    assert trace(rows, "g") == ".....###........###."


def test_sequencer():
    """A step each time its condition comes; the hold of 30 ms counts from the scan that entered its step."""
    given = {1: {"start": True}, 2: {"start": False}, 4: {"down_reached": True}, 9: {"up_reached": True}}
    rows = scans(SEQUENCER, given, count=12)
    assert [row["step"] for row in rows] == [0, 10, 10, 10, 20, 20, 20, 20, 30, 0, 0, 0]
    assert (trace(rows, "move_down"), trace(rows, "move_up")) == (".###........", "........#...")
    assert [row["parts"] for row in rows] == [0] * 9 + [1] * 3
