"""What other languages and dialects have and the standard has not: recognised, named, and what to write instead.

Rule: one form for all of it (`not in IEC 61131-3: X. Write Y instead`), and nothing of it is ever half understood.
"""

import re
from typing import Final, NoReturn

from simplant.errors import Place
from simplant.logic.st.report import Fault, Mistake

MARKS: Final = {
    "==": "=", "!=": "<>", "&&": "AND", "||": "OR", "!": "NOT", "~": "NOT", "|": "OR", "%": "MOD", "=<": "<=",
    "><": "<>", "≠": "<>", "≤": "<=", "≥": ">=", "←": ":=", "→": "=>", "×": "*", "÷": "/", "–": "-", "—": "-",
    "−": "-", "；": ";", "：": ":", "（": "(", "）": ")", "，": ",", "＝": "=", "＜": "<", "＞": ">",
}  # fmt: skip
"""Operators and letters of other languages, and the standard's."""

PREFIXES: Final = {
    "B": "BYTE", "W": "WORD", "DW": "DWORD", "LW": "LWORD", "L": "DINT", "S5T": "T", "S5TIME": "T", "C": "INT",
}  # fmt: skip
"""Prefixes of literals elsewhere, and the standard's."""

STATEMENTS: Final = {
    "GOTO": "write IF and loops instead", "JMP": "write IF and loops instead", "BREAK": "write EXIT instead",
    "SWITCH": "write CASE instead", "ELSEIF": "write ELSIF instead", "ENDIF": "write END_IF instead",
    "ELIF": "write ELSIF instead", "ENDCASE": "write END_CASE instead", "ENDFOR": "write END_FOR instead",
    "ENDWHILE": "write END_WHILE instead", "END": "write END_IF, END_FOR ... instead", "BEGIN": "leave it out",
    "REGION": "write a comment instead", "END_REGION": "write a comment instead", "UNTILL": "write UNTIL instead",
    "RET": "write RETURN instead",
    "LOOP": "write WHILE TRUE DO instead", "DIM": "declare in a VAR section", "PRINT": "write to an output instead",
    "DO": "write WHILE ... DO, or REPEAT ... UNTIL", "CALL": "leave it out", "LET": "leave it out",
    "SET": "write x := TRUE instead", "RESET": "write x := FALSE instead", "RST": "write x := FALSE instead",
    "OUT": "write x := ... instead",
    "WHEN": "write IF, or the labels of a CASE alone", "OTHERWISE": "write ELSE instead",
    "TRY": "leave it out", "CATCH": "leave it out", "THROW": "leave it out", "SLEEP": "wait with a TON instead",
    "CONST": "declare in VAR CONSTANT ... END_VAR", "NETWORK": "leave it out", "NOP": "leave it out",
}  # fmt: skip
"""Words that begin statements elsewhere."""

CLOSINGS: Final = ("NEXT", "WEND", "FI", "OD", "ESAC")
"""Words that end statements elsewhere, besides those that begin with END."""

BEHIND: Final = {
    "=>": ("'=>' in an expression", "write >= to compare"), ",": ("',' between statements", "write ';' instead"),
    "?": ("'?' and ':'", "write SEL(condition, ifFalse, ifTrue) instead"),
    ".": ("'.' behind a call", "call it first, then read its output: inst(...); x := inst.Q;"),
    "<<": ("'<<'", "write SHL(x, n) instead"), ">>": ("'>>'", "write SHR(x, n) instead"),
    "->": ("'->'", "write . before the name of a field"), "@": ("'@'", "leave it out"),
}  # fmt: skip
"""Marks that stand elsewhere behind a value."""

MEANT: Final = {"AND_THEN": "AND", "OR_ELSE": "OR", "ANDIF": "AND", "DIV": "/", "IS": "=", "EQV": "="}
"""Words that join values elsewhere, and the standard's operator of the same meaning."""

TYPES: Final = {
    "POINTER": "write REF_TO, or pass the variable by VAR_IN_OUT",
    "REFERENCE": "write REF_TO, or pass the variable by VAR_IN_OUT",
    "ENUM": "write (red, green) instead",
    "UNION": "write a STRUCT and the bit access x.%X0 instead", "BIT": "write BOOL instead",
}  # fmt: skip
"""Words that begin types elsewhere."""

