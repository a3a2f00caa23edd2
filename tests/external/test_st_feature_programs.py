"""The tables of features of the textual language, row by row: declarations, statements, calls, configurations.

Literals and functions are test_st_features.py. Source: from memory: IEC 61131-3:2013, tables of data types, variables,
calls, function blocks, programs, configurations, namespaces and statements; the values are worked out. Rule: a row is a
program that is read without a word and leaves the values beside it.
"""

import pytest

from simplant.logic.compile import compile_task
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from simplant.timebase import ms

SUM = "FOR i := LOWER_BOUND(a, 1) TO UPPER_BOUND(a, 1) DO total := total + a[i]; END_FOR;"
CONFIGURED = """CONFIGURATION plant
  {globals}
  RESOURCE cpu ON any
    {inner}
    TASK t (INTERVAL := T#10ms, PRIORITY := 1);
    TASK slow (INTERVAL := T#20ms, PRIORITY := 2);
    PROGRAM one WITH t : p {joined};
  END_RESOURCE
  {settings}
END_CONFIGURATION
"""


def configured(unit, globals="", inner="", joined="", settings=""):  # noqa: A002 - the word of the language
    return CONFIGURED.format(globals=globals, inner=inner, joined=joined, settings=settings) + unit


def program(declared, body, before=""):
    return f"{before}\nPROGRAM p\nVAR {declared} END_VAR\n{body}\nEND_PROGRAM\n"


