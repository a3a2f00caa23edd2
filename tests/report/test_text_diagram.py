"""Charts read off a text: the ways of the same sequence in Python, and what stands around an assignment."""

from pathlib import Path

from simplant.logic.st.prepared import prepared
from simplant.logic.st.sequences import chart_of, charts_of
from simplant.report.path_taken import ways_of
from simplant.rig.machine import Machine

TEXT = """
TYPE Steps : (rest, run, done); END_TYPE
PROGRAM p
VAR a, b, c, busy : BOOL; n : INT; s : Steps; m : Steps; END_VAR
busy := s = run OR s = done;
IF NOT c THEN
  IF a AND busy THEN
    s := rest;
  ELSIF b AND (s = run XOR c) THEN
    s := done;
  ELSE
    CASE s OF
      rest:
        IF a THEN
          IF b THEN s := run; ELSE s := done; END_IF;
        END_IF;
        CASE n OF 1: s := Steps#run; END_CASE;
      ELSE
        IF NOT busy THEN s := run; END_IF;
        m := rest;
    END_CASE;
  END_IF;
END_IF;
CASE m OF rest: n := 2; END_CASE;
END_PROGRAM
"""


def test_what_stands_around_an_assignment():
    """Arms before the CASE, an ELSE, a CASE of something else; what a step decides is left out."""
    program = prepared(TEXT, "p.st", [])
    assert [(w.source, w.dest, w.conditions) for w in ways_of(chart_of(program, "s"))] == [
        ("run", "rest", ("a",)),
        ("done", "rest", ("a",)),
        ("rest", "done", ("b AND (s = run XOR c)", "a AND NOT b")),
        ("run", "done", ("b AND (s = run XOR c)",)),
        ("done", "done", ("b AND (s = run XOR c)",)),
        ("rest", "run", ("a AND b", "n = 1")),
    ]


def test_the_ways_of_a_twin():
    """comet_toss in Structured Text leads from step to step where it does in Python, and begins where it does."""
    text = Machine.load("programs/comet_toss", logic=Path("programs/comet_toss/logic.st"))
    (mine,), (other,) = (charts_of(m.program).values() for m in (text, Machine.load("programs/comet_toss")))
    assert {(w.source, w.dest) for w in ways_of(mine)} == {(w.source, w.dest) for w in ways_of(other)}
    assert (mine.initial, mine.names) == (other.initial, other.names)
