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
    "WHILE NOT b DO b := go; END_WHILE;": ["4:1: this WHILE is not proved to end"],
    "WHILE NOT b DO k := k + 1; END_WHILE; b := TRUE;": ["4:1: nothing shows that this WHILE ends"],
    "WHILE i * i <= n DO i := i + 1; END_WHILE; b := TRUE;": ["4:1: this WHILE is not proved to end"],
    "WHILE TRUE DO b := go; IF b THEN EXIT; END_IF; END_WHILE;": ["4:1: this WHILE is not proved to end"],
    "REPEAT i := i + 2; UNTIL i > 9 END_REPEAT; b := TRUE;": [],
    "REPEAT b := go; UNTIL b END_REPEAT;": ["4:1: this REPEAT is not proved to end"],
    "b := n / m > 3;": ["4:10: m may be 0 here"],
    "b := 10 MOD m > 3;": ["4:13: m may be 0 here"],
    "IF m <> 0 THEN b := n / m > 3; ELSE b := FALSE; END_IF;": [],
    "IF m = 0 THEN b := FALSE; ELSE b := n / m > 3; END_IF;": [],
    "b := n / 2 > 3;": [],
    "b := go;\nb := NOT go;": ["5:1: the output b is written at lines 4 and 5"],
    "IF go THEN b := TRUE; ELSE b := FALSE; END_IF;": [],
    "IF go THEN b := TRUE; END_IF;\nIF n > 3 THEN b := FALSE; END_IF;": [],
    "CASE n OF 1: b := TRUE; 2: b := FALSE; END_CASE;": [],
    "CASE n OF 1: b := go; 2: b := FALSE; END_CASE;\nIF m > 3 THEN b := FALSE; END_IF;": [],
    "IF go THEN b := n > 1; RETURN; END_IF;\nb := FALSE;": [],
    "b := go;\nb := b AND n > 3;": [],
    "IF go THEN k := k + 1; END_IF;\nIF a THEN k := k - 1; END_IF; b := TRUE;": [],
    "b := FALSE;\nIF n > 3 THEN b := TRUE; END_IF;": [],
    "b := go; i := i + m;\nb := n > i;": ["5:1: the output b is written at lines 4 and 5"],
    "IF go THEN b := TRUE; END_IF;\nIF n > 3 THEN b := FALSE; ELSE b := TRUE; END_IF;": [
        "5:1: the output b is written at lines 4 and 5"
    ],
    "IF go THEN b := n > 1; END_IF;\nIF m > 3 THEN b := n > 2; END_IF;": [
        "5:1: the output b is written at lines 4 and 5"
    ],
    "IF m = 1 THEN b := n > 1; END_IF;\nIF m = 2 THEN b := n > 2; END_IF;": [],
}
DIVIDED = {
    "IF m = 0 THEN k := 0; RETURN; END_IF; k := n / m;": False,
    "IF m = 0 THEN k := 0; END_IF; k := n / m;": True,
    "WHILE m <> i DO i := i + 1; k := n / m; END_WHILE;": True,
    "WHILE i <> 0 DO k := n MOD i; i := k; END_WHILE;": False,
    "WHILE i <> 0 DO i := i - 1; k := n MOD i; END_WHILE;": True,
    "REPEAT i := i + 1; UNTIL i > 3 END_REPEAT; k := n / i;": False,
    "FOR i := 1 TO 5 DO k := n / i; END_FOR;": False,
    "FOR i := 5 TO 1 BY -1 DO k := n / i; END_FOR;": False,
    "FOR i := 0 TO 5 DO k := n / i; END_FOR;": True,
    "FOR i := m TO 5 DO k := n / i; END_FOR;": True,
    "FOR i := 1 TO 5 DO k := n / i; i := i - 1; END_FOR;": True,
    "FOR i := 0 TO 5 DO IF i = 0 THEN CONTINUE; END_IF; k := n / i; END_FOR;": False,
    "a := m <> 0 AND n / m > 2; b := m = 0 OR n / m > 2;": False,
    "a := n / m > 2 AND m <> 0;": True,
    "a := m <> 0 AND twice(n / m) > 2;": True,
    "a := m <> 0 OR n / m > 2;": True,
    "IF m > 0 THEN k := n / m; END_IF;": False,
    "IF m >= 0 THEN k := n / m; END_IF;": True,
    "IF NOT (m <= 0) THEN k := n / m; END_IF;": False,
    "IF m < 0 OR m > 9 THEN k := n / m; END_IF;": False,
    "IF m < 0 OR n > 9 THEN k := n / m; END_IF;": True,
    "IF m > n THEN k := n / m; END_IF;": True,
    "IF m <> 1 THEN k := n / m; END_IF;": True,
    "IF m = 4 THEN k := n / m; END_IF;": False,
    "IF m <> 0 THEN i := m; k := n / i; END_IF;": False,
    "i := MAX(m, 1); k := n / i;": False,
    "i := LIMIT(1, m, 9); k := n / i;": False,
    "i := MIN(m, 1); k := n / i;": True,
    "i := SEL(m = 0, 1, 2); k := n / i;": False,
    "i := 3; IF a THEN i := 4; END_IF; k := n / i;": False,
    "i := 3; IF a THEN i := m; END_IF; k := n / i;": True,
    "IF i <> 0 THEN i := m; k := n / i; END_IF;": True,
    "IF ABS(m) > 2 THEN k := n / m; END_IF;": False,
    "CASE m OF 0: k := 1; 1, 2: k := n / m; ELSE k := n / m; END_CASE;": False,
    "CASE m OF 1: k := 1; ELSE k := n / m; END_CASE;": True,
    "IF w[n] <> 0 THEN k := n / w[n]; END_IF;": False,
    "IF w[n] <> 0 THEN k := n / w[m]; END_IF;": True,
    "IF w[i] <> 0 THEN i := i + 1; k := n / w[i]; END_IF;": True,
    "IF w[n] <> 0 THEN w[m] := 0; k := n / w[n]; END_IF;": True,
    "IF g <> 0 THEN k := twice(1); k := n / g; END_IF;": True,
    "IF g <> 0 THEN k := n / g; END_IF;": False,
    "IF i <> 0 THEN c(io := i); k := n / i; END_IF;": True,
    "k := n / part;": False,
    "k := n / four;": False,
}


