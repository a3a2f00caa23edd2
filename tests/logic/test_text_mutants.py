"""Mutants of programs written in Structured Text: every kind, told in full; the program itself stays as it was."""

from pathlib import Path

import pytest

from simplant.errors import SimplantError
from simplant.logic.compile import source_of
from simplant.logic.layout import layouts
from simplant.logic.mutate import KINDS, mutants
from simplant.logic.st.prepared import prepared
from simplant.rig.machine import Machine
from simplant.tags import Direction, Tag
from simplant.values import BOOL

IN, OUT = Direction.INPUT, Direction.OUTPUT
TAGS = [Tag("a_pressed", BOOL, IN), Tag("b_pressed", BOOL, IN), Tag("lamp_cmd", BOOL, OUT), Tag("horn_cmd", BOOL, OUT)]
HEAD = (
    "TYPE Steps : (rest, run, done); END_TYPE PROGRAM p "
    "VAR_EXTERNAL a_pressed, b_pressed, lamp_cmd, horn_cmd : BOOL; END_VAR\n"
)


def program(body, variables=""):
    return prepared(f"{HEAD}VAR {variables} END_VAR\n{body}\nEND_PROGRAM", "small.st", TAGS)


def told(body, variables="", kinds=()):
    return [
        f"{m.kind}: {m.where}: {m.before} -> {m.after}"
        for m in mutants(program(body, variables))
        if not kinds or m.kind in kinds
    ]


def test_an_assignment():
    """Each contact negated and mistaken, the connective swapped, each side dropped, the whole left out."""
    assert told("lamp_cmd := a_pressed AND NOT b_pressed;") == [
        "assignment: lamp_cmd: a_pressed AND NOT b_pressed -> left out",
        "connective: lamp_cmd: a_pressed AND NOT b_pressed -> a_pressed OR NOT b_pressed",
        "dropped: lamp_cmd: NOT b_pressed -> nothing",
        "dropped: lamp_cmd: a_pressed -> nothing",
        "negated: lamp_cmd: a_pressed -> NOT a_pressed",
        "input: lamp_cmd: a_pressed -> b_pressed",
        "negated: lamp_cmd: NOT b_pressed -> b_pressed",
        "input: lamp_cmd: NOT b_pressed -> NOT a_pressed",
    ]


def test_set_and_reset():
    """What is set is reset, what is reset is set, either is left out, and either is done always."""
    body = "IF a_pressed THEN lamp_cmd := TRUE; END_IF; IF b_pressed THEN lamp_cmd := FALSE; END_IF;"
    assert told(body, kinds=("coil", "assignment", "dropped")) == [
        "assignment: lamp_cmd: TRUE -> left out",
        "coil: lamp_cmd: TRUE -> FALSE",
        "dropped: IF a_pressed: it -> always",
        "assignment: lamp_cmd: FALSE -> left out",
        "coil: lamp_cmd: FALSE -> TRUE",
        "dropped: IF b_pressed: it -> always",
    ]


def test_a_timer():
    """Its preset a tenth, tenfold and a scan off; another type; called only while its input is on, so never reset."""
    assert told("t(IN := a_pressed, PT := T#1s); lamp_cmd := t.Q;", "t : TON;") == [
        "negated: t (TON) IN: a_pressed -> NOT a_pressed",
        "input: t (TON) IN: a_pressed -> b_pressed",
        "preset: t (TON) PT: T#1s -> T#100ms",
        "preset: t (TON) PT: T#1s -> T#10s",
        "preset: t (TON) PT: T#1s -> T#1s10ms",
        "preset: t (TON) PT: T#1s -> T#990ms",
        "reset: t (TON): called always -> only while IN",
        "assignment: lamp_cmd: t.Q -> left out",
        "negated: lamp_cmd: t.Q -> NOT t.Q",
        "timer: t: TON -> TOF",
        "timer: t: TON -> TP",
    ]


def test_a_counter():
    """It is never reset; its preset is one off."""
    assert told("c(CU := a_pressed, R := b_pressed, PV := 3); lamp_cmd := c.CV >= 2;", "c : CTU;",
                ("reset", "constant", "comparison")) == [
        "reset: c (CTU) R: b_pressed -> never",
        "constant: c (CTU) PV: 3 -> 4",
        "constant: c (CTU) PV: 3 -> 2",
        "comparison: lamp_cmd: c.CV >= 2 -> c.CV > 2",
        "constant: lamp_cmd: 2 -> 3",
        "constant: lamp_cmd: 2 -> 1",
    ]  # fmt: skip


SEQUENCE = """CASE s OF
  rest:
    IF a_pressed AND b_pressed THEN s := run; ELSIF b_pressed THEN s := done; END_IF;
  run, done:
    IF a_pressed THEN s := done; ELSIF NOT a_pressed THEN s := rest; END_IF;
END_CASE;
lamp_cmd := s = run;"""


def test_a_sequence():
    """A transition left out or leading on; two in the other order, unless they can never hold together."""
    assert told(SEQUENCE, "s : Steps;", ("transition", "order", "comparison", "initial")) == [
        "transition: s rest: s: run -> done",
        "transition: s rest: IF a_pressed AND b_pressed: it -> left out",
        "transition: s rest: s: done -> rest",
        "transition: s rest: ELSIF b_pressed: it -> left out",
        "order: s rest: IF a_pressed AND b_pressed: before b_pressed -> behind it",
        "transition: s run, done: s: done -> rest",
        "transition: s run, done: IF a_pressed: it -> left out",
        "transition: s run, done: s: rest -> run",
        "transition: s run, done: ELSIF NOT a_pressed: it -> left out",
        "comparison: lamp_cmd: s = run -> s <> run",
        "initial: s: lost at a restart -> kept over a restart",
    ]


def test_how_things_begin():
    """Only what a scan reads before it writes it: another first value, kept or not."""
    assert told("lamp_cmd := m; m := a_pressed; n := b_pressed; horn_cmd := n;", "m : BOOL := TRUE; n : BOOL;",
                ("initial",)) == [
        "initial: m: lost at a restart -> kept over a restart",
        "initial: m: begins as TRUE -> as FALSE",
    ]  # fmt: skip


def test_the_place_is_in_the_source():
    """Each mutant leads to the statement or condition that it changes, each by a text of its own."""
    made = mutants(program(SEQUENCE, "s : Steps;"))
    assert {str(m.place) for m in made if m.kind == "transition" and "rest:" in m.where} == {
        "small.st:5:18", "small.st:5:37", "small.st:5:53", "small.st:5:68",
    }  # fmt: skip
    assert len({str(m) for m in made}) == len(made)


@pytest.mark.slow
@pytest.mark.parametrize("file", ["programs/comet_toss/logic.st", "programs/stamp_station/logic.st"])
def test_every_mutant_is_another_program(file):
    """Of 40 by turns: each is refused with a reason, or is a program; most compile to another source."""
    machine = Machine.load(Path(file).parent, logic=Path(file))
    before = [source_of(layout)[0] for layout in layouts(machine.program)]
    all_of_them = mutants(machine.program)
    chosen, same = all_of_them[:: max(1, len(all_of_them) // 40)], 0
    for mutant in chosen:
        assert mutant.kind in KINDS
        try:
            made = mutant.make()
        except SimplantError:
            continue
        same += [source_of(layout)[0] for layout in layouts(made)] == before
        assert set(made.declared) == set(machine.program.declared)
    assert same <= len(chosen) // 5
    assert [source_of(layout)[0] for layout in layouts(machine.program)] == before
