"""Textbook programs in ladder with traces worked out by hand, a scan each 10 ms.

The derivation stands beside each trace. Source: common practice, no source; timers and counters by IEC 61131-3:2003
Tables 36 and 38 as in test_iec_timers.py. Rule: one letter a scan, `#` TRUE, `.` FALSE.
"""

from simplant.logic.ladder.read import read_ladder
from tests.st.running import scans

SEAL_IN = """PROGRAM motor
VAR_INPUT start, stop_ok : BOOL; END_VAR
VAR_OUTPUT run : BOOL; END_VAR
|  start    stop_ok         run    |
+--| |---+--| |-------------( )----+
|  run   |                         |
+--| |---+                         |
END_PROGRAM
"""
BLINKER = """PROGRAM blinker
VAR_INPUT enable : BOOL; END_VAR
VAR_OUTPUT lamp : BOOL; END_VAR
VAR off_time, on_time : TON; END_VAR
|                       off_time          |
|                       +------+          |
|  enable   on_time.Q   | TON  |   lamp   |
+--| |------|/|---------|IN   Q|---( )----+
|              T#30ms---|PT    |          |
|                       +------+          |

|             on_time                     |
|             +------+                    |
|  lamp       | TON  |                    |
+--| |--------|IN   Q|--                  |
|    T#20ms---|PT    |                    |
|             +------+                    |
END_PROGRAM
"""
ALTERNATOR = """PROGRAM alternator
VAR_INPUT call : BOOL; END_VAR
VAR_OUTPUT pump_1, pump_2 : BOOL; END_VAR
VAR second, turn : BOOL; END_VAR
|  call                        turn     |
+--|P|-------------------------( )------+

(* a flip-flop: it turns over at each call *)
|  turn    second              second   |
+--| |-----|/|-----+-----------( )------+
|  turn    second  |                    |
+--|/|-----| |-----+                    |

|  call    second              pump_1   |
+--| |-----| |-----------------( )------+

|  call    second              pump_2   |
+--| |-----|/|-----------------( )------+
END_PROGRAM
"""
DEBOUNCE = """PROGRAM debounce
VAR_INPUT raw : BOOL; END_VAR
VAR_OUTPUT clean : BOOL; END_VAR
VAR rise, fall : TON; END_VAR
|            rise                       |
|            +------+                   |
|  raw       | TON  |          clean    |
+--| |-------|IN   Q|----------(S)------+
|   T#20ms---|PT    |                   |
|            +------+                   |
|            fall                       |
|            +------+                   |
|  raw       | TON  |          clean    |
+--|/|-------|IN   Q|----------(R)------+
|   T#20ms---|PT    |                   |
|            +------+                   |
END_PROGRAM
"""
TRAFFIC_LIGHT = """PROGRAM light
VAR_OUTPUT red, yellow, green : BOOL; END_VAR
VAR over : BOOL; red_time, both_time, green_time, yellow_time : TON; END_VAR
(* four times in a row; at the end of the last one all are reset in the next scan *)
|                red_time        both_time       green_time      yellow_time         |
|                +------+        +------+        +------+        +------+            |
|  over          | TON  |        | TON  |        | TON  |        | TON  |    over    |
+--|/|-----------|IN   Q|--------|IN   Q|--------|IN   Q|--------|IN   Q|----( )-----+
|      T#30ms ---|PT    |T#10ms--|PT    |T#20ms--|PT    |T#10ms--|PT    |            |
|                +------+        +------+        +------+        +------+            |

|  both_time.Q                                                               red     |
+--|/|-----------------------------------------------------------------------( )-----+

|  red_time.Q   both_time.Q                                                  yellow  |
+--| |----------|/|-----------+----------------------------------------------( )-----+
|  green_time.Q               |                                                      |
+--| |------------------------+                                                      |

|  both_time.Q  green_time.Q                                                 green   |
+--| |----------|/|----------------------------------------------------------( )-----+
END_PROGRAM
"""
SEQUENCER = """PROGRAM press
VAR_INPUT start, down_reached, up_reached : BOOL; END_VAR
VAR_OUTPUT move_down, move_up : BOOL; END_VAR
VAR holding : BOOL; hold : TON; parts : CTU; END_VAR
|  start       holding   move_up     move_down   |
+--| |---------|/|-------|/|---------(S)---------+

|  move_down   down_reached          holding     |
+--| |---------| |----------+--------(S)---------+
|                           |        move_down   |
|                           +--------(R)---------+

|               hold                             |
|               +------+                         |
|  holding      | TON  |             move_up     |
+--| |----------|IN   Q|----+--------(S)---------+
|      T#30ms---|PT    |    |        holding     |
|               +------+    +--------(R)---------+

|                        parts                   |
|                        +-----+                 |
|  move_up   up_reached  | CTU |     move_up     |
+--| |-------| |---------|CU   |                 |
|                   99---|PV   |                 |
|                        +-----+                 |

|  up_reached                        move_up     |
+--| |-------------------------------(R)---------+
END_PROGRAM
""".replace("| CTU |     move_up     |", "| CTU |                 |")


