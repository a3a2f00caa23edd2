"""What is counted of texts and drawings: sequences by CASE with their transitions, ELSIF in its line, no hidden names.

Rule: whole lists of items and conditions, derived by hand.
"""

import pytest

from simplant.errors import SimplantError
from simplant.logic.compile import compile_task
from simplant.logic.coverage.probes import Prober
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.parse import parse
from simplant.logic.st.prepared import prepared
from simplant.logic.walk import walk_task
from simplant.timebase import ms

SEQUENCES = """\
TYPE Way : (idle, aim, toss); END_TYPE
FUNCTION_BLOCK Valve
VAR_INPUT open : BOOL; END_VAR
VAR CONSTANT shut : INT := 10; opening : INT := 20; wide : INT := 30; END_VAR
VAR state : INT := shut; END_VAR
CASE state OF
  shut: IF open THEN state := opening; END_IF;
  opening: state := wide;
  wide: IF NOT open THEN state := shut; END_IF;
END_CASE;
END_FUNCTION_BLOCK
PROGRAM p
VAR cycle : Way; go : BOOL := TRUE; v : Valve; n : INT; END_VAR
CASE cycle OF
  idle: IF go THEN cycle := aim; END_IF;
  aim: cycle := toss;
  toss: cycle := idle;
END_CASE;
IF n = 9 AND cycle <> idle THEN cycle := idle; END_IF;
v(open := go);
END_PROGRAM
"""
ARMS = """\
PROGRAM p
VAR a, b, c : BOOL; n : INT; END_VAR
IF a THEN n := 1;
ELSIF b
  AND c THEN n := 2;
ELSIF
  n / n > 0 THEN n := 3;
END_IF;
END_PROGRAM
"""
DRAWING = """\
PROGRAM p
VAR a, b, c, d, e, q, r, s : BOOL; END_VAR

 |  a     b                 q   |
 |--| |--| |--+------------( )--|
 |            |   c         r   |
 |            +--| |-------( )--|

 |  a                           |
 |--| |-------------------->>on |

 |  b     a                 s   |
 |--| |--|/|--+------------( )--|
 |            |   s         d   |
 |            +--| |-------(S)--|

on:
 |  c                       e   |
 |--| |--------------------( )--|
END_PROGRAM
"""


def sheet(text, scans, read=parse):
    """Run a text so often, compiled and walked; both see the same."""
    found = []
    for make in (compile_task, walk_task):
        prober = Prober(prepared(text, "p.st", [], read=read))
        (layout,) = prober.program.laid
        task = make(prober.probed(layout))
        state = task.initial
        for number in range(scans):
            state, _ = task.run((), state, number * ms(10))
        found.append(prober.sheet.as_json())
    assert found[0] == found[1]
    return found[0]


def test_sequences_by_case():
    """Steps and transitions, of names of an enumeration and of constants; two scans take two ways of each."""
    found = sheet(SEQUENCES, 2)
    steps = [(i["name"], i["seen"]) for i in found["items"] if i["kind"] == "step"]
    ways = [(i["name"], i["place"], i["seen"]) for i in found["items"] if i["kind"] == "transition"]
    assert steps == [
        ("Valve.state.shut", True), ("Valve.state.opening", True), ("Valve.state.wide", True),
        ("cycle.idle", True), ("cycle.aim", True), ("cycle.toss", True),
    ]  # fmt: skip
    assert ways == [
        ("Valve.state: shut -> opening", "p.st:7:22", True),
        ("Valve.state: opening -> wide", "p.st:8:12", True),
        ("Valve.state: wide -> shut", "p.st:9:26", False),
        ("cycle: idle -> aim", "p.st:15:20", True),
        ("cycle: aim -> toss", "p.st:16:8", True),
        ("cycle: toss -> idle", "p.st:17:9", False),
        ("cycle: aim -> idle", "p.st:19:33", False),
        ("cycle: toss -> idle", "p.st:19:33", False),
    ]
    branches = [(d["place"], [c["text"] for c in d["conditions"]]) for d in found["decisions"] if d["kind"] == "branch"]
    assert branches == [("p.st:7:9", ["open"]), ("p.st:9:9", ["open"]), ("p.st:15:9", ["go"]),
                        ("p.st:19:1", ["n = 9", "cycle <> 0"])]  # fmt: skip


def test_arms_where_they_stand():
    """Each ELSIF is shown at its own condition, and what fails there is told there."""
    text = ARMS.replace("n / n > 0", "n > 0")
    places = [(d["name"], d["place"]) for d in sheet(text, 1)["decisions"]]
    assert places == [("1 of 3", "p.st:3:1"), ("2 of 3", "p.st:4:7"), ("3 of 3", "p.st:7:3")]
    (layout,) = prepared(ARMS, "p.st", []).laid
    for make in (compile_task, walk_task):
        task = make(layout)
        with pytest.raises(SimplantError) as caught:
            task.run((), task.initial, 0)
        assert str(caught.value.place) == "p.st:7:3"


def test_power_and_jumps_are_no_conditions():
    """What lowering a drawing needs is neither named nor counted: not the power it keeps, nor where a jump goes on."""
    found = sheet(DRAWING, 2, read_ladder)
    told = [(d["kind"], d["name"], [c["text"] for c in d["conditions"]]) for d in found["decisions"]]
    assert told == [
        ("rung", "power", ["a", "b"]), ("rung", "r", ["c"]), ("branch", "", ["a"]), ("rung", "power", ["b", "a"]),
        ("branch", "d", ["s"]), ("rung", "e", ["c"]),
    ]  # fmt: skip
    assert not [i for i in found["items"] if "power" in i["name"] or "go_on_at" in i["name"]]
