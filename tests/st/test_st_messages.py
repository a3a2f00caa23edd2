"""What is told of mistakes in Structured Text: file, line, column, the line with a caret, the reason, the mend."""

import pytest

from simplant.logic.st.project import Project

HEAD = (
    "PROGRAM p\n"
    "VAR a, b : BOOL; n : INT; f : REAL; t : TON; speed : INT; s : STRING[5]; r : ARRAY[1..3] OF INT; END_VAR\n"
)
MESSAGES = {
    "a := n;": "3:6: a is BOOL, the value is INT. Write INT_TO_BOOL(...).",
    "n := 3.5;": "3:6: n is INT, 3.5 is a real number. Write REAL_TO_INT(3.5).",
    "n := f;": "3:6: n is INT, the value is REAL. Write REAL_TO_INT(...).",
    "n := 40000;": "3:6: 40000 does not fit n. INT goes from -32768 to 32767. Use DINT or a value in range.",
    "sped := 1;": "3:1: 'sped' is not declared. Declared and close in spelling: speed.",
    "t(IN := a, PTT := T#5s);": "3:12: TON has no input 'PTT'. Close in spelling: PT.",
    "t(IN := a, PT := 5);": "3:18: input PT of t is a time, 5 has no unit. Write T#5ms or T#5s.",
    "t.Q := TRUE;": "3:1: t.Q is an output of t. Only the block itself writes it.",
    "a := t.QQ;": "3:8: t (TON) has no 'QQ'. It has IN, PT, Q, ET.",
    "r[4] := 1;": "3:3: r has no element 4. The array goes from 1 to 3. Test the index before.",
    "IF n THEN ; END_IF;": "3:4: the condition is INT. A condition is BOOL. Compare it: x <> 0.",
    "a := n AND 3;": "3:8: AND joins INT and the number 3. It needs BOOL or bit strings. "
    "Convert it, for instance INT_TO_WORD(x).",
    "n := SQRR(4.0);": "3:6: there is no function 'SQRR'. Close in spelling: SQRT, SHR, ROR.",
    "n := n / 0;": "3:8: a division by 0. The standard calls this an error.",
    "a := n.%X3.0;": "3:8: '%X3.0' stands where the name of a field is wanted.",
    "EXIT;": "3:1: EXIT stands outside a loop.",
    "n := n + ;": "3:10: ';' stands where a value is wanted.",
    "n = 3;": "3:3: not in IEC 61131-3: '=' as an assignment to n. Write n := ... instead.",
    "n += 3;": "3:3: not in IEC 61131-3: '+=' as an assignment to n. Write n := n + ... instead.",
    "a := n == 3;": "3:8: not in IEC 61131-3: '=='. Write = instead.",
    "a := b && a;": "3:8: not in IEC 61131-3: '&&'. Write AND instead.",
    "s := 'too long';": "3:6: a text of 8 letters does not fit a STRING[5]. Cutting it off would hide it. "
    "Declare a longer one, or cut with LEFT.",
    "n := ADR(n);": "3:6: not in IEC 61131-3: the function ADR. Write REF(x), or pass the variable by VAR_IN_OUT.",
    "GOTO x;": "3:1: not in IEC 61131-3: 'GOTO'. Write IF and loops instead.",
    "FOR n := 1 TO 5 BY 0 DO ; END_FOR;": "3:20: the step is 0. The loop would never end.",
    "n := TON(a, T#1s);": "3:6: TON is a function block, not a function. "
    "Declare an instance, call it, then read its outputs: x : TON;.",
    "IF a THEN n := 1;": "4:1: 'END_PROGRAM' stands where 'END_IF' (of the IF of line 3) is wanted.",
}


def errors(text, **options):
    found = Project(text, "t.st", **options).report
    return [str(m.text("")).removeprefix("t.st:") for m in found.errors]


@pytest.mark.parametrize("statement", MESSAGES)
def test_one_mistake(statement):
    """Place, what, why and mend, exactly; and nothing else is said."""
    assert errors(f"{HEAD}{statement}\nEND_PROGRAM\n") == [MESSAGES[statement]]


def test_the_line_is_shown_with_a_caret():
    """The source line stands below, the caret under what is meant, as long as it is."""
    report = Project(f"{HEAD}IF  spee > 3 THEN n := 1; END_IF;\nEND_PROGRAM", "t.st").report
    assert report.told(report.errors[0]) == (
        "t.st:3:5: 'spee' is not declared. Declared and close in spelling: speed.\n"
        "    3 | IF  spee > 3 THEN n := 1; END_IF;\n"
        "      |     ^^^^"
    )


