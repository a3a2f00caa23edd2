"""Nothing that stands in a text makes the reader crash or hang; made programs run alike, compiled and walked."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.errors import SimplantError
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from tests.bench.reading import long_text, read
from tests.st.running import scans
from tests.st.test_st_programs import PROGRAMS

WORDS = [
    "IF",
    "THEN",
    "ELSE",
    "ELSIF",
    "END_IF",
    "CASE",
    "OF",
    "END_CASE",
    "FOR",
    "TO",
    "BY",
    "DO",
    "END_FOR",
    "WHILE",
    "END_WHILE",
    "REPEAT",
    "UNTIL",
    "END_REPEAT",
    "EXIT",
    "RETURN",
    "CONTINUE",
    "VAR",
    "VAR_INPUT",
    "VAR_OUTPUT",
    "END_VAR",
    "PROGRAM",
    "END_PROGRAM",
    "FUNCTION",
    "END_FUNCTION",
    "FUNCTION_BLOCK",
    "END_FUNCTION_BLOCK",
    "TYPE",
    "END_TYPE",
    "STRUCT",
    "END_STRUCT",
    "ARRAY",
    "[",
    "]",
    "(",
    ")",
    ":=",
    "=>",
    ";",
    ":",
    ",",
    ".",
    "..",
    "+",
    "-",
    "*",
    "/",
    "**",
    "=",
    "<>",
    "<",
    ">",
    "AND",
    "OR",
    "NOT",
    "MOD",
    "TRUE",
    "1",
    "2.5",
    "T#5s",
    "'x'",
    "16#FF",
    "a",
    "b",
    "p",
    "INT",
    "BOOL",
    "TON",
    "STRING",
    "%IX0.0",
    "(*",
    "*)",
    "//",
    "{",
    "}",
    "$",
    "CONFIGURATION",
    "TASK",
]


@given(st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join))
def test_any_row_of_words_is_read_or_told(text):
    """Words of the language in any order: read, or told what is wrong with them."""
    project = Project(text, "t.st")
    if not project.report.errors:
        with_units = project.names.units
        assert isinstance(with_units, dict)


@given(st.text(max_size=200))
def test_any_text_is_read_or_told(text):
    """Any letters at all."""
    Project(text, "t.st")


@given(st.sampled_from(sorted(PROGRAMS)), st.data())
def test_a_broken_program_is_read_or_told(name, data):
    """A program that was right, with a piece cut out of it: read and laid out, or told what is wrong."""
    text = PROGRAMS[name][0]
    start = data.draw(st.integers(0, len(text)))
    cut = text[:start] + text[start + data.draw(st.integers(1, 12)) :]
    project = Project(cut, "t.st")
    with suppress(SimplantError):
        lay_out(project)


DEEP = {
    "parentheses": "PROGRAM p VAR x : INT; END_VAR x := " + "(" * 3000 + "1" + ")" * 3000 + "; END_PROGRAM",
    "branches": "VAR a : BOOL; END_VAR " + "IF a THEN " * 3000,
    "NOT": "VAR a : BOOL; END_VAR a := " + "NOT " * 3000 + "a;",
    "comparisons": "VAR a : BOOL; END_VAR a := " + "a = " * 3000 + "a;",
    "arrays": "VAR a : " + "ARRAY[0..1] OF " * 3000 + "INT; END_VAR",
    "comments": "(*" * 3000,
    "minus": "VAR a : INT; END_VAR a := " + "- " * 3000 + "a;",
    "indices": "VAR a : ARRAY[0..3] OF INT; END_VAR a[0] := " + "a[" * 3000 + "0" + "]" * 3000 + ";",
    "structures": "TYPE a : " + "STRUCT b : " * 3000 + "INT; " + "END_STRUCT; " * 3000 + "END_TYPE",
    "initial values": "VAR a : INT := " + "[" * 3000 + "1" + "]" * 3000 + "; END_VAR",
    "loops": "VAR a : BOOL; END_VAR " + "REPEAT " * 3000 + "a := TRUE; " + "UNTIL a END_REPEAT; " * 3000,
    "namespaces": "NAMESPACE n " * 3000,
    "types of types": "TYPE " + "".join(f"t{i} : t{i + 1}; " for i in range(3000)) + "t3000 : INT; END_TYPE",
    "blocks in blocks": "".join(
        f"FUNCTION_BLOCK f{i} VAR a : f{i + 1}; END_VAR a(); END_FUNCTION_BLOCK " for i in range(600)
    )
    + "FUNCTION_BLOCK f600 VAR o : INT; END_VAR o := 1; END_FUNCTION_BLOCK",
    "functions": "".join(f"FUNCTION g{i} : INT g{i} := g{i + 1}(); END_FUNCTION " for i in range(600))
    + "FUNCTION g600 : INT g600 := 1; END_FUNCTION",
    "a circle": "".join(f"FUNCTION g{i} : INT g{i} := g{(i + 1) % 600}(); END_FUNCTION " for i in range(600)),
    "conditions that call": "FUNCTION h : BOOL VAR_INPUT n : INT; END_VAR h := n > 1; END_FUNCTION PROGRAM p "
    "VAR a : INT; END_VAR IF a = 1 THEN a := 2; "
    + "".join(f"ELSIF h({i}) THEN a := 3; " for i in range(600))
    + "END_IF; END_PROGRAM",
    "values of a function": "VAR a : INT; END_VAR a := ADD(" + ", ".join("a" for _ in range(3000)) + ");",
    "two of two of two": "TYPE "
    + "".join(f"s{i} : STRUCT a, b : s{i + 1}; END_STRUCT; " for i in range(30))
    + "s30 : INT; END_TYPE VAR_GLOBAL x : s0; END_VAR",
    "arrays of arrays": "VAR a : " + "ARRAY[0..999] OF " * 3 + "INT; END_VAR",
    "many arrays": "VAR " + "".join(f"a{i} : ARRAY[0..999999] OF INT; " for i in range(60)) + "END_VAR",
    "calls": "VAR a : INT; END_VAR a := " + "ABS(" * 3000 + "1" + ")" * 3000 + ";",
}


@pytest.mark.parametrize("kind", DEEP)
def test_deep_nesting_is_told(kind):
    """Too deep, or too much, is a mistake with a place, never a RecursionError and never all memory."""
    assert Project(DEEP[kind], "t.st").report.errors


@pytest.mark.parametrize("count", [20, 39])
def test_what_is_not_too_deep_runs(count):
    """As deep as the reader allows, it also compiles and runs."""
    text = (
        "PROGRAM p VAR a : BOOL := TRUE; x : INT; END_VAR " + "IF a THEN " * count + "x := x + 1;" + "END_IF;" * count
    )
    assert scans(text + " END_PROGRAM")[0]["x"] == 1


def test_a_scan_that_does_not_end_is_told():
    """The watchdog names the loop's line."""
    with pytest.raises(SimplantError) as caught:
        scans("PROGRAM p VAR a : INT; END_VAR\na := 1;\nWHILE TRUE DO a := a + 1; END_WHILE;\nEND_PROGRAM")
    assert (caught.value.place.line, caught.value.why) == (3, "the watchdog stops it")


