"""How a Python program reads in Structured Text: the whole of a small one."""

from simplant import INT, Alarm, Program, Step, go, seconds
from simplant.logic.convert.programs import SAFETY, converted
from simplant.logic.st.printed import printed
from simplant.tags import Direction, Tag
from simplant.values import BOOL

IN, OUT = Direction.INPUT, Direction.OUTPUT
TAGS = [
    Tag("start_pressed", BOOL, IN, address="%IX0.0", description="green button"),
    Tag("clamp_closed", BOOL, IN, address="%IX0.1"),
    Tag("clamp_cmd", BOOL, OUT, address="%QX0.0"),
    Tag("drill_cmd", BOOL, OUT, address="%QX0.1"),
    Tag("lamp_cmd", BOOL, OUT, address="%QX0.2"),
]


def drill_station():
    p = Program("drill_station", TAGS)
    t = p.tags
    holes = p.memory("holes", INT, retain=True, description="since service")
    tries = p.memory("tries", INT, initial=-1)
    start = p.rising("start_edge", t.start_pressed)
    again = tries.becomes(tries + 1, when=t.start_pressed)
    cycle = p.sequence("cycle", [
        Step("off", description="a start is wanted"),
        Step("clamp", [t.clamp_cmd], entry=[tries.becomes(0)], limit=seconds(2), on_limit="off"),
        Step("drill", [t.clamp_cmd, t.drill_cmd], exit=[holes.becomes(holes + 1)], during=[again]),
    ])  # fmt: skip
    alarms = p.alarms("alarm", start, [Alarm("no_clamp", cycle.overtime(), "the clamp did not close", "free it")])
    cycle.transitions([
        go("off", "clamp", start & ~alarms.any),
        go("clamp", "drill", t.clamp_closed),
        go("drill", "off", cycle.time >= seconds(3)),
        go("drill", "=", start),
    ])  # fmt: skip
    p.rung(t.lamp_cmd, cycle.among("clamp", "drill") | alarms.any, "somebody is at work")
    return p


TEXT = """\
TYPE
  CycleStep : (off, clamp, drill);
  AlarmName : (none, no_clamp);
  CycleOvertime : STRUCT
    clamp : BOOL;
  END_STRUCT;
END_TYPE

PROGRAM drill_station
VAR
  start_pressed AT %IX0.0 : BOOL; (* green button *)
  clamp_closed  AT %IX0.1 : BOOL;
  clamp_cmd     AT %QX0.0 : BOOL;
  drill_cmd     AT %QX0.1 : BOOL;
  lamp_cmd      AT %QX0.2 : BOOL;
END_VAR
VAR RETAIN
  holes : INT; (* since service *)
END_VAR
VAR
  tries           : INT := -1;
  no_clamp        : BOOL; (* the clamp did not close; free it *)
  alarm_first_out : AlarmName; (* first-out of alarm *)
  cycle           : CycleStep := off;
  cycle_overtime  : CycleOvertime;
  start_edge      : R_TRIG;
  first_scan      : R_TRIG;
  cycle_time      : TON;
END_VAR
VAR_TEMP
  cycle_was : CycleStep;
END_VAR

first_scan(CLK := TRUE);
start_edge(CLK := start_pressed);

(* alarms, latched until a reset finds the cause gone *)
no_clamp := cycle_overtime.clamp OR no_clamp AND NOT start_edge.Q;
IF start_edge.Q THEN
  alarm_first_out := AlarmName#none;
END_IF;
IF alarm_first_out = AlarmName#none THEN
  IF no_clamp THEN
    alarm_first_out := AlarmName#no_clamp;
  END_IF;
END_IF;

(* the steps of the sequence *)
cycle_time(IN := TRUE, PT := T#24d);
cycle_overtime.clamp := FALSE;
IF NOT first_scan.Q THEN
  cycle_was := cycle;
  CASE cycle OF
    off: (* a start is wanted *)
      IF start_edge.Q AND alarm_first_out = AlarmName#none THEN
        cycle := clamp;
      END_IF;
    clamp:
      IF clamp_closed THEN
        cycle := drill;
      ELSIF cycle_time.ET >= T#2s THEN
        cycle_overtime.clamp := TRUE;
        cycle := off;
      END_IF;
    drill:
      IF cycle_time.ET >= T#3s THEN
        holes := holes + 1;
        cycle := off;
      ELSIF start_edge.Q THEN
        holes := holes + 1;
        cycle_time(IN := FALSE);
        cycle_time(IN := TRUE);
      END_IF;
  END_CASE;
  IF cycle <> cycle_was THEN
    cycle_time(IN := FALSE);
    cycle_time(IN := TRUE);
    IF cycle = clamp THEN
      tries := 0;
    END_IF;
  END_IF;
END_IF;
IF cycle = drill THEN
  IF start_pressed THEN
    tries := tries + 1;
  END_IF;
END_IF;
clamp_cmd := cycle = clamp OR cycle = drill;
drill_cmd := cycle = drill;

(* somebody is at work *)
lamp_cmd := cycle = clamp OR cycle = drill OR alarm_first_out <> AlarmName#none;
END_PROGRAM
"""


def test_a_whole_program():
    """Types, addresses, retained memory, alarms with first-out, the steps with their limit, entry, exit and drives."""
    whole = converted(drill_station(), title="Drill station")
    text = printed(whole.file, whole.notes, whole.head)
    assert text[text.index("TYPE\n") :] == TEXT
    assert " ".join(text[: text.index("TYPE\n")].split()) == f"(* Drill station {SAFETY} *)"
