# ruff: noqa: E501 - texts as they stand in the programs
"""Bugs planted one at a time in the programs of the demo machines: what the fuzzer is held against.

Each is a mistake that really happens, made by changing one place of one file. How many stories it takes to find it
is measured in steering.py; planting is planting.py. Rule: one place changed, one mistake; the rule that must break is
a rule of the machine as it is.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Bug:
    """One bug.

    Args:
        name: of the bug, for tables.
        kind: the mistake, in the trade's words.
        machine: folder under `programs/`.
        file: in that folder.
        old: text that stands in it once.
        new: what stands there instead.
        rules: names of the rules any of which shows the bug.
    """

    name: str
    kind: str
    machine: str
    file: str
    old: str
    new: str
    rules: tuple[str, ...]


def toss(name: str, kind: str, old: str, new: str, *rules: str) -> Bug:
    """Plant in comet_toss's sequence."""
    return Bug(name, kind, "comet_toss", "logic.py", old, new, rules)


def sump(name: str, kind: str, old: str, new: str, *rules: str) -> Bug:
    """Plant in sump_pumps's Structured Text."""
    return Bug(name, kind, "sump_pumps", "logic.st", old, new, rules)


BUGS: tuple[Bug, ...] = (
    # comet_toss
    toss("limits do not stop the table", "interlock dropped",
         "safe & (moves | jogs_table.Q) & ~blocked", "safe & (moves | jogs_table.Q)", "stops past a limit"),
    toss("right limit blocks the left", "limit of the wrong direction",
         "(go_right & t.table_at_right) | (~go_right", "(~go_right & t.table_at_right) | (~go_right", "stops past a limit"),
    toss("start by level", "edge missing: a held button starts",
         'p.rising("start_edge", t.start_pressed) & ~mode_moved', "t.start_pressed & ~mode_moved",
         "nothing starts by itself"),
    toss("reset starts", "restart after emergency stop without a start",
         'go("off", "ready", reset', 'go("off", "lower", reset', "nothing starts by itself", "a stop removes drive power"),
    toss("retained sequence", "retained state resumes in mid-sequence",
         '        Step("tripped"),\n    ])', '        Step("tripped"),\n    ], retain=True)', "nothing starts by itself"),
    toss("mode switch unheeded", "mode change without a stop",
         "(~t.stop_released | mode_moved) &", "~t.stop_released &",
         "no motion after the mode switch", "the mode switch starts nothing"),
    toss("stop not kept", "panel command lost while a toss is under way",
         'p.reset(stop, cycle.among("off", "ready", "stopping", "tripped"))', "p.reset(stop, t.stop_released)",
         "a stop is obeyed", "no motion after the mode switch"),
    toss("wheel on while stopping", "output left on at a mode change",
         "p.rung(t.wheel_run_cmd, safe & running)", "p.rung(t.wheel_run_cmd, safe & ~leaving)",
         "a stop is obeyed", "the mode switch starts nothing", "nothing starts by itself"),
    toss("jog in every mode", "mode interlock dropped",
         'cycle["jog"] & t.attendant_enable & t.stop_released', "t.attendant_enable & t.stop_released",
         "nothing starts by itself", "axes at rest", "a stop is obeyed", "no motion after the mode switch"),
    toss("ball counted twice", "double count on bounce",
         "gate_falls & released.Q & ~ball_gone", "gate_falls & released.Q", "tosses counted"),
    toss("warning cut short", "beacon warning cut short",
         'go("warn", "toss", cycle.time >= ms(1600))', 'go("warn", "toss", cycle.time >= ms(1400))', "warned long enough"),
    toss("lamp off for a scan", "one-scan glitch at a step change",
         "p.rung(t.beacon_yellow, warn)", "p.rung(t.beacon_yellow, warn & (cycle.time > ms(0)))",
         "warned", "warned long enough"),
    toss("lamp out in the toss", "step left out of an output",
         'warn = cycle.among("warn", "toss")', 'warn = cycle.among("warn")', "warned", "warned long enough"),
    toss("arm closes on the ball", "gate closing on a ball",
         'go("toss", "leave", cycle.time >= ms(130))', 'go("toss", "leave", cycle.time >= ms(70))',
         "a release lets a ball go", "tosses counted"),
    toss("no wait for the ball", "permissive dropped",
         'go("load", "warn", ball_rests.Q & ', 'go("load", "warn", ', "ball at rest"),
    toss("no limit on waiting for a ball", "missing time limit",
         'Step("load", limit=seconds(15), on_limit="tripped")', 'Step("load", limit=seconds(1500), on_limit="tripped")',
         "each step ends"),
    toss("no limit on the flight", "missing time limit",
         'go("air", "wait", cycle.time >= seconds(25)', 'go("air", "wait", cycle.time >= seconds(2500)', "each step ends"),
    toss("homing believed by time", "sensor left out of a guard",
         'cycle["home_right"] & ~t.table_at_left, ms(100)', 'cycle["home_right"], ms(100)', "aimed"),
    toss("not homed after a stop", "dead-reckoned position never homed again",
         "high.becomes(False), since_homing.becomes(TOSSES_PER_HOMING)),\n        go([", "high.becomes(False)),\n        go([",
         "aimed"),
    toss("home position not set", "dead-reckoned position never homed again",
         "entry=[angle.becomes(HOME), since_homing.becomes(0)]", "entry=[since_homing.becomes(0)]", "aimed"),
    toss("turns while still busy", "handshake race with the pulse controller",
         'go("home_rest", "home_turn", rest)', 'go("home_rest", "home_turn", ~t.pulses_busy)', "table turns from rest"),
    toss("direction dropped while busy", "handshake race with the pulse controller",
         "~t.table_run_cmd & ~t.pulses_busy, ms(200)", "~t.table_run_cmd, ms(200)", "table turns from rest"),
    toss("lift turned at once", "relay changed over under load",
         'go("home_lift", "lowered"', 'go("home_lift", "turn_up"', "lift turns from rest"),
    toss("last call first", "copy-and-paste index",
         "take_queue = [spot.becomes(queue[0])]", "take_queue = [spot.becomes(select(queue[1] != 0, queue[1], queue[0]))]",
         "calls in order"),
    toss("position not taken over", "dead-reckoned position forgotten",
         'Step("aim", exit=[angle.becomes(halt)])', 'Step("aim")', "aimed"),
    toss("lift homed too briefly", "timer preset in wrong units",
         'go("home_lift", "lowered", cycle.time >= seconds(10))', 'go("home_lift", "lowered", cycle.time >= seconds(1))',
         "raised"),
    toss("high and low mixed up", "two values mixed up",
         "select(high, RAISE_LOW, RAISE_HIGH)", "select(high, RAISE_HIGH, RAISE_LOW)", "raised"),
    toss("lift reversed in motion", "dead time dropped",
         "when=(jog_down | jog_up | leaving) & lift_rests.Q", "when=jog_down | jog_up | leaving", "lift turns from rest"),
    toss("no rest between moves", "timer preset in wrong units",
         "rest = cycle.time >= ms(500)", "rest = cycle.time >= ms(5)", "table turns from rest"),
    toss("trip not shown", "step left out of an output",
         'p.rung(t.beacon_red, cycle.among("off", "tripped"))', 'p.rung(t.beacon_red, cycle.among("off"))',
         "tripped shows red"),
    toss("arm away too long", "output left on", 'go("toss", "leave", cycle.time >= ms(130))',
         'go("toss", "leave", cycle.time >= ms(240))', "one ball at a time", "one ball in the air", "tosses counted",
         "each step ends", "ball at rest"),
    toss("toss count turns over", "counter at its end",
         "tosses.becomes(min_(tosses, 31999) + 1)", "tosses.becomes(tosses + 1)", "the toss count does not turn over"),
    # sump_pumps
    sump("pump runs on", "seal-in that does not drop out",
         "OR pump_1_run_cmd AND (want_1 OR (ready_1 OR by_hand_1) AND least_run_1.Q)",
         "OR pump_1_run_cmd AND (want_1 OR ready_1 OR by_hand_1)", "pumps stop at the stop level"),
    sump("by hand without water", "interlock dropped",
         "hand_2 := by_hand_2 AND water", "hand_2 := by_hand_2", "pumps stop at the stop level", "pump 2 never runs dry"),
    sump("both start at once", "interlock dropped",
         "start_2 := want_2 AND NOT pump_2_run_cmd AND NOT gap.Q AND NOT start_1 AND",
         "start_2 := want_2 AND NOT pump_2_run_cmd AND", "motors start apart"),
    sump("rest counted from the start", "timer not reset on abort",
         "rest_1(IN := NOT pump_1_run_cmd", "rest_1(IN := NOT start_1", "pump 1 rests"),
    sump("rest of three seconds", "timer preset in wrong units", "rest_2(IN := NOT pump_2_run_cmd, PT := T#30s)",
         "rest_2(IN := NOT pump_2_run_cmd, PT := T#3s)", "pump 2 rests"),
    sump("runs for a moment", "timer preset in wrong units",
         "least_run_1(IN := start_1, PT := T#10s)", "least_run_1(IN := start_1, PT := T#1s)", "pump 1 runs for a while"),
    sump("lead changes each scan", "edge missing",
         "IF pumping AND NOT was_pumping THEN", "IF pumping THEN", "pumps start in turn", "the program failed"),
    sump("lead never changes", "edge memory overwritten too early",
         "assist := FALSE; END_IF;\n", "assist := FALSE; END_IF;\nwas_pumping := pumping;\n", "pumps start in turn"),
    sump("pumping without end", "missing time limit",
         "IF NOT water OR tail.Q THEN", "IF NOT water THEN", "pumps give up below the stop level"),
    sump("by hand without end", "missing time limit",
         "AND NOT (pump_1_contactor AND NOT last_hope) AND NOT slow_pumping;",
         "AND NOT (pump_1_contactor AND NOT last_hope);", "pumps give up below the stop level"),
    sump("outvoted for five minutes", "timer preset in wrong units",
         "outvoted(IN := flood, PT := T#30s)", "outvoted(IN := flood, PT := T#300s)", "pumps stop at the stop level"),
    sump("high float read upside down", "normally-closed contact read as normally open",
         "high := NOT high_float_dry", "high := high_float_dry",
         "high level calls the attendant", "no overflow while one pump is enough", "pumps stop at the stop level",
         "motors start apart", "pumps start in turn", "standby helps"),
    sump("overload read upside down", "normally-closed contact read as normally open",
         "pump_2_overload  := NOT pump_2_overload_ok", "pump_2_overload  := pump_2_overload_ok",
         "standby helps", "no overflow while one pump is enough"),
    sump("help only when it is late", "condition dropped",
         "IF pumping AND (standby_float_wet OR high) THEN", "IF pumping AND high THEN", "standby helps"),
    sump("wrong pump's feedback", "copy-and-paste index",
         "contactor_2_differs(IN := NOT (pump_2_run_cmd XOR pump_2_dropped)",
         "contactor_2_differs(IN := NOT (pump_1_run_cmd XOR pump_2_dropped)",
         "standby helps", "no overflow while one pump is enough"),
    sump("high level does not call", "alarm left out of a sum",
         "all_well := NOT (high_level OR pump_1_overload", "all_well := NOT (pump_1_overload",
         "high level calls the attendant", "overflow calls the attendant"),
    sump("two writers of a lamp", "two writers of one coil",
         "run_lamp_2 := NOT pump_2_dropped", "run_lamp_1 := NOT pump_2_dropped",
         "lamp 1 shows contactor 1", "lamp 2 shows contactor 2"),
    sump("start count turns over", "counter at its end",
         "starts_1 := MIN(starts_1, 31999) + 1", "starts_1 := starts_1 + 1", "starts of pump 1 do not turn over"),
    sump("off is not off", "interlock dropped",
         "ready_1 := pump_1_auto AND pump_1_overload_ok", "ready_1 := NOT pump_1_hand AND pump_1_overload_ok",
         "pump 1 off is off"),
)  # fmt: skip
