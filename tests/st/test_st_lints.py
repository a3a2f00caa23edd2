"""What `simplant check` says of texts that are right and yet look wrong."""

import pytest

from simplant.logic.st.lints import lints
from tests.st.running import project

HEAD = (
    "PROGRAM p\n"
    "VAR_INPUT n, m : INT; go : BOOL; END_VAR VAR_OUTPUT a, b : BOOL; k : INT; END_VAR VAR i : INT; END_VAR\n"
    "a := go; i := n + m; k := i;\n"
)
SAID = {
    "WHILE i < 5 DO i := i + 1; END_WHILE; b := TRUE;": [],
    "WHILE i < 5 DO i := i - 1; END_WHILE; b := TRUE;": ["4:1: nothing shows that this WHILE ends"],
    "WHILE NOT b DO b := go; END_WHILE;": ["4:1: nothing shows that this WHILE ends"],
    "REPEAT i := i + 2; UNTIL i > 9 END_REPEAT; b := TRUE;": [],
    "REPEAT b := go; UNTIL b END_REPEAT;": ["4:1: nothing shows that this REPEAT ends"],
    "b := n / m > 3;": ["4:10: m may be 0 here"],
    "b := 10 MOD m > 3;": ["4:13: m may be 0 here"],
    "IF m <> 0 THEN b := n / m > 3; ELSE b := FALSE; END_IF;": [],
    "IF m = 0 THEN b := FALSE; ELSE b := n / m > 3; END_IF;": [],
    "b := n / 2 > 3;": [],
    "b := go;\nb := NOT go;": ["5:1: the output b is written at lines 4 and 5"],
    "IF go THEN b := TRUE; ELSE b := FALSE; END_IF;": [],
    "IF go THEN b := TRUE; END_IF;\nIF n > 3 THEN b := FALSE; END_IF;": [],
    "CASE n OF 1: b := TRUE; 2: b := FALSE; END_CASE;": [],
    "CASE n OF 1: b := go; 2: b := FALSE; END_CASE;\nIF m > 3 THEN b := FALSE; END_IF;": [
        "5:1: the output b is written at lines 4 and 5"
    ],
}


def said(text):
    return [f"{m.place.line}:{m.place.column}: {m.what}" for m in lints(project(text))]


@pytest.mark.parametrize("statements", SAID)
def test_statements(statements):
    """Loops without a bound, divisions that nothing guards, outputs with two writers that are no set and reset."""
    assert said(f"{HEAD}{statements}\nEND_PROGRAM") == SAID[statements]


def test_variables():
    """Never used, never read, never written; a block instance and an input need not be written."""
    text = (
        "PROGRAM p\nVAR_INPUT x : INT; END_VAR\nVAR_OUTPUT y : BOOL; END_VAR\n"
        "VAR a, b, c : INT; t : TON; END_VAR\nb := 1; t(IN := c = 0, PT := T#1s); y := t.Q;\nEND_PROGRAM"
    )
    assert said(text) == [
        "2:11: the input x is never used",
        "4:5: the variable a is never used",
        "4:8: b is written but never read",
        "4:11: c is read but never written",
    ]


def test_a_constant_divisor_is_known():
    """A constant is no 0 that could come later; one that is 0 is an error, told by the reader."""
    text = (
        "PROGRAM p\nVAR CONSTANT parts : INT := 4; END_VAR\nVAR_INPUT x : INT; END_VAR\n"
        "VAR_OUTPUT y : INT; END_VAR\ny := x / parts;\nEND_PROGRAM"
    )
    assert said(text) == []


def test_an_output_that_two_programs_write():
    """Whichever runs last wins, whatever order the tasks have; each further place is told."""
    text = (
        "PROGRAM one\nVAR q AT %QX0.0 : BOOL; x AT %IX0.0 : BOOL; END_VAR\nq := x;\nEND_PROGRAM\n"
        "PROGRAM two\nVAR q AT %QX0.0 : BOOL; x AT %IX0.1 : BOOL; END_VAR\nq := x;\nEND_PROGRAM"
    )
    assert said(text) == ["7:1: the output %QX0.0 is written by one as well"]
