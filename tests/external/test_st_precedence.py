"""The order of operators in Structured Text, held against the standard's table.

Source: IEC 61131-3:2003 Table 55 and the grammar of B.3.1 (page-by-page web reprint); the numbers of a row are worked
out from it. From memory: IEC 61131-3:2003 3.3.1 (the example A+B-C*ABS(D); left to right at equal strength).
"""

import pytest

from tests.st.running import value

DECLARED = "A : INT := 1; B : INT := 2; C : INT := 3; D : INT := 4; P : BOOL := TRUE; Q, R : BOOL; S : BOOL := TRUE;"


@pytest.mark.parametrize(
    ("expression", "type_", "worth"),
    [
        ("-2 ** 2", "INT", 4),
        ("2 ** 3 ** 2", "INT", 64),
        ("A + B - C * ABS(D)", "INT", -9),
        ("(A + B - C) * ABS(D)", "INT", 0),
        ("NOT Q AND Q", "BOOL", False),
        ("NOT (Q AND Q)", "BOOL", True),
        ("P OR Q AND R XOR S", "BOOL", True),
        ("1 < 2 = TRUE", "BOOL", True),
        ("A + B * C", "INT", 7),
        ("D - B - A", "INT", 1),
        ("8 / 4 / 2", "INT", 1),
        ("7 MOD 4 * 2", "INT", 6),
        ("2 * 3 ** 2", "INT", 18),
        ("A < B AND C < D", "BOOL", True),
        ("A = B OR C <> D", "BOOL", True),
        ("Q XOR P OR Q & Q", "BOOL", True),
        ("A = 1 & B = 2", "BOOL", True),
        ("-A + B", "INT", 1),
        ("B - -A", "INT", 3),
    ],
)
def test_operators_bind_as_the_table_says(expression, type_, worth):
    """Parentheses, calls, signs and NOT, `**`, `* / MOD`, `+ -`, comparisons, equality, AND, XOR, OR; from the left."""
    assert value(expression, type_, DECLARED) == worth


@pytest.mark.parametrize(("base", "exponent"), [(2.0, 3), (9.0, 0.5), (2.0, -1)])
def test_the_power_operator_is_expt(base, exponent):
    """`A ** B` is EXPT(A, B) (Table 55, note b)."""
    assert value(f"{base} ** {exponent}", "REAL") == value(f"EXPT({base}, {exponent})", "REAL")
