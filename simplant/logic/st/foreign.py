"""What other languages and dialects have and the standard has not: recognised, named, and what to write instead.

Rule: one form for all of it (`not in IEC 61131-3: X. Write Y instead`), and nothing of it is ever half understood.
"""

from typing import Final, NoReturn

from simplant.errors import Place
from simplant.logic.st.report import Fault, Mistake

MARKS: Final = {
    "==": "=", "!=": "<>", "&&": "AND", "||": "OR", "!": "NOT", "~": "NOT", "|": "OR", "%": "MOD",
}  # fmt: skip
"""Operators of other languages, and the standard's."""

STATEMENTS: Final = {
    "GOTO": "write IF and loops instead", "JMP": "write IF and loops instead", "BREAK": "write EXIT instead",
    "SWITCH": "write CASE instead", "ELSEIF": "write ELSIF instead", "ENDIF": "write END_IF instead",
    "ELIF": "write ELSIF instead", "ENDCASE": "write END_CASE instead", "ENDFOR": "write END_FOR instead",
    "ENDWHILE": "write END_WHILE instead", "END": "write END_IF, END_FOR ... instead", "BEGIN": "leave it out",
    "REGION": "write a comment instead", "END_REGION": "write a comment instead", "UNTILL": "write UNTIL instead",
    "RET": "write RETURN instead",
    "LOOP": "write WHILE TRUE DO instead", "DIM": "declare in a VAR section", "PRINT": "write to an output instead",
}  # fmt: skip
"""Words that begin statements elsewhere."""

TYPES: Final = {
    "POINTER": "pass the variable by VAR_IN_OUT", "REFERENCE": "pass the variable by VAR_IN_OUT",
    "UNION": "write a STRUCT and the bit access x.%X0 instead", "BIT": "write BOOL instead",
    "VAR_STAT": "write VAR instead", "VAR_INST": "write VAR instead", "VAR_GENERIC": "write VAR CONSTANT instead",
}  # fmt: skip
"""Words that begin types or sections elsewhere."""

OPERATORS: Final = {
    "AND_THEN": "write AND, or one IF in another", "OR_ELSE": "write OR, or ELSIF", "ANDIF": "write AND instead",
    "DIV": "write / instead", "NAND": "write NOT (a AND b) instead", "NOR": "write NOT (a OR b) instead",
    "IS": "write = instead", "EQV": "write = instead",
}  # fmt: skip
"""Words that join values elsewhere."""

FUNCTIONS: Final = {
    "ADR": "pass the variable by VAR_IN_OUT", "SIZEOF": "write the number instead",
    "BITADR": "write the bit access x.%X0 instead", "INDEXOF": "write a number instead",
    "ROUND": "write REAL_TO_DINT(x) instead, which rounds", "CEIL": "write -TRUNC(-x), or TRUNC(x) + 1",
    "FLOOR": "write TRUNC(x), less 1 below 0", "POW": "write x ** y instead", "SQR": "write x * x instead",
    "IIF": "write SEL(condition, ifFalse, ifTrue) instead", "PRINTF": "write to an output instead",
    **{word: text for word, text in STATEMENTS.items() if word in ("SWITCH", "PRINT")},
}  # fmt: skip
"""Functions that people expect."""

VARIABLES: Final = {
    "THIS": "write the name alone", "SUPER": "write the name alone", "SELF": "write the name alone",
}  # fmt: skip
"""Names that mean something elsewhere."""

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


__all__ = ["FUNCTIONS", "MARKS", "OBJECTS", "OPERATORS", "STATEMENTS", "TYPES", "VARIABLES", "foreign", "habit"]