NUMBERS = st.sampled_from(["i", "j", "k", "a[1]", "a[2]", "1", "2", "-3", "100"])
BOOLS = st.sampled_from(["p", "q", "t.Q", "TRUE", "FALSE"])


def numbers(depth):
    """Whole-numbered expressions."""
    if depth == 0:
        return NUMBERS
    inner = numbers(depth - 1)
    pair = st.tuples(inner, st.sampled_from(["+", "-", "*"]), inner).map(lambda x: f"({x[0]} {x[1]} {x[2]})")
    calls = st.one_of(
        st.tuples(inner, inner).map(lambda x: f"MAX({x[0]}, {x[1]})"),
        st.tuples(bools(depth - 1), inner, inner).map(lambda x: f"SEL({x[0]}, {x[1]}, {x[2]})"),
        inner.map(lambda x: f"half({x})"),
        inner.map(lambda x: f"({x} MOD 7)"),
        st.tuples(inner, inner).map(lambda x: f"LIMIT(-50, {x[0]}, {x[1]})"),
    )
    return st.one_of(NUMBERS, pair, calls)


def bools(depth):
    """Conditions."""
    if depth == 0:
        return BOOLS
    inner = bools(depth - 1)
    compared = st.tuples(numbers(depth - 1), st.sampled_from(["<", ">=", "=", "<>"]), numbers(depth - 1))
    joined = st.tuples(inner, st.sampled_from(["AND", "OR", "XOR"]), inner)
    return st.one_of(
        BOOLS, st.one_of(compared, joined).map(lambda x: f"({x[0]} {x[1]} {x[2]})"), inner.map(lambda x: f"NOT {x}")
    )


