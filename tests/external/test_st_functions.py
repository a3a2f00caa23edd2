"""Standard functions of Structured Text, held against the standard's tables.

Sources: IEC 61131-3:2003 Table 22 with notes b, c, d (conversion, TRUNC, BCD) and Table 25 (shifts), page-by-page web
reprint; Tables 24 and 29 note d of the third edition (division). From memory: IEC 61131-3:2003 Tables 24 (MOD), 27
(selection), 29 (strings), 30 (time); the numbers of a row are worked out from its formula.
"""

import pytest

from simplant.errors import SimplantError
from simplant.timebase import ms
from tests.st.running import once, project, value

SELECTION = [
    ("SEL(FALSE, 3, 4)", "INT", 3),
    ("SEL(TRUE, 3, 4)", "INT", 4),
    ("SEL(G := 1 = 1, IN0 := 3, IN1 := 4)", "INT", 4),
    ("MAX(1, 5, 3)", "INT", 5),
    ("MIN(4, 2, 3)", "INT", 2),
    ("LIMIT(0, 7, 5)", "INT", 5),
    ("LIMIT(0, -7, 5)", "INT", 0),
    ("LIMIT(5, 3, 1)", "INT", 1),
    ("MUX(0, 7, 8, 9)", "INT", 7),
    ("MUX(2, 7, 8, 9)", "INT", 9),
]
STRINGS = [
    ("LEN('ASTRING')", "INT", 7),
    ("LEFT('ASTR', 3)", "STRING", "AST"),
    ("RIGHT('ASTR', 3)", "STRING", "STR"),
    ("MID(IN := 'ASTR', L := 2, P := 2)", "STRING", "ST"),
    ("CONCAT('AB', 'CD', 'E')", "STRING", "ABCDE"),
    ("INSERT(IN1 := 'ABC', IN2 := 'XY', P := 2)", "STRING", "ABXYC"),
    ("DELETE('ABXYC', 2, 3)", "STRING", "ABC"),
    ("REPLACE('ABCDE', 'X', 2, 3)", "STRING", "ABXE"),
    ("FIND('ABCBC', 'BC')", "INT", 2),
    ("FIND('ABC', 'X')", "INT", 0),
]
NUMBERS = [
    ("7 / 3", "INT", 2),
    ("-7 / 3", "INT", -2),
    ("-7 MOD 3", "INT", -1),
    ("7 MOD -3", "INT", 1),
    ("7 MOD 3", "INT", 1),
    ("SQRT(16.0)", "REAL", 4.0),
    ("LN(1.0)", "REAL", 0.0),
    ("LOG(100.0)", "REAL", 2.0),
    ("EXP(0.0)", "REAL", 1.0),
    ("SIN(0.0)", "REAL", 0.0),
    ("COS(0.0)", "REAL", 1.0),
    ("ATAN(0.0)", "REAL", 0.0),
    ("EXPT(2.0, 10)", "REAL", 1024.0),
    ("ABS(-5)", "INT", 5),
    ("TRUNC(1.6)", "INT", 1),
    ("TRUNC(-1.6)", "INT", -1),
    ("TRUNC(-1.4)", "INT", -1),
    ("REAL_TO_INT(1.5)", "INT", 2),
    ("REAL_TO_INT(2.5)", "INT", 2),
    ("REAL_TO_INT(-2.5)", "INT", -2),
    ("REAL_TO_INT(-1.6)", "INT", -2),
    ("REAL_TO_INT(1.4)", "INT", 1),
]
BITS = [
    ("SHL(BYTE#16#81, 1)", "BYTE", 0x02),
    ("SHR(BYTE#16#81, 1)", "BYTE", 0x40),
    ("ROL(BYTE#16#81, 1)", "BYTE", 0x03),
    ("ROR(BYTE#16#81, 1)", "BYTE", 0xC0),
    ("ROL(BYTE#16#81, 9)", "BYTE", 0x03),
    ("SHL(WORD#1, 20)", "WORD", 0),
    ("USINT_TO_BCD_BYTE(25)", "BYTE", 0b0010_0101),
    ("WORD_BCD_TO_UINT(2#0011_0110_1001)", "UINT", 369),
    ("NOT WORD#16#00FF", "WORD", 0xFF00),
    ("XOR(BYTE#16#F0, BYTE#16#FF)", "BYTE", 0x0F),
]
TIMES = [
    ("T#2s + T#500ms", "TIME", ms(2500)),
    ("T#2s * 3", "TIME", ms(6000)),
    ("T#3s / 2", "TIME", ms(1500)),
    ("T#1s * 2.5", "TIME", ms(2500)),
    ("TOD#12:00:00 - TOD#11:59:59", "TIME", ms(1000)),
    ("DT#2026-01-02-00:00:00 - DT#2026-01-01-00:00:00", "TIME", ms(86_400_000)),
    ("MULTIME(T#2s, 2)", "TIME", ms(4000)),
    ("TIME_TO_DINT(T#1s500ms)", "DINT", 1500),
    ("DINT_TO_TIME(250)", "TIME", ms(250)),
]
COMPARED = [
    ("GT(3, 2, 1)", "BOOL", True),
    ("GT(3, 2, 2)", "BOOL", False),
    ("GE(3, 2, 2)", "BOOL", True),
    ("EQ(2, 2, 2)", "BOOL", True),
    ("LE(1, 1, 2)", "BOOL", True),
    ("LT(1, 2, 2)", "BOOL", False),
    ("NE(1, 2)", "BOOL", True),
    ("'AB' < 'AC'", "BOOL", True),
]


@pytest.mark.parametrize(("call", "type_", "worth"), SELECTION + STRINGS + NUMBERS + BITS + TIMES + COMPARED)
def test_functions(call, type_, worth):
    """Each function gives what its row of the table says, and in its type."""
    found = value(call, type_)
    assert (found, type(found)) == (worth, type(worth))


def test_typed_functions_are_the_overloaded_ones():
    """`ADD_INT(a, b)` is ADD with inputs of type INT (Table 21)."""
    calls = "a := SHL_DWORD(16#1, 4); b := LIMIT_INT(1, 7, 5); c := SEL_TIME(TRUE, T#1s, T#2s);"
    text = f"VAR a : DWORD; b : INT; c : TIME; END_VAR {calls}"
    assert once(text, "a", "b", "c") == (16, 5, ms(2000))


@pytest.mark.parametrize(
    ("call", "what"),
    [
        ("MUX(n, 7, 8)", "MUX chooses input 5 of 2"),
        ("SHL(w, -n)", "a shift by -5"),
        ("n / (n - 5)", "5 is divided by 0"),
        ("SQRT(r)", "SQRT of -1.0 does not exist"),
        ("REAL_TO_INT(r * 1.0E6)", "-1000000.0 does not fit INT"),
        ("MID(s, 1, n - 5)", "a position in a text is 0"),
    ],
)
def test_what_the_standard_calls_an_error(call, what):
    """A wrong value stops the scan at its line, with the reason."""
    types = {"MUX": "INT", "SHL": "WORD", "SQRT": "REAL", "MID": "STRING"}
    type_ = types.get(call.partition("(")[0], "INT")
    declared = f"VAR n : INT := 5; w : WORD := 1; r : REAL := -1.0; s : STRING; x : {type_}; END_VAR"
    text = f"PROGRAM p\n{declared}\nx := {call};\nEND_PROGRAM"
    project(text)
    with pytest.raises(SimplantError) as caught:
        once(text)
    assert (caught.value.what, caught.value.place.line) == (what, 3)
