"""References sleep as everything else: every scan, sleeping, sleeping with extra wakes, and walked give one trace.

Rule: the programs turn references by inputs, edges and time, and write through them to outputs, memories and rows.
"""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.logic.compile import compile_task
from simplant.logic.st.prepared import prepared
from simplant.logic.walk import walk_task
from tests.agree.charts import INPUTS, OUTPUTS
from tests.agree.stories import controller_of, story_of, told
from tests.agree.test_charts_of_steps import TAGS

HEAD = """
TYPE Flag : STRUCT on : BOOL; count : INT; next : REF_TO Flag; END_STRUCT; END_TYPE
FUNCTION_BLOCK Toggle
VAR_INPUT go : BOOL; target : REF_TO BOOL; END_VAR
VAR edge : R_TRIG; kept : BOOL; own : REF_TO BOOL := REF(kept); END_VAR
  edge(go);
  IF edge.Q AND target <> NULL THEN target^ := NOT target^; own^ := NOT own^; END_IF;
END_FUNCTION_BLOCK
PROGRAM main
VAR
  m0, m1 : BOOL; row : ARRAY [0..2] OF BOOL; f0, f1 : Flag := (on := FALSE, count := 1);
  r0 : REF_TO BOOL := REF(m0); r1 : REF_TO BOOL; here : REF_TO Flag := REF(f1);
  late : TON; toggle : Toggle; n : INT;
END_VAR
"""
PLACES = ["m0", "m1", "row[0]", "row[n MOD 3]", "f0.on", "here^.on", *OUTPUTS]


def text(rnd):
    def condition():
        return rnd.choice([*INPUTS, "late.Q", "r0^", "(r1 <> NULL AND r1^)", "r0 = r1", "here^.on", "row[1]", "m1"])

    def reference():
        return rnd.choice([f"REF({rnd.choice(PLACES)})", "r0", "REF(m1)"])

    def statement():
        return rnd.choice([
            f"late(IN := {condition()}, PT := T#30ms);",
            f"IF {condition()} THEN r0 := {reference()}; END_IF;",
            f"IF {condition()} THEN r1 := {rnd.choice((reference(), 'NULL'))}; END_IF;",
            f"r0^ := {condition()} AND {condition()};",
            f"IF r1 <> NULL THEN r1^ := {condition()}; END_IF;",
            f"toggle(go := {condition()}, target := {rnd.choice(('r0', 'r1', reference()))});",
            f"here := REF({rnd.choice(('f0', 'f1'))}); here^.count := (here^.count + 1) MOD 5; f0.next := here;",
            "IF f0.next <> NULL AND f0.next^.on THEN n := (n + 1) MOD 7; here := f0.next; END_IF;",
            f"f1 := here^; row[2] := {condition()};",
            f"{rnd.choice(OUTPUTS)} := {condition()};",
        ])  # fmt: skip

    return HEAD + "\n".join(statement() for _ in range(rnd.randint(3, 9))) + "\nEND_PROGRAM\n"


@pytest.mark.slow
@given(st.integers(0, 2**32))
@settings(max_examples=25)
def test_references_sleep_unseen(seed):
    """Which way a program is run is nowhere to be seen."""
    program = prepared(text(Random(seed)), "led.st", TAGS)
    case, walked = (story_of(Random(seed), program, acts=8, make=make) for make in (compile_task, walk_task))
    every = told(case, controller_of(case, sleep=False))
    assert told(case, controller_of(case)) == every
    assert told(case, controller_of(case, extra=lambda _task, k: k % 5 == 0)) == every
    assert told(walked, controller_of(walked)) == every