TYPES = {
    "named values on a base type": (
        program(
            "c : Colour := Green; r : DWORD; b : BOOL;",
            "c := Green; b := c = Colour#Green; c := Red; r := c; c := 16#FF;",
            "TYPE Colour : DWORD (Red := 16#00FF0000, Green := 16#0000FF00); END_TYPE",
        ),
        {"b": True, "r": 0xFF0000, "c": 0xFF},
    ),
    "enumeration with a first value": (program("x : T;", ";", "TYPE T : (a, b, c) := b; END_TYPE"), {"x": 1}),
    "subrange with a first value": (
        program("x : S; y : INT (0..10) := 3;", ";", "TYPE S : INT (-4095..4095) := 100; END_TYPE"),
        {"x": 100, "y": 3},
    ),
    "first values of types": (
        program(
            "b : B; c : C; n : INT;",
            "n := b.x + c[1];",
            "TYPE A : STRUCT x : INT := 3; END_STRUCT; B : A := (x := 5); C : ARRAY [0..1] OF INT := [2(7)]; END_TYPE",
        ),
        {"n": 12},
    ),
    "array of several indices, arrays in arrays, groups repeated": (
        program(
            "a : ARRAY [1..2, 1..3] OF INT := [1, 2, 3, 4, 5, 6]; b : ARRAY [0..1] OF ARRAY [0..1] OF INT := "
            "[[1, 2], [3, 4]]; c : ARRAY [0..7] OF INT := [3(1, 2), 2(9)]; x, y, z : INT;",
            "x := a[2, 3]; y := b[1][0]; z := c[5] + c[7];",
        ),
        {"x": 6, "y": 3, "z": 11},
    ),
    "relative addresses of fields": (
        program(
            "u : R; n : USINT;",
            "n := u.length;",
            "TYPE R : STRUCT head AT %B0 : INT; length AT %B2 : USINT := 26; flag AT %X3.0 : BOOL; END_STRUCT; "
            "END_TYPE",
        ),
        {"n": 26},
    ),
    "OVERLAP": (
        program(
            "u : U; h : BYTE; i : INT;",
            "u.w := 16#8034; h := u.hi; i := u.i;",
            "TYPE U : STRUCT OVERLAP w : WORD; i : INT; hi AT %B1 : BYTE; END_STRUCT; END_TYPE",
        ),
        {"h": 0x80, "i": 0x8034 - 0x10000},
    ),
    "references": (
        program(
            "x : INT; r : REF_TO INT; none, same : BOOL;", "none := r = NULL; r := REF(x); r^ := 5; same := r = REF(x);"
        ),
        {"x": 5, "none": False, "same": True, "r": "x"},
    ),
    "partial access": (
        program(
            "d : DWORD := 16#12345678; w : WORD; b : BYTE; x : BOOL; l : LWORD;",
            "w := d.%W1; b := d.%B0; x := d.%X3; l.%D1 := d; l.%B0 := 16#FF;",
        ),
        {"w": 0x1234, "b": 0x78, "x": True, "l": 0x12345678_000000FF},
    ),
    "widening by itself": (
        program(
            "s : SINT := 5; l : LINT; r : REAL; lr : LREAL; i : INT; u : USINT := 3; w : WORD; b : BYTE := 3; "
            "t : TIME := T#1s; lt : LTIME; c : CHAR := 'a'; x : STRING;",
            "l := s; r := s; lr := r; i := u; w := b; lt := t; x := c;",
        ),
        {"l": 5, "r": 5.0, "lr": 5.0, "i": 3, "w": 3, "lt": ms(1000), "x": "a"},
    ),
}
UNITS = {
    "ARRAY[*] as VAR_IN_OUT": (
        program(
            "b : ARRAY [3..5] OF INT := [1, 2, 3]; r : DINT;",
            "r := f(a := b);",
            f"FUNCTION f : DINT VAR_IN_OUT a : ARRAY [*] OF INT; END_VAR VAR i, total : DINT; END_VAR {SUM} "
            "f := total; END_FUNCTION",
        ),
        {"r": 6},
    ),
    "ARRAY[*] as VAR_INPUT": (
        program(
            "b : ARRAY [3..5] OF INT := [1, 2, 3]; r : DINT;",
            "r := f(b);",
            f"FUNCTION f : DINT VAR_INPUT a : ARRAY [*] OF INT; END_VAR VAR i, total : DINT; END_VAR {SUM} "
            "f := total; END_FUNCTION",
        ),
        {"r": 6},
    ),
    "ARRAY[*, *]": (
        program(
            "b : ARRAY [3..5, 0..200] OF INT; r : DINT;",
            "r := f(a := b);",
            "FUNCTION f : DINT VAR_IN_OUT a : ARRAY [*, *] OF INT; END_VAR a[4, 100] := 7; "
            "f := UPPER_BOUND(a, 2) + LOWER_BOUND(a, 1) + a[4, 100]; END_FUNCTION",
        ),
        {"r": 210},
    ),
    "a FUNCTION without a result, with outputs": (
        program(
            "n : INT; q : BOOL;",
            "f(a := 3, b => n, NOT c => q);",
            "FUNCTION f VAR_INPUT a : INT; END_VAR VAR_OUTPUT b : INT; c : BOOL; END_VAR b := a * 2; c := a > 1; "
            "END_FUNCTION",
        ),
        {"n": 6, "q": False},
    ),
    "inputs left out": (
        program(
            "n : INT;",
            "n := f(b := 5);",
            "FUNCTION f : INT VAR_INPUT a : INT := 3; b : INT := 4; END_VAR f := a * b; END_FUNCTION",
        ),
        {"n": 15},
    ),
    "EN and ENO outside": (
        program(
            "n, m : INT; ok, no : BOOL; t : TON;",
            "n := ADD(EN := TRUE, IN1 := 1, IN2 := 2, ENO => ok); m := ADD(EN := no, IN1 := 1, IN2 := 2); "
            "t(EN := FALSE, IN := TRUE, PT := T#0s, ENO => no);",
        ),
        {"n": 3, "m": 0, "ok": True, "no": False, "t.Q": False},
    ),
    "ENO written in the body": (
        program(
            "n, m : INT; good, bad, off : BOOL;",
            "n := f(x := 2, ENO => good); m := f(x := -2, ENO => bad); m := f(EN := FALSE, x := 9, ENO => off);",
            "FUNCTION f : INT VAR_INPUT x : INT; END_VAR ENO := x > 0; f := x; END_FUNCTION",
        ),
        {"n": 2, "m": 0, "good": True, "bad": False, "off": False},
    ),
    "MOVE and SEL of structures": (
        program(
            "x, y, z : S; c : BOOL := TRUE;",
            "x.a := 9; y := MOVE(x); z := SEL(c, y, x);",
            "TYPE S : STRUCT a : INT := 3; END_STRUCT; END_TYPE",
        ),
        {"y.a": 9, "z.a": 9},
    ),
    "inputs with edges": (
        program(
            "f : fb; r : INT;",
            "f(c := TRUE); r := f.n;",
            "FUNCTION_BLOCK fb VAR_INPUT c : BOOL R_EDGE; END_VAR VAR_OUTPUT n : INT; END_VAR "
            "IF c THEN n := n + 1; END_IF; END_FUNCTION_BLOCK",
        ),
        {"r": 1},
    ),
    "first values of instances": (
        program(
            "f : fb := (k := 8); a : ARRAY [1..2] OF fb := [(k := 3), (k := 4)]; r, s : INT; t : TON := (PT := T#5s);",
            "f(); r := f.o; a[2](); s := a[2].o;",
            "FUNCTION_BLOCK fb VAR_INPUT k : INT := 2; END_VAR VAR_OUTPUT o : INT; END_VAR o := k; END_FUNCTION_BLOCK",
        ),
        {"r": 8, "s": 4, "t.PT": ms(5000)},
    ),
    "typed standard blocks": (
        program(
            "a : CTU_DINT; b : CTD_UDINT; c : CTUD_LINT; d : TON_LTIME; e : TP_TIME;",
            "a(CU := TRUE, R := FALSE, PV := 3); d(IN := TRUE, PT := LT#1s);",
        ),
        {"a.CV": 1},
    ),
    "RETAIN and NON_RETAIN": (
        "PROGRAM p VAR RETAIN a : INT; END_VAR VAR NON_RETAIN b : INT; END_VAR VAR_OUTPUT RETAIN c : INT; END_VAR "
        "a := a + 1; b := b + 1; c := a; END_PROGRAM",
        {"a": 2, "b": 2, "c": 2},
    ),
    "dates split": (
        program(
            "y, m, d : INT; h, s : UINT;",
            "SPLIT_DATE(IN := D#2024-02-29, YEAR => y, MONTH => m, DAY => d); "
            "SPLIT_LTOD(IN := LTOD#01:02:03.004, HOUR => h, SECOND => s);",
        ),
        {"y": 2024, "m": 2, "d": 29, "h": 1, "s": 3},
    ),
    "variables at addresses alone, with first values": (
        "PROGRAM p VAR AT %MW10 : INT := 4; a AT %MW20 : ARRAY [0..2] OF INT := [1, 2, 3]; n : INT; END_VAR "
        "n := %MW10 + a[2]; END_PROGRAM",
        {"n": 7},
    ),
    "namespaces": (
        "NAMESPACE INTERNAL a FUNCTION f : INT VAR_INPUT x : INT; END_VAR f := x + 1; END_FUNCTION NAMESPACE b "
        "FUNCTION INTERNAL g : INT VAR_INPUT x : INT; END_VAR g := f(x) + 1; END_FUNCTION END_NAMESPACE END_NAMESPACE "
        "PROGRAM p USING a, a.b; VAR n : INT; END_VAR n := f(1) + g(2) + a.b.g(0); END_PROGRAM",
        {"n": 8},
    ),
    "comments in comments, pragmas": (
        "// one\nPROGRAM p /* a /* b */ */ (* c (* d *) *) VAR {x {y}} n : INT; END_VAR n := /* z */ 1; END_PROGRAM",
        {"n": 1},
    ),
}
STATEMENTS = {
    "CASE of an enumeration, with ranges": (
        program("e : E := E#c; n : INT;", "CASE e OF a..b: n := 1; E#c, E#d: n := 2; ELSE n := 3; END_CASE;",
                "TYPE E : (a, b, c, d); END_TYPE"),
        {"n": 2},
    ),
    "CONTINUE, EXIT": (
        program("i, n : INT;",
                "n := 0; FOR i := 1 TO 5 DO IF i = 3 THEN CONTINUE; END_IF; IF i = 5 THEN EXIT; END_IF; n := n + i; "
                "END_FOR;"),
        {"n": 7},
    ),
    "WHILE, REPEAT": (
        program("n : INT;", "n := 0; WHILE n < 5 DO n := n + 2; END_WHILE; REPEAT n := n + 1; UNTIL n > 7 END_REPEAT;"),
        {"n": 8},
    ),
    "unary plus and minus, order of operators": (
        program("n : INT; b : BOOL;", "n := +5 - -2 ** 2; b := TRUE XOR FALSE & TRUE;"), {"n": 1, "b": True}
    ),
}  # fmt: skip
CONFIGURATIONS = {
    "VAR_EXTERNAL CONSTANT": (
        configured("PROGRAM p VAR_EXTERNAL CONSTANT k : INT; END_VAR VAR n : INT; END_VAR n := k; END_PROGRAM",
                   "VAR_GLOBAL CONSTANT k : INT := 5; END_VAR"),
        {"one.n": 5},
    ),
    "globals of a resource, joined to a program": (
        configured("PROGRAM p VAR_INPUT i, j : INT; END_VAR VAR_OUTPUT o : INT; END_VAR o := i + j; END_PROGRAM",
                   "VAR_GLOBAL g : INT := 3; END_VAR", "VAR_GLOBAL h : INT := 4; END_VAR",
                   "(i := cpu.h, j := g, o => g)"),
        {"one.o": 11, "g": 11},
    ),
    "VAR_CONFIG": (
        configured("FUNCTION_BLOCK fb VAR k, o : INT; END_VAR o := k; END_FUNCTION_BLOCK "
                   "PROGRAM p VAR n : INT; q AT %Q* : BOOL; f : fb; END_VAR f(); q := n = 7; END_PROGRAM",
                   settings="VAR_CONFIG cpu.one.n : INT := 7; cpu.one.q AT %QX1.0 : BOOL; "
                            "cpu.one.f.k : INT := 9; END_VAR"),
        {"one.n": 7, "%QX1.0": True, "one.f.o": 9},
    ),
    "VAR_ACCESS": (
        configured("PROGRAM p VAR n : WORD; END_VAR n := 3; END_PROGRAM", "VAR_GLOBAL g : INT; END_VAR",
                   settings="VAR_ACCESS a : cpu.one.n : WORD READ_WRITE; b : g : INT READ_ONLY; "
                            "c : one.n.%X0 : BOOL; END_VAR"),
        {"one.n": 3},
    ),
    "a block with a task of its own": (
        configured("FUNCTION_BLOCK fb VAR n : INT; END_VAR n := n + 1; END_FUNCTION_BLOCK "
                   "PROGRAM p VAR f : fb; m : INT; END_VAR m := m + 1; END_PROGRAM", joined="(f WITH slow)"),
        {"one.m": 2, "one.f.n": 2},
    ),
    "SINGLE": (
        "CONFIGURATION c VAR_GLOBAL s : BOOL := TRUE; END_VAR RESOURCE r ON x TASK t (SINGLE := s, PRIORITY := 1); "
        "PROGRAM one WITH t : p; END_RESOURCE END_CONFIGURATION "
        "PROGRAM p VAR n : INT; END_VAR n := n + 1; END_PROGRAM",
        {"one.n": 1},
    ),
}  # fmt: skip
REFUSED = {
    "classes": ("CLASS c END_CLASS", "not in IEC 61131-3: CLASS (object orientation)"),
    "interfaces": ("INTERFACE i END_INTERFACE", "not in IEC 61131-3: INTERFACE (object orientation)"),
    "methods": ("FUNCTION_BLOCK f METHOD m END_METHOD END_FUNCTION_BLOCK", "METHOD (object orientation)"),
    "inheritance": ("FUNCTION_BLOCK f EXTENDS g END_FUNCTION_BLOCK", "EXTENDS (object orientation)"),
    "attempts": ("PROGRAM p VAR r : REF_TO INT; END_VAR r ?= NULL; END_PROGRAM", "'?=' (object orientation)"),
    "the list language": ("PROGRAM p VAR a : BOOL; END_VAR LD a END_PROGRAM", "an instruction of IL"),
}
ROWS = {**TYPES, **UNITS, **STATEMENTS, **CONFIGURATIONS}


def twice(layout, make):
    """Give the values after two scans, 10 ms apart."""
    task = make(layout)
    state = task.initial
    for number in range(2):
        state, _ = task.run((), state, number * ms(10))
    return dict(zip([slot.name for slot in task.slots], state, strict=True))


@pytest.mark.parametrize("row", ROWS)
def test_a_row_of_the_tables(row):
    """Read without a word; two scans leave the values beside it, compiled and walked."""
    text, wanted = ROWS[row]
    project = Project(text, "row.st")
    told = [project.report.told(m) for m in project.report.mistakes]
    assert told == []
    found = {}
    for layout in lay_out(project).layouts:
        values = twice(layout, compile_task)
        assert twice(layout, walk_task) == values
        found |= values
    assert {name: (found[name], type(found[name])) for name in wanted} == {n: (v, type(v)) for n, v in wanted.items()}


@pytest.mark.parametrize("row", REFUSED)
def test_what_is_not_read_is_named(row):
    """Of edition 3 object orientation is not read, and of edition 2 the list language."""
    text, wanted = REFUSED[row]
    assert any(wanted in mistake.what for mistake in Project(text, "row.st").report.errors)