def test_several_mistakes_in_one_pass():
    """A mistake costs one statement: all the others are read and checked."""
    text = HEAD + "n := ;\nx1 := 1;\nIF a THEN\n  n := 'x';\nELSE\n  y1 := 2;\nEND_IF;\nn := 1\na := n;\nEND_PROGRAM\n"
    assert [e.split(":")[0] for e in errors(text)] == ["3", "10", "4", "6", "8", "11"]


DECLARED = {
    "VAR a : INT; A : BOOL; END_VAR": "1:24: A is declared twice. First at line 1.",
    "VAR a : IN; END_VAR": "1:19: there is no type 'IN'. Close in spelling: INT, UINT, SINT.",
    "VAR a : ARRAY[3..1] OF INT; END_VAR": "1:25: the range 3..1 is empty. Write the smaller bound first.",
    "VAR a : SINT := 300; END_VAR": "1:27: 300 does not fit a. SINT goes from -128 to 127. "
    "Use INT or a value in range.",
    "VAR a : POINTER TO INT; END_VAR": "1:19: not in IEC 61131-3: POINTER. "
    "Write REF_TO, or pass the variable by VAR_IN_OUT.",
    "VAR a : INT": "1:11: VAR is not closed. End it with END_VAR.",
}


@pytest.mark.parametrize("declaration", DECLARED)
def test_declarations(declaration):
    """Mistakes in declarations are told in the same way."""
    assert DECLARED[declaration] in errors(f"PROGRAM p {declaration}\nEND_PROGRAM\n")


LOOSE = {
    "PROGRAM p VAR b : BOOL := 0; END_VAR END_PROGRAM": "1:27: b is BOOL, 0 is a number. "
    "Not in IEC 61131-3. Write FALSE.",
    "PROGRAM p VAR b : BOOL; END_VAR IF b THEN ; END_IF END_PROGRAM": "1:51: no ';' stands after END_IF. Not in "
    "IEC 61131-3. Write ';'.",
    "PROGRAM p VAR b : BOOL; END_VAR b := TRUE;": "1:43: the PROGRAM p is not closed. "
    "Not in IEC 61131-3. Write END_PROGRAM.",
    "VAR b : BOOL; END_VAR b := TRUE;": "1:1: no PROGRAM, FUNCTION_BLOCK or FUNCTION begins here. Not in IEC 61131-3. "
    "Write PROGRAM main first.",
    "PROGRAM p VAR s : STRING(20); END_VAR END_PROGRAM": "1:25: the length of a text stands in parentheses. Not in "
    "IEC 61131-3. Write STRING[20].",
}


@pytest.mark.parametrize("text", LOOSE)
def test_loose_files_are_read_with_a_warning(text):
    """What the standard disallows but people write is a warning, and with `strict` the same text as an error."""
    report = Project(text, "t.st").report
    place, _, told = LOOSE[text].partition(" ")
    assert [m.text("") for m in report.mistakes] == [f"t.st:{place} warning: {told}"]
    assert errors(text, strict=True) == [LOOSE[text]]


def test_nobody_recurses():
    """A function that calls itself, a type that holds itself, a block that holds itself: told, and no crash."""
    assert errors("FUNCTION f : INT VAR_INPUT a : INT; END_VAR f := f(a); END_FUNCTION") == [
        "1:50: f calls itself. The standard forbids recursion. Write a loop."
    ]
    assert errors("TYPE a : STRUCT x : a; END_STRUCT; END_TYPE") == [
        "1:6: the type a holds itself. It would never end."
    ]
    assert errors("FUNCTION_BLOCK f VAR x : f; END_VAR END_FUNCTION_BLOCK") == [
        "1:26: f holds an instance of itself. It would never end."
    ]


def test_a_misspelt_name_of_an_enumeration_is_answered_with_the_name():
    """The names of values are as near as those of variables: as a value, and before a colon in a CASE."""
    text = """TYPE Steps : (ready, dip, fan); END_TYPE
PROGRAM p
VAR cycle : Steps; END_VAR
VAR_OUTPUT Dip_cmd : BOOL; END_VAR
Dip_cmd := cycle = dipp;
CASE cycle OF
  raedy: cycle := dip;
END_CASE;
END_PROGRAM
"""
    assert errors(text) == [
        "5:20: 'dipp' is not declared. Declared and close in spelling: dip.",
        "7:3: 'raedy' is not declared. Declared and close in spelling: ready.",
    ]
