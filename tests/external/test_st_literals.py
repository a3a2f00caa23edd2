"""Literals of Structured Text, held against the standard's examples.

Sources: IEC 61131-3:2003 Tables 4, 5, 6, 7 and the grammar of B.1.2.3.1 (page-by-page web reprint). From memory:
IEC 61131-3:2003 2.2.3.1 (overflow only of the most significant unit), 2.2.2 ($ escapes), 2.2.3.2 (dates);
IEC 61131-3:2013 Table 8 (units us and ns, units left out between).
"""

import pytest

from simplant.errors import SimplantError
from simplant.logic.st.literals import read_literal
from simplant.timebase import ms
from simplant.values import DATE, DT, INT, LTIME, STRING, TIME, TOD, UINT
from simplant.values.written import read_duration, read_number
from tests.st.running import project, value


@pytest.mark.parametrize(
    ("text", "worth"),
    [
        ("-12", -12),
        ("0", 0),
        ("123_456", 123456),
        ("+986", 986),
        ("2#1111_1111", 255),
        ("8#377", 255),
        ("16#FF", 255),
        ("16#ff", 255),
        ("2#1110_0000", 224),
        ("-12.0", -12.0),
        ("0.0", 0.0),
        ("0.4560", 0.456),
        ("3.14159_26", 3.1415926),
        ("-1.34E-12", -1.34e-12),
        ("1.0e+6", 1e6),
        ("1.234E6", 1.234e6),
    ],
)
def test_numbers(text, worth):
    """Examples of Table 4."""
    found = read_number(text)
    assert (found, type(found)) == (worth, type(worth))


def test_typed_literals():
    """`UINT#16#9AF` of Table 4; a typed literal has its type."""
    assert read_literal("UINT#16#9AF") == (0x9AF, UINT)
    assert read_literal("INT#-1") == (-1, INT)


@pytest.mark.parametrize(
    ("text", "milliseconds"),
    [
        ("T#14ms", "14"),
        ("T#-14ms", "-14"),
        ("T#14.7s", "14700"),
        ("T#14.7m", "882000"),
        ("T#14.7h", "52920000"),
        ("t#14.7d", "1270080000"),
        ("t#25h15m", "90900000"),
        ("t#5d14h12m18s3.5ms", "483138003.5"),
        ("t#25h_15m", "90900000"),
        ("t#5d_14h_12m_18s_3.5ms", "483138003.5"),
        ("TIME#14ms", "14"),
        ("time#14.7s", "14700"),
        ("T#1d2h3m4s5.6ms", "93784005.6"),
        ("T#1h5s", "3605000"),
    ],
)
def test_durations(text, milliseconds):
    """Examples of Table 7, worked out; `T#1h5s` is an addition of edition 3."""
    assert read_literal(text) == (ms(milliseconds), TIME)


def test_fine_durations():
    """Units of edition 3."""
    assert read_literal("LTIME#1us500ns") == (1500, LTIME)


@pytest.mark.parametrize("text", ["5m68s", "14s1m", "1.5h3m", "3", "ms", "1h25h"])
def test_what_is_no_duration(text):
    """Only the first unit may exceed its range, only the last may have a fraction; largest first."""
    with pytest.raises(SimplantError):
        read_duration(text)


def test_dates():
    """Dates count from 1970; the leap day of 2024 is day 19,782."""
    day = 86_400_000 * ms(1)
    assert read_literal("D#2024-02-29") == (19_782 * day, DATE)
    assert read_literal("TOD#15:36:55.36") == (ms("56215360"), TOD)
    assert read_literal("DT#1970-01-02-00:00:01") == (day + ms(1000), DT)


@pytest.mark.parametrize(
    ("text", "worth"),
    [
        ("''", ""),
        ("'A'", "A"),
        ("' '", " "),
        ("'$''", "'"),
        ("'$R$L'", "\r\n"),
        ("'$0D$0A'", "\r\n"),
        ("'$$1.00'", "$1.00"),
        ("'$n$p$t'", "\n\f\t"),
        ("'\"'", '"'),
    ],
)
def test_texts(text, worth):
    """Examples of Tables 5 and 6."""
    assert read_literal(text) == (worth, STRING)


def test_names_and_words_in_any_case():
    """Letter case does not count in names and words (2.1.1), but does in texts."""
    text = "program p var Speed : int := INT#16#0a; t : STRING := 'aB'; end_var SPEED := speed + 1; end_program"
    assert project(text).report.mistakes == []


def test_bits_by_number():
    """`16#FF` in a BYTE; TRUE and FALSE are BOOL#1 and BOOL#0 (Table 4)."""
    assert (value("16#FF", "BYTE"), value("BOOL#1", "BOOL"), value("BOOL#FALSE", "BOOL")) == (255, True, False)