def statements(depth):
    """Statements that end."""
    simple = st.one_of(
        st.tuples(st.sampled_from(["i", "j", "k", "a[1]", "a[2]", "a[LIMIT(1, i, 2)]"]), numbers(2)).map(
            lambda x: f"{x[0]} := {x[1]};"
        ),
        st.tuples(st.sampled_from(["p", "q"]), bools(2)).map(lambda x: f"{x[0]} := {x[1]};"),
        bools(1).map(lambda x: f"t(IN := {x}, PT := T#20ms);"),
        st.tuples(bools(1), numbers(1)).map(lambda x: f"f(go := {x[0]}, amount := {x[1]}, total => k);"),
    )
    if depth == 0:
        return simple
    body = st.lists(statements(depth - 1), min_size=1, max_size=3).map("\n".join)
    return st.one_of(
        simple,
        st.tuples(bools(2), body, body).map(lambda x: f"IF {x[0]} THEN\n{x[1]}\nELSE\n{x[2]}\nEND_IF;"),
        st.tuples(numbers(1), body, body).map(lambda x: f"CASE {x[0]} OF\n0..3: {x[1]}\n-1, 7: {x[2]}\nEND_CASE;"),
        st.tuples(body, bools(1)).map(
            lambda x: f"FOR n{depth} := 1 TO 3 DO\n{x[0]}\nIF {x[1]} THEN EXIT; END_IF;\nEND_FOR;"
        ),
        st.tuples(body, bools(1)).map(
            lambda x: f"FOR m{depth} := 3 TO 1 BY -1 DO\nIF {x[1]} THEN CONTINUE; END_IF;\n{x[0]}\nEND_FOR;"
        ),
    )


AROUND = """
FUNCTION half : INT
VAR_INPUT x : INT; END_VAR
IF x < 0 THEN half := -x; RETURN; END_IF;
half := x / 2;
END_FUNCTION
FUNCTION_BLOCK Sum
VAR_INPUT go : BOOL; amount : INT; END_VAR
VAR_OUTPUT total : INT; END_VAR
VAR late : TON; END_VAR
late(IN := go, PT := T#10ms);
IF late.Q THEN total := total + amount; END_IF;
END_FUNCTION_BLOCK
PROGRAM p
VAR i, j, k : INT := 1; n1, n2, m1, m2 : INT; p, q : BOOL; a : ARRAY[1..2] OF INT; t : TON; f : Sum; END_VAR
{}
END_PROGRAM
"""


@given(st.lists(statements(2), min_size=1, max_size=4).map("\n".join))
def test_compiled_and_walked_agree(body):
    """Every value after each of five scans is the same (running.py asserts it); a run-time error is the same too."""
    scans(AROUND.format(body), count=5)


def test_a_case_within_a_case():
    """A nested CASE is a statement of its group; its labels end nothing but its own groups."""
    text = """PROGRAM p
VAR i : INT := 7; x : INT; END_VAR
CASE i OF
0..3: x := 1;
-1, 7: CASE i OF
0..3: x := 2;
-1, 7: x := 3;
END_CASE;
END_CASE;
END_PROGRAM"""
    assert scans(text)[0]["x"] == 3


@pytest.mark.slow
def test_a_long_file():
    """Ten thousand lines are read, checked and compiled like ten (how fast is measured by tests/bench)."""
    task = read(long_text(10_000))
    assert len(task.slots) > 5_000


def test_hundreds_of_labels_and_branches():
    """What is long but not deep runs: 500 labels in one row, 500 ELSIFs."""
    labels = ", ".join(str(n) for n in range(500))
    branches = "".join(f"ELSIF a = {n} THEN b := {n};\n" for n in range(500))
    choice = f"CASE a OF {labels}: c := 1; END_CASE;"
    text = f"VAR a : INT := 499; b, c : INT; END_VAR IF a = -1 THEN b := 0;\n{branches}END_IF; {choice}"
    values = scans(text)[0]
    assert (values["b"], values["c"]) == (499, 1)
