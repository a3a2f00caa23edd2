"""Sections of declarations as other languages write them: their words, their ends, and where they are missing.

The rows inside are parse_rows.py. Rule: a habit costs one message; what stands in the section is read all the same.
"""

from difflib import get_close_matches
from typing import Final

from simplant.errors import Place
from simplant.logic.st.bases import BASES
from simplant.logic.st.cursor import ENDS, KEYWORDS
from simplant.logic.st.foreign import SECTIONS
from simplant.logic.st.parse_names import DeclaredNames
from simplant.logic.st.tokens import Token

_SECTIONS: Final = (
    "VAR", "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_TEMP", "VAR_EXTERNAL", "VAR_GLOBAL", "VAR_ACCESS",
    "VAR_CONFIG",
)  # fmt: skip
_OF_OBJECTS: Final = ("EXTENDS", "IMPLEMENTS", "ABSTRACT", "FINAL", "PUBLIC", "PRIVATE", "INTERNAL", "PROTECTED")
_STATEMENTS: Final = ("IF", "CASE", "FOR", "WHILE", "REPEAT")
_SPACED: Final = ("INPUT", "OUTPUT", "IN_OUT", "INOUT", "TEMP", "GLOBAL", "EXTERNAL")


class Sections(DeclaredNames):
    """Recursive descent over what opens and closes declarations."""

    in_unit = False
    """Whether what is read stands behind the head of a unit."""

    def foreign_section(self) -> bool:
        """Say whether a section begins here by a word of elsewhere."""
        return self.token.kind == "name" and self.token.word in SECTIONS and self.ahead().text not in (":=", "(", ".")

    def section_missing(self) -> bool:
        """Say whether declarations begin here whose word is misspelt or missing."""
        return self.token.kind == "name" and (bool(self._misspelt_section()) or self._rows_follow())

    def _misspelt_section(self) -> str:
        following = self.ahead()
        marked = following.word in ("CONSTANT", "RETAIN", "NON_RETAIN")
        row = marked or self.ahead(2).text in (":", ",", "AT")
        if following.kind != "name" or not row or self.token.word in KEYWORDS:
            return ""
        near = get_close_matches(self.token.word, _SECTIONS, 1, cutoff=0.6)
        return near[0] if near and self._closed_later() else ""

    def _rows_follow(self) -> bool:
        if self.token.word in KEYWORDS or not (self.in_unit or self.ahead(2).word in (*BASES, "ARRAY", "STRUCT")):
            return False
        shift = 1
        while self.ahead(shift).text == "," and self.ahead(shift + 1).kind == "name":
            shift += 2
        mark, located = self.ahead(shift), self.ahead(shift + 1).kind == "address"
        return (mark.text == ":" or (mark.word == "AT" and located)) and self._closed_later()

    def section_words(self) -> tuple[str, Token]:
        """Take the word of a section, and what stands elsewhere in it; give it and where it stands."""
        if not self.at(*_SECTIONS) and self.token.word not in SECTIONS:
            near, opened = self._misspelt_section(), self.token
            what = f"{opened.text!r} begins nothing" if near else "VAR is missing"
            self.report.error(self.place(), what, mend=f"write {near or 'VAR'}", length=len(opened.text))
            return (near, self.step()) if near else ("VAR", opened)
        opened = self.step()
        word = SECTIONS.get(opened.word, opened.word)
        if opened.word in SECTIONS:
            self.say(repr(opened.text), f"write {word} instead", opened)
        if word == "VAR" and self.at(*_SPACED) and self.ahead().kind == "name":
            second = self.step()
            word = {"INOUT": "VAR_IN_OUT"}.get(second.word, f"VAR_{second.word}")
            self.say(f"{opened.text} {second.text}", f"write {word} instead", opened)
        if self.at(":"):
            self.say("':' behind the word of a section", "leave it out")
            self.step()
        if self.taken(";"):
            self.report.loose(self.place(self.last), f"';' stands behind {word}", "leave it out")
        return word, opened

    def ends_section(self) -> bool:
        """Take END_VAR, or what means it elsewhere."""
        if self.taken("END_VAR"):
            return True
        if not self.at_end_of_section() or self.at(*ENDS):
            return False
        token = self.step()
        text = f"{token.text} {self.step().text}" if token.word == "END" and self.at("VAR") else token.text
        self.say(repr(text), "write END_VAR instead", token, len(text))
        return True

    def at_end_of_section(self) -> bool:
        """Say whether a section ends here."""
        following = self.ahead().text
        if self.token.kind != "name" or following in (":", ",") or self.at("AT"):
            return False
        if self.at("END_VAR", *ENDS):
            return True
        if get_close_matches(self.token.word, ["END_VAR"], cutoff=0.8):
            return True
        return self.token.word.startswith("END") and (self.token.word != "END" or self.ahead().word == "VAR")

    def ends_elsewhere(self, word: str) -> bool:
        """Take what ends a STRUCT or a TYPE elsewhere: END STRUCT, ENDTYPE, a misspelt word."""
        token, following = self.token, self.ahead()
        if token.kind != "name" or following.text in (":", ",", ":=") or self.at("AT", word):
            return False
        spaced = self.at("END") and following.word == word[4:]
        if not spaced and not get_close_matches(token.word, [word], cutoff=0.7):
            return False
        self.step()
        text = f"{token.text} {self.step().text}" if token.word == "END" else token.text
        self.say(repr(text), f"write {word} instead", token, len(text))
        return True

    def closed(self, word: str, opened: str, place: Place) -> None:
        """Take the word that ends a STRUCT or a TYPE; without it what was read is good all the same."""
        if not self.taken(word):
            self.report.error(place, f"{opened} is not closed", mend=f"end it with {word}", length=len(opened))

    def statement_begins(self) -> bool:
        """Say whether statements begin inside a section that nobody closes."""
        following = self.ahead().text
        begins = self.token.kind == "name" and (
            following in (":=", "(", ".", "[") or (self.at(*_STATEMENTS) and following != ":")
        )
        return begins and not self._closed_later()

    def _closed_later(self) -> bool:
        for token in self.onward():
            if token.word in ("END_VAR", "END_CONST") and token.kind == "name":
                return True
            if token.kind == "name" and token.word in ("VAR", "END_PROGRAM", "END_FUNCTION", "END_FUNCTION_BLOCK"):
                return False
        return False

    def object_words(self) -> None:
        """Tell of the words of object orientation and pass them over."""
        while self.at(*_OF_OBJECTS) and self.ahead().kind == "name":
            word = self.step()
            if word.word == "INTERNAL" and self.namespaces:
                continue
            self.say(f"{word.text} (object orientation)", "leave it out", word)
            while word.word in ("EXTENDS", "IMPLEMENTS") and self.token.kind == "name" and not self.at(*_SECTIONS):
                self.step()
                self.taken(",", ".")


__all__ = ["Sections"]