def said(text):
    return [f"{m.place.line}:{m.place.column}: {m.what}" for m in lints(project(text))]


@pytest.mark.parametrize("statements", SAID)
def test_statements(statements):
    """Loops without a bound, divisions that nothing guards, outputs with two writers that are no set and reset."""
    assert said(f"{HEAD}{statements}\nEND_PROGRAM") == SAID[statements]


@pytest.mark.parametrize("statements", DIVIDED)
def test_divisions(statements):
    """Told where the divisor may be 0, and only there: by tests, bounds, values, and all that may write it since."""
    text = (
        "VAR_GLOBAL g : INT; END_VAR\n"
        "FUNCTION twice : INT VAR_INPUT x : INT; END_VAR VAR_EXTERNAL g : INT; END_VAR\n"
        "g := x; twice := 2 * x;\nEND_FUNCTION\n"
        "FUNCTION_BLOCK clear VAR_IN_OUT io : INT; END_VAR io := 0; END_FUNCTION_BLOCK\n"
        "PROGRAM p\nVAR_INPUT n, m : INT; part : INT(1..9) := 1; END_VAR VAR_EXTERNAL g : INT; END_VAR\n"
        "VAR_OUTPUT a, b : BOOL; k : INT; END_VAR\n"
        "VAR i : INT; four : INT := 4; w : ARRAY[0..9] OF INT; c : clear; END_VAR\n"
        f"{statements}\nEND_PROGRAM"
    )
    assert any("may be 0" in m.what for m in lints(project(text))) is DIVIDED[statements]


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