def trace(rows, name):
    return "".join("#" if row[name] else "." for row in rows)


def ran(text, given, count):
    return scans(text, given, count=count, read=read_ladder)


def test_seal_in():
    """run(k) = (start(k) or run(k-1)) and stop_ok(k): stop is stronger than start."""
    given = {
        0: {"stop_ok": True},
        1: {"start": True},
        2: {"start": False},
        4: {"stop_ok": False},
        5: {"stop_ok": True},
        7: {"start": True, "stop_ok": False},
        8: {"stop_ok": True},
    }
    assert trace(ran(SEAL_IN, given, 10), "run") == ".###....##"


def test_blinker():
    """Off 30 ms, on 20 ms, and one scan between.

    Enabled in scan 1, off_time reaches 30 ms in scan 4: lamp on. on_time starts in scan 4 and reaches 20 ms in scan 6,
    after the lamp's rung, so off_time loses its input in scan 7. There on_time falls as well, and off_time starts again
    in scan 8: lamp on in 11, 12 and 13, and so on every 7 scans.
    """
    assert trace(ran(BLINKER, {1: {"enable": True}}, 20), "lamp") == "....###....###....##"


def test_alternator():
    """The call rises in scans 1, 4 and 7; `second` turns over there, so pumps 1, 2 and 1 answer while it lasts."""
    given = {n: {"call": level} for n, level in ((1, True), (3, False), (4, True), (6, False), (7, True), (8, False))}
    rows = ran(ALTERNATOR, given, 9)
    assert (trace(rows, "pump_1"), trace(rows, "pump_2")) == (".##....#.", "....##...")


def test_debounce():
    """A level is believed after 20 ms: on from 4 is clean from 6, the gap at 9 is short, off from 12: 14."""
    given = {1: {"raw": True}, 2: {"raw": False}, 4: {"raw": True}, 9: {"raw": False}, 10: {"raw": True},
             12: {"raw": False}}  # fmt: skip
    assert trace(ran(DEBOUNCE, given, 16), "clean") == "......########.."


def test_traffic_light():
    """Red 30 ms, red and yellow 10 ms, green 20 ms, yellow 10 ms.

    The times end in scans 3, 4, 6 and 7. `over` is set in scan 7, when all have ended; it takes the input away in scan
    8, which clears every Q (red again), and is FALSE then; scan 9 starts the first time anew: it ends in scan 12.
    """
    rows = ran(TRAFFIC_LIGHT, {}, 18)
    assert trace(rows, "red") == "####....#####....#"
    assert trace(rows, "yellow") == "...#..##....#..##."
    assert trace(rows, "green") == "....##.......##..."


def test_sequencer():
    """Down from the start in 1; at the bottom in 4 it holds 30 ms, up from 7; at the top in 9 one part is counted."""
    given = {1: {"start": True}, 2: {"start": False}, 4: {"down_reached": True}, 5: {"down_reached": False},
             9: {"up_reached": True}}  # fmt: skip
    rows = ran(SEQUENCER, given, 12)
    assert trace(rows, "move_down") == ".###........"
    assert trace(rows, "holding") == "....###....."
    assert trace(rows, "move_up") == ".......##..."
    assert [row["parts.CV"] for row in rows] == [0] * 9 + [1] * 3
