"""Operators: the standard's spelling, and how tightly each binds.

What they make of expressions is build.py, what they compute evaluate.py. Rule: the order of
strengths is the standard's table, and nowhere else.
"""

from enum import Enum
from typing import Final


class Op(Enum):
    """Operators, with the standard's spelling and binding strength (IEC 61131-3:2003, Table 55)."""

    NOT = ("NOT", 8)
    NEG = ("-", 8)
    MUL = ("*", 7)
    DIV = ("/", 7)
    MOD = ("MOD", 7)
    ADD = ("+", 6)
    SUB = ("-", 6)
    LT = ("<", 5)
    GT = (">", 5)
    LE = ("<=", 5)
    GE = (">=", 5)
    EQ = ("=", 4)
    NE = ("<>", 4)
    AND = ("AND", 3)
    XOR = ("XOR", 2)
    OR = ("OR", 1)

    @property
    def spelling(self) -> str:
        """The standard's spelling."""
        return self.value[0]

    @property
    def strength(self) -> int:
        """How tightly it binds; higher is tighter."""
        return self.value[1]


COMPARISONS: Final = frozenset({Op.LT, Op.GT, Op.LE, Op.GE, Op.EQ, Op.NE})
LOGIC: Final = frozenset({Op.AND, Op.OR, Op.XOR})
ARITHMETIC: Final = frozenset({Op.MUL, Op.DIV, Op.MOD, Op.ADD, Op.SUB})