NAMED_TYPES: Final = {
    "BOOLEAN": "write BOOL instead", "INTEGER": "write INT instead", "FLOAT": "write REAL instead",
    "DOUBLE": "write LREAL instead", "LONG": "write DINT instead", "SHORT": "write INT instead",
    "S5TIME": "write TIME instead", "TIMER": "write TON instead", "COUNTER": "write CTU instead",
    "INT8": "write SINT instead", "INT16": "write INT instead", "INT32": "write DINT instead",
    "INT64": "write LINT instead", "UINT8": "write USINT instead", "UINT16": "write UINT instead",
    "UINT32": "write UDINT instead", "UINT64": "write ULINT instead", "FLOAT32": "write REAL instead",
    "FLOAT64": "write LREAL instead", "VOID": "leave it out: VAR_OUTPUT gives back", "CONSTANT": "write VAR CONSTANT",
    "ANY": "write one function for each type", "ANY_NUM": "write one function for each type",
    "ANY_INT": "write one function for each type", "ANY_REAL": "write one function for each type",
    "ANY_BIT": "write one function for each type", "VARIANT": "write one function for each type",
    "UNSIGNED": "write UINT instead", "STR": "write STRING instead", "TEXT": "write STRING instead",
    "XINT": "write LINT instead", "UXINT": "write ULINT instead", "DATETIME": "write DT instead",
    "TIME_T": "write TIME instead",
}  # fmt: skip
"""Types that people expect; a file may declare one of that name."""

SECTIONS: Final = {
    "VAR_STAT": "VAR", "VAR_INST": "VAR", "VAR_STATIC": "VAR", "VAR_LOCAL": "VAR", "VAR_GENERIC": "VAR CONSTANT",
    "VAR_CONSTANT": "VAR CONSTANT", "VAR_CONST": "VAR CONSTANT", "VAR_RETAIN": "VAR RETAIN", "VAR_IN": "VAR_INPUT",
    "VAR_PERSISTENT": "VAR RETAIN", "VAR_OUT": "VAR_OUTPUT", "VAR_INOUT": "VAR_IN_OUT", "VAR_INPUTS": "VAR_INPUT",
    "VAR_OUTPUTS": "VAR_OUTPUT", "VAR_EXT": "VAR_EXTERNAL", "CONST": "VAR CONSTANT",
}  # fmt: skip
"""Words that open a section of declarations elsewhere, and the standard's."""

UNITS: Final = {"ORGANIZATION_BLOCK": "PROGRAM", "FUNCTIONBLOCK": "FUNCTION_BLOCK", "SUBROUTINE": "FUNCTION_BLOCK"}
"""Words that open a program unit elsewhere, and the standard's."""

OPERATORS: Final = {
    "AND_THEN": "write AND, or one IF in another", "OR_ELSE": "write OR, or ELSIF", "ANDIF": "write AND instead",
    "DIV": "write / instead", "NAND": "write NOT (a AND b) instead", "NOR": "write NOT (a OR b) instead",
    "IS": "write = instead", "EQV": "write = instead",
    "IN": "write (x = 1) OR (x = 2) instead", "BETWEEN": "write (x >= 1) AND (x <= 5) instead",
    "SHL": "write SHL(x, n) instead", "SHR": "write SHR(x, n) instead", "LIKE": "write = or FIND(x, y) > 0 instead",
}  # fmt: skip
"""Words that join values elsewhere."""

FUNCTIONS: Final = {
    "ADR": "write REF(x), or pass the variable by VAR_IN_OUT", "SIZEOF": "write the number instead",
    "BITADR": "write the bit access x.%X0 instead", "INDEXOF": "write a number instead",
    "ROUND": "write REAL_TO_DINT(x) instead, which rounds", "CEIL": "write -TRUNC(-x), or TRUNC(x) + 1",
    "FLOOR": "write TRUNC(x), less 1 below 0", "POW": "write x ** y instead", "SQR": "write x * x instead",
    "SET": "write x := TRUE instead", "RESET": "write x := FALSE instead", "RST": "write x := FALSE instead",
    "OUT": "write x := ... instead", "WAIT": "wait with a TON instead", "DELAY": "wait with a TON instead",
    "SLEEP": "wait with a TON instead", "RISING": "declare an R_TRIG, call it, and read its Q",
    "FALLING": "declare an F_TRIG, call it, and read its Q", "STR": "write TO_STRING(x) instead",
    "VAL": "write TO_INT(x) or TO_REAL(x) instead", "LENGTH": "write LEN(x) instead", "SUBSTR": "write MID(x, n, at)",
    "MEMCPY": "write a := b; whole arrays and structures can be assigned", "MEMSET": "write a FOR over the elements",
    "TYPEOF": "write what is known: types do not change", "FABS": "write ABS(x) instead", "POS": "write FIND(x, y)",
    "PI": "declare it: VAR CONSTANT pi : REAL := 3.14159265; END_VAR", "FRAC": "write x - TRUNC(x) instead",
    "INC": "write x := x + 1 instead", "DEC": "write x := x - 1 instead", "SWAP": "write three assignments instead",
    "MOV": "write b := a instead", "COP": "write b := a instead", "CLR": "write x := 0 instead",
    "OTE": "write x := ... instead", "OTL": "write IF ... THEN x := TRUE; END_IF;", "JSR": "call an instance instead",
    "OTU": "write IF ... THEN x := FALSE; END_IF;", "OSRI": "declare an R_TRIG, call it, and read its Q",
    "TONR": "declare a TON and call it", "TOFR": "declare a TOF and call it", "CTUR": "declare a CTU and call it",
    "GRT": "write a > b instead", "LES": "write a < b instead", "GEQ": "write a >= b instead",
    "LEQ": "write a <= b instead", "NEQ": "write a <> b instead", "EQU": "write a = b instead",
    "DIFU": "declare an R_TRIG, call it, and read its Q", "DIFD": "declare an F_TRIG, call it, and read its Q",
    "RAND": "reckon it: seed := seed * 1664525 + 1013904223 in a UDINT", "NOW": "declare an RTC and read its CDT",
    "STRLEN": "write LEN(x) instead", "STRCAT": "write CONCAT(a, b) instead", "STRCMP": "write a = b instead",
    "ITOA": "write INT_TO_STRING(x) instead", "ATOI": "write STRING_TO_INT(x) instead",
    "ASSERT": "write IF ... THEN instead", "TIME": "call a TON and read its ET",
    "IIF": "write SEL(condition, ifFalse, ifTrue) instead", "PRINTF": "write to an output instead",
    **{word: text for word, text in STATEMENTS.items() if word in ("SWITCH", "PRINT")},
}  # fmt: skip
"""Functions that people expect."""

