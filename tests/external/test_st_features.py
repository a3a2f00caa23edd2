"""The tables of features of the textual language, row by row: literals and functions, each with what it is worth.

Declarations, statements and configurations are test_st_feature_programs.py. Source: from memory: IEC 61131-3:2013, its
tables of literals, conversions, functions of numbers, bit strings, selection, strings, dates and times, validity and
order of bytes; the values are worked out. Rule: a row of a table is a line here.
"""

import pytest

from simplant.timebase import ms
from tests.st.running import value

S = ms(1000)
DAY = 86_400 * S
LITERALS = [
    ("INT#-5", "INT", -5),
    ("SINT#-128", "SINT", -128),
    ("8#17", "DINT", 15),
    ("2#1010_1010", "USINT", 170),
    ("ULINT#16#FFFF_FFFF_FFFF_FFFF", "ULINT", 2**64 - 1),
    ("WORD#16#AFF", "WORD", 0xAFF),
    ("BOOL#1", "BOOL", True),
    ("REAL#3", "REAL", 3.0),
    ("LREAL#1.0E-3", "LREAL", 0.001),
    ("'$41$'$$$L$N$P$R$T'", "STRING", "A'$\n\n\f\r\t"),
    ('"$0041$$$""', "WSTRING", 'A$"'),
    ("STRING#'OK'", "STRING", "OK"),
    ('WSTRING#"OK"', "WSTRING", "OK"),
    ("CHAR#'x'", "CHAR", "x"),
    ("CHAR#'$4A'", "CHAR", "J"),
    ('WCHAR#"$00C4"', "WCHAR", "Ä"),
    ("T#1.5d", "TIME", 3 * DAY // 2),
    ("T#12h4m34ms230us400ns", "TIME", 43_440 * S + 34_230_400),
    ("LTIME#1h2m3s4ms5us6ns", "LTIME", 3_723_004_005_006),
    ("LT#14.7s", "LTIME", 14_700_000_000),
    ("D#1984-06-25", "DATE", 5_289 * DAY),
    ("LDATE#2012-02-29", "LDATE", 15_399 * DAY),
    ("LD#1984-06-25", "LDATE", 5_289 * DAY),
    ("TOD#15:36:55.36", "TOD", ms(56_215_360)),
    ("LTOD#15:36:55.360_227_400", "LTOD", 56_215_360_227_400),
    ("LTIME_OF_DAY#15:36:55.36", "LTOD", ms(56_215_360)),
    ("DT#1984-06-25-15:36:55.36", "DT", 5_289 * DAY + ms(56_215_360)),
    ("LDT#1984-06-25-15:36:55.360_227_400", "LDT", 5_289 * DAY + 56_215_360_227_400),
    ("LDATE_AND_TIME#1984-06-25-15:36:55.36", "LDT", 5_289 * DAY + ms(56_215_360)),
]
CONVERSIONS = [
    ("TO_INT(2.5)", "INT", 2),
    ("LREAL_TO_INT(3.5)", "INT", 4),
    ("UINT_TO_SINT(300)", "SINT", 44),
    ("BOOL_TO_INT(TRUE)", "INT", 1),
    ("REAL_TO_DWORD(1.0)", "DWORD", 0x3F80_0000),
    ("TRUNC_INT(REAL#1.9)", "INT", 1),
    ("REAL_TRUNC_DINT(REAL#-1.9)", "DINT", -1),
    ("BCD_TO_UINT(BYTE#16#25)", "UINT", 25),
    ("WORD_BCD_TO_UINT(WORD#16#369)", "UINT", 369),
    ("UINT_TO_BCD_WORD(369)", "WORD", 0x369),
    ("TO_BCD_WORD(UINT#369)", "WORD", 0x369),
    ("TO_STRING(INT#25)", "STRING", "25"),
    ("STRING_TO_INT('-12')", "INT", -12),
    ("STRING_TO_WSTRING('abc')", "WSTRING", "abc"),
    ('WSTRING_TO_STRING("abc")', "STRING", "abc"),
    ("USINT_TO_CHAR(65)", "CHAR", "A"),
    ("CHAR_TO_BYTE(CHAR#'A')", "BYTE", 65),
    ("CHAR_TO_WCHAR(CHAR#'a')", "WCHAR", "a"),
    ("CHAR_TO_STRING(CHAR#'a')", "STRING", "a"),
    ("LTIME_TO_TIME(LT#1s)", "TIME", S),
    ("LDT_TO_DT(LDT#1970-01-01-00:00:01)", "DT", S),
    ("LDT_TO_DATE(LDT#1970-01-02-00:00:01)", "DATE", DAY),
    ("LDT_TO_LTOD(LDT#1970-01-02-00:00:01)", "LTOD", S),
    ("LDT_TO_TOD(LDT#1970-01-02-00:00:01)", "TOD", S),
    ("DT_TO_LDT(DT#1970-01-01-00:00:01)", "LDT", S),
    ("DT_TO_DATE(DT#1970-01-02-00:00:01)", "DATE", DAY),
    ("DT_TO_LTOD(DT#1970-01-01-00:00:01)", "LTOD", S),
    ("TOD_TO_LTOD(TOD#00:00:01)", "LTOD", S),
    ("TO_DATE(DT#1970-01-02-00:00:01)", "DATE", DAY),
    ("TO_TOD(DT#1970-01-02-00:00:01)", "TOD", S),
]
FUNCTIONS = [
    ("ATAN2(Y := 0.0, X := 1.0)", "LREAL", 0.0),
    ("ADD_REAL(1.0, 2.0)", "REAL", 3.0),
    ("EXPT(REAL#2.0, 3)", "REAL", 8.0),
    ("-7 MOD 3", "INT", -1),
    ("MOVE(5)", "INT", 5),
    ("SHL(IN := WORD#1, N := 3)", "WORD", 8),
    ("ROR(BYTE#1, 1)", "BYTE", 128),
    ("SEL(G := FALSE, IN0 := 4, IN1 := 5)", "INT", 4),
    ("SEL(TRUE, 'a', 'b')", "STRING", "b"),
    ("MAX(MIN(1, 2), LIMIT(MN := 0, IN := 5, MX := 3))", "INT", 3),
    ("MAX(D#1970-01-02, D#1970-01-01)", "DATE", DAY),
    ("MUX(K := 1, IN0 := 1, IN1 := 2)", "INT", 2),
    ("GT(IN1 := 3, IN2 := 2)", "BOOL", True),
    ("EQ('a', 'a')", "BOOL", True),
    ("WORD#5 > WORD#3", "BOOL", True),
    ('LEN("abc")', "INT", 3),
    ('LEFT("abc", 2)', "WSTRING", "ab"),
    ('CONCAT("abc", "d")', "WSTRING", "abcd"),
    ('INSERT("abc", "x", 1)', "WSTRING", "axbc"),
    ('FIND("abc", "c")', "INT", 3),
    ("IS_VALID(REAL#1.0)", "BOOL", True),
    ("IS_VALID(EXP(LREAL#1000.0))", "BOOL", False),
    ("IS_VALID_BCD(WORD#16#91)", "BOOL", True),
    ("IS_VALID_BCD(WORD#16#A1)", "BOOL", False),
    ("TO_BIG_ENDIAN(WORD#16#1234)", "WORD", 0x3412),
    ("FROM_BIG_ENDIAN(DINT#-2)", "DINT", 0xFEFF_FFFF - 2**32),
    ("TO_LITTLE_ENDIAN(WORD#16#1234)", "WORD", 0x1234),
    ("FROM_LITTLE_ENDIAN(WORD#16#1234)", "WORD", 0x1234),
]
TIMES = [
    ("ADD(T#1s, T#2s, T#1s)", "TIME", 4 * S),
    ("ADD_TIME(T#1s, T#2s)", "TIME", 3 * S),
    ("ADD_LTIME(LT#1s, LT#2s)", "LTIME", 3 * S),
    ("ADD_TOD_TIME(TOD#00:00:01, T#2s)", "TOD", 3 * S),
    ("ADD_LTOD_LTIME(LTOD#00:00:01, LT#2s)", "LTOD", 3 * S),
    ("ADD_DT_TIME(DT#1970-01-01-00:00:01, T#2s)", "DT", 3 * S),
    ("ADD_LDT_LTIME(LDT#1970-01-01-00:00:01, LT#2s)", "LDT", 3 * S),
    ("SUB_TIME(T#3s, T#2s)", "TIME", S),
    ("SUB_LTIME(LT#3s, LT#2s)", "LTIME", S),
    ("SUB_DATE_DATE(D#1970-01-02, D#1970-01-01)", "TIME", DAY),
    ("SUB_LDATE_LDATE(LD#1970-01-02, LD#1970-01-01)", "LTIME", DAY),
    ("SUB_TOD_TIME(TOD#00:00:03, T#2s)", "TOD", S),
    ("SUB_LTOD_LTIME(LTOD#00:00:03, LT#2s)", "LTOD", S),
    ("SUB_TOD_TOD(TOD#00:00:03, TOD#00:00:02)", "TIME", S),
    ("SUB_LTOD_LTOD(LTOD#00:00:03, LTOD#00:00:02)", "LTIME", S),
    ("SUB_DT_TIME(DT#1970-01-01-00:00:03, T#1s)", "DT", 2 * S),
    ("SUB_LDT_LTIME(LDT#1970-01-01-00:00:03, LT#1s)", "LDT", 2 * S),
    ("SUB_DT_DT(DT#1970-01-01-00:00:03, DT#1970-01-01-00:00:02)", "TIME", S),
    ("SUB_LDT_LDT(LDT#1970-01-01-00:00:03, LDT#1970-01-01-00:00:02)", "LTIME", S),
    ("MUL(T#1s, 3)", "TIME", 3 * S),
    ("MUL_TIME(T#3s, 2)", "TIME", 6 * S),
    ("MUL_LTIME(LT#3s, 2.5)", "LTIME", 15 * S // 2),
    ("DIV_TIME(T#3s, 2)", "TIME", 3 * S // 2),
    ("DIV_LTIME(LT#3s, 2)", "LTIME", 3 * S // 2),
    ("CONCAT_DATE_TOD(D#1970-01-02, TOD#00:00:01)", "DT", DAY + S),
    ("CONCAT_DATE_LTOD(D#1970-01-02, LTOD#00:00:01)", "LDT", DAY + S),
    ("CONCAT_DATE(1970, 1, 2)", "DATE", DAY),
    ("CONCAT_TOD(0, 0, 1, 5)", "TOD", ms(1005)),
    ("CONCAT_LTOD(0, 0, 1, 5)", "LTOD", ms(1005)),
    ("CONCAT_DT(1970, 1, 2, 0, 0, 1, 5)", "DT", DAY + ms(1005)),
    ("CONCAT_LDT(1970, 1, 2, 0, 0, 1, 5)", "LDT", DAY + ms(1005)),
    ("DAY_OF_WEEK(D#1970-01-04)", "INT", 0),
]


@pytest.mark.parametrize(("text", "type_", "worth"), LITERALS + CONVERSIONS + FUNCTIONS + TIMES)
def test_a_row_of_the_tables(text, type_, worth):
    """What stands in the row is read without a word, and is worth what the row says."""
    found = value(text, type_)
    assert (found, type(found)) == (worth, type(worth))
