"""Names in declarations that are words of the language or of the standard.

Letters are cursor.py, what else stands where a name should is parse_rows.py. Rule: a name costs one message, wherever
it stands again.
"""

from dataclasses import replace
from typing import Final

from simplant.blocks import BLOCKS
from simplant.logic.st.cursor import KEYWORDS
from simplant.logic.st.parse_initial import Values
from simplant.logic.st.tokens import Token

_UNIT_ENDS: Final = ("END_PROGRAM", "END_FUNCTION", "END_FUNCTION_BLOCK")
_BEFORE_VALUES: Final = (":=", "(", "[", ",", "+", "-", "*", "/", "=", "<>", "<", ">", "<=", ">=", "=>")
_BEFORE_WORDS: Final = ("AND", "OR", "XOR", "NOT", "IF", "ELSIF", "UNTIL")
_RESERVED: Final = (
    "ACTION", "END_ACTION", "STEP", "INITIAL_STEP", "END_STEP", "TRANSITION", "END_TRANSITION", "FROM", "ON", "WITH",
    "TASK", "CONSTANT", "RETAIN", "NON_RETAIN", "R_EDGE", "F_EDGE", "READ_ONLY", "READ_WRITE",
)  # fmt: skip
"""Words that are told from names by where they stand. Source: IEC 61131-3:2003 Table C.2 (from memory)."""


class DeclaredNames(Values):
    """Recursive descent over names that are declared."""

    def reserved(self, token: Token) -> None:
        """Tell of a name that the standard keeps for itself, but that can be read."""
        if token.word in _RESERVED:
            what = f"{token.text} is a word of the language"
        elif token.word in BLOCKS:
            what = f"{token.text} is the name of a standard block"
        else:
            return
        self.report.loose(self.place(token), what, "choose another name", len(token.text))

    def word_as_name(self) -> None:
        """Tell of a word of the language that a declaration gives to a variable, and read it as a name from here on."""
        token = self.token
        if token.kind != "name" or token.word not in KEYWORDS or self.ahead().text not in (":", ","):
            return
        there = f"{token.text!r} stands where the name of a variable is wanted"
        self.report.error(self.place(), there, "it is a word of the language", "choose another name", len(token.text))
        for n in range(self.position, len(self.tokens)):
            here = self.tokens[n]
            if here.word == token.word and here.kind == "name" and (n == self.position or self._as_value(n)):
                self.tokens[n] = replace(here, word=f"{here.word} ")
            elif here.kind == "name" and here.word in _UNIT_ENDS:
                break
        self.back_to(self.position)

    def _as_value(self, position: int) -> bool:
        """Say whether a word stands where a variable does: before `:=`, or between marks."""
        before, behind = self.tokens[position - 1], self.tokens[min(position + 1, len(self.tokens) - 1)]
        joined = before.text in _BEFORE_VALUES or before.word in _BEFORE_WORDS
        return behind.text in (":=", ".") or (joined and behind.text not in ("(", ":=") and behind.kind == "mark")


__all__ = ["DeclaredNames"]