PARAMETERS: Final = {
    "RESET": ("R", "R1"), "RST": ("R", "R1"), "R": ("R1",), "R1": ("R",), "SET": ("S", "S1"), "S": ("S1",),
    "S1": ("S",), "LOAD": ("LD",), "PRESET": ("PT", "PV"), "TIME": ("PT",), "T": ("PT",), "TV": ("PT",),
    "COUNT": ("CU", "CD"), "ENABLE": ("IN",), "START": ("IN",), "CLOCK": ("CLK",), "SIGNAL": ("CLK",), "TRIG": ("CLK",),
}  # fmt: skip
"""Inputs of the standard's blocks by other names."""

MEMBERS: Final = {
    "DN": ("Q",), "ACC": ("ET", "CV"), "PRE": ("PT", "PV"), "EN": ("IN", "CU", "CD"), "OUT": ("Q", "Q1"),
    "DONE": ("Q",), "ELAPSED": ("ET",), "PRESET": ("PT", "PV"), "COUNT": ("CV",), "VALUE": ("CV", "ET"),
}  # fmt: skip
"""Parts of the standard's blocks by other names."""

VARIABLES: Final = {
    "THIS": "write the name alone", "SUPER": "write the name alone", "SELF": "write the name alone",
    "ON": "write TRUE instead", "OFF": "write FALSE instead", "YES": "write TRUE instead", "NO": "write FALSE instead",
    "NULL": "references are NULL, nothing else", "NIL": "write 0 or an empty text", "DEFAULT": "write ELSE instead",
    "OTHERS": "write ELSE instead",
    "ALWAYS_ON": "write TRUE instead", "ALWAYS_OFF": "write FALSE instead", "ALWAYSTRUE": "write TRUE instead",
    "ALWAYSFALSE": "write FALSE instead", "ALWAYS_TRUE": "write TRUE instead", "ALWAYS_FALSE": "write FALSE instead",
    "FIRST_SCAN": "declare first : BOOL := TRUE; and set it FALSE in the last line",
    "FIRSTSCAN": "declare first : BOOL := TRUE; and set it FALSE in the last line",
    "RESULT": "write the name of the function instead",
    "PI": "declare it: VAR CONSTANT PI : REAL := 3.14159265; END_VAR",
}  # fmt: skip
"""Names that mean something elsewhere."""

ADDRESS: Final = re.compile(r"(?:[IQM][XBWD]?|E[BWD]?|A[BWD]?|DB|[XYD])\d+", re.IGNORECASE)
"""Addresses without their %."""

OBJECTS: Final = {
    "CLASS": "END_CLASS", "INTERFACE": "END_INTERFACE", "METHOD": "END_METHOD", "PROPERTY": "END_PROPERTY",
}  # fmt: skip
"""What begins and ends an object-oriented unit."""


def habit(place: Place, what: str, instead: str, length: int = 1) -> Mistake:
    """Make the mistake of a habit from elsewhere."""
    return Mistake(place, f"not in IEC 61131-3: {what}", "", instead, length)


def foreign(place: Place, what: str, instead: str, length: int = 1) -> NoReturn:
    """Give up what is being read or checked: it is a habit from elsewhere."""
    raise Fault(habit(place, what, instead, length))
