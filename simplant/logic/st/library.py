"""Functions and blocks of the standard that are themselves written in Structured Text.

RTC and SEMA are blocks of the standard's first edition (from memory: IEC 61131-3:1993), SPLIT_ of dates are
functions of its third (from memory: IEC 61131-3:2013). Rule: they are units like a user's own; one that the user
declares goes before.
"""

import re
from functools import cache
from typing import Final

from simplant.logic.st.declared import Unit
from simplant.logic.st.parse import parse
from simplant.logic.st.report import Report

_BLOCKS: Final = """
FUNCTION_BLOCK SEMA
VAR_INPUT CLAIM, RELEASE : BOOL; END_VAR
VAR_OUTPUT BUSY : BOOL; END_VAR
VAR X : BOOL; END_VAR
BUSY := X;
IF CLAIM THEN X := TRUE; ELSIF RELEASE THEN BUSY := FALSE; X := FALSE; END_IF;
END_FUNCTION_BLOCK
FUNCTION_BLOCK RTC
VAR_INPUT IN : BOOL; PDT : DT; END_VAR
VAR_OUTPUT Q : BOOL; CDT : DT; END_VAR
VAR set_at : DT; edge : R_TRIG; since : TON; END_VAR
edge(CLK := IN);
IF edge.Q THEN set_at := PDT; END_IF;
since(IN := IN, PT := T#100000d);
Q := IN;
IF IN THEN CDT := set_at + since.ET; END_IF;
END_FUNCTION_BLOCK
"""
_DAYS: Final = """
FUNCTION SPLIT_DATE
VAR_INPUT IN : DATE; END_VAR
VAR_OUTPUT YEAR, MONTH, DAY : INT; END_VAR
VAR z, era, of_era, y, of_year, m : LINT; END_VAR
z := TIME_TO_LINT(IN - D#1970-01-01) / 86400000 + 719468;
era := z / 146097;
of_era := z - era * 146097;
y := (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
of_year := of_era - (365 * y + y / 4 - y / 100);
m := (5 * of_year + 2) / 153;
DAY := LINT_TO_INT(of_year - (153 * m + 2) / 5 + 1);
MONTH := LINT_TO_INT(m + SEL(m < 10, LINT#-9, LINT#3));
YEAR := LINT_TO_INT(y + era * 400 + SEL(m < 10, LINT#1, LINT#0));
END_FUNCTION
FUNCTION SPLIT_TOD
VAR_INPUT IN : TOD; END_VAR
VAR_OUTPUT HOUR, MINUTE, SECOND, MILLISECOND : INT; END_VAR
VAR ms : LINT; END_VAR
ms := TIME_TO_LINT(IN - TOD#00:00:00);
HOUR := LINT_TO_INT(ms / 3600000);
MINUTE := LINT_TO_INT(ms / 60000 MOD 60);
SECOND := LINT_TO_INT(ms / 1000 MOD 60);
MILLISECOND := LINT_TO_INT(ms MOD 1000);
END_FUNCTION
FUNCTION SPLIT_DT
VAR_INPUT IN : DT; END_VAR
VAR_OUTPUT YEAR, MONTH, DAY, HOUR, MINUTE, SECOND, MILLISECOND : INT; END_VAR
SPLIT_DATE(IN := DT_TO_DATE(IN), YEAR => YEAR, MONTH => MONTH, DAY => DAY);
SPLIT_TOD(IN := DT_TO_TOD(IN), HOUR => HOUR, MINUTE => MINUTE, SECOND => SECOND, MILLISECOND => MILLISECOND);
END_FUNCTION
"""
_LONG: Final = re.sub(r"\bSPLIT_(DATE|TOD|DT)\b", r"SPLIT_L\1", _DAYS)
NAME: Final = "IEC 61131-3"
"""What stands as the file of their places."""

_NAMED: Final = re.compile(r"\b(?:RTC|SEMA|SPLIT_L?(?:DATE|TOD|DT))\b", re.IGNORECASE)


def units_named(text: str) -> tuple[Unit, ...]:
    """Give the units of the standard that a source may mean; none if it names none of them."""
    return _units() if _NAMED.search(text) else ()


@cache
def _units() -> tuple[Unit, ...]:
    report = Report(NAME, _BLOCKS + _DAYS + _LONG)
    units = parse(report).units
    assert not report.mistakes, "the standard's own units are right"
    return units
