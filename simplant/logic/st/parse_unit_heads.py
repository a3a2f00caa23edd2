"""Heads of program units, the standard's and those of other languages, and what stands outside all units elsewhere.

Bodies are parse_statements.py. Rule: a habit costs one message; the unit is read all the same.
"""

from difflib import get_close_matches
from typing import Final

from simplant.logic.st.cursor import KEYWORDS
from simplant.logic.st.declared import Configuration, TypeSpec
from simplant.logic.st.foreign import UNITS, foreign
from simplant.logic.st.parse_configurations import Configurations
from simplant.logic.st.parse_declarations import SECTIONS

_KINDS: Final = ("PROGRAM", "FUNCTION_BLOCK", "FUNCTION")
_TITLES: Final = ("TITLE", "VERSION", "AUTHOR", "FAMILY", "NAME", "KNOW_HOW_PROTECT", "NETWORK")


class UnitHeads(Configurations):
    """Recursive descent over heads of units."""

    def unit_begins(self) -> bool:
        """Say whether a unit begins here, also by a word of elsewhere."""
        elsewhere = self.at(*UNITS) and self.ahead().kind == "name"
        return self.at(*_KINDS) or elsewhere or bool(self._misspelt_kind() or self._missing_kind())

    def _missing_kind(self) -> str:
        """Give the word of a unit that is missing before a name: by what it ends with."""
        typed = self.ahead().text == ":" and self.ahead(2).kind == "name" and self.ahead(3).word in SECTIONS
        if self.token.kind != "name" or self.depth or not (typed or self.ahead().word in SECTIONS):
            return ""
        ends = (t.word[4:] for t in self.onward() if t.kind == "name" and t.word[:4] == "END_")
        kind = next((word for word in ends if word in _KINDS), "")
        return kind if self.token.word not in (*SECTIONS, "END_VAR") and not self.token.word.startswith("VAR") else ""

    def _misspelt_kind(self) -> list[str]:
        """Give the word of a unit that is meant by a misspelt one: a name and a section follow."""
        if self.token.kind != "name" or self.ahead().kind != "name" or self.depth:
            return []
        third = self.ahead(2)
        return get_close_matches(self.token.word, _KINDS, 1, cutoff=0.8) if third.word in (*SECTIONS, ":") else []

    def kind_of_unit(self) -> str:
        """Take the word of a unit."""
        meant, missing = self._misspelt_kind(), self._missing_kind()
        if not meant and missing and not self.at(*_KINDS, *UNITS):
            self.report.error(self.place(), f"{missing} is missing before this", mend=f"write {missing}")
            return missing
        token = self.step()
        if meant and token.word not in _KINDS:
            self.report.error(self.place(token), f"{token.text!r} begins nothing", mend=f"write {meant[0]}")
            return meant[0]
        if token.word in UNITS:
            self.say(repr(token.text), f"write {UNITS[token.word]} instead", token)
            return UNITS[token.word]
        if token.word == "FUNCTION" and self.at("BLOCK") and self.ahead().kind == "name":
            self.step()
            self.say("'FUNCTION BLOCK'", "write FUNCTION_BLOCK instead", token, 14)
            return "FUNCTION_BLOCK"
        return token.word

    def type_missing(self) -> bool:
        """Say whether types begin here, whose word is misspelt (it is taken) or missing."""
        token = self.token
        if token.kind != "name" or self.depth or token.word in KEYWORDS or not self._types_follow():
            return False
        misspelt = self.ahead().kind == "name"
        what = f"{token.text!r} begins nothing" if misspelt else "TYPE is missing before this"
        self.report.error(self.place(), what, mend="write TYPE", length=len(token.text))
        if misspelt:
            self.step()
        return True

    def _types_follow(self) -> bool:
        shift = 1 if self.ahead().kind == "name" and get_close_matches(self.token.word, ["TYPE"], cutoff=0.7) else 0
        if self.ahead(shift + 1).text != ":":
            return False
        ends = (t.word for t in self.onward() if t.kind == "name" and t.word[:4] == "END_")
        return next((word for word in ends if word != "END_STRUCT"), "") == "END_TYPE"

    def parameters_in_parentheses(self) -> None:
        """Pass over what stands in parentheses behind a name."""
        if self.at("("):
            self.say("parentheses behind the name of a unit", "declare between VAR_INPUT and END_VAR")
            self.pass_group("(", ")")

    def result_of(self, kind: str, name: str) -> TypeSpec | None:
        """Read the type of a function."""
        if kind != "FUNCTION":
            if self.at(":") and self.ahead().kind == "name":
                self.say(f"a type behind the name of a {kind}", "leave it out: VAR_OUTPUT gives back")
                self.step()
                self.type_spec()
            return None
        if self.at("RETURNS", "->"):
            self.say(repr(self.token.text), "write : instead")
            self.step()
        elif self.at(*SECTIONS):
            return None
        elif not self.taken(":"):
            self.unexpected(f"':' and the type of {name}")
        if self.at("VOID"):
            self.say("': VOID'", "leave it out: a FUNCTION without a type gives nothing back")
            self.step()
            return None
        return self.type_spec()

    def titles(self) -> None:
        """Pass over lines such as `VERSION : 0.1` between a head and its declarations."""
        while self.at(*_TITLES) and (self.ahead().text in ("=", ":") or self.ahead().at >= self._line_end()):
            end = self._line_end()
            self.say(f"{self.token.text} as a head line", "write a comment instead")
            while self.token.kind != "end" and self.token.at < end:
                self.step()

    def _line_end(self) -> int:
        end = self.report.text.find("\n", self.token.at)
        return len(self.report.text) if end < 0 else end

    def behind_unit(self, name: str) -> None:
        """Pass over the name of a unit behind its end."""
        if self.token.word == name.upper() and self.same_line(self.last, self.token) and self.token.kind == "name":
            mend = f"write {self.last.text} alone"
            self.report.loose(self.place(), "a name stands behind the end of a unit", mend, len(name))
            self.step()

    def passed_outside(self) -> bool:
        """Pass over what stands outside units elsewhere: blocks of data, structures, ends of nothing."""
        token = self.token
        if self.at("DATA_BLOCK"):
            self._pass_to("END_DATA_BLOCK")
            foreign(self.place(token), token.text, "write VAR_GLOBAL ... END_VAR instead", len(token.text))
        if self.at("STRUCT") and self.ahead().kind == "name":
            self._pass_to("END_STRUCT")
            instead = "write TYPE name : STRUCT ... END_STRUCT; END_TYPE"
            foreign(self.place(token), "a STRUCT outside TYPE", instead, len(token.text))
        if self.at("END_PROGRAM", "END_FUNCTION", "END_FUNCTION_BLOCK", "END_VAR", "END_TYPE"):
            self.step()
            if not self.report.errors:
                what = f"{token.text} ends nothing that is open here"
                self.report.error(self.place(token), what, length=len(token.text))
            return True
        return False

    def _pass_to(self, word: str) -> None:
        while self.token.kind != "end" and not self.taken(word):
            self.step()

    def resource_begins(self) -> bool:
        """Say whether a RESOURCE or TASK stands outside a CONFIGURATION."""
        task = self.at("TASK") and self.ahead().kind == "name" and self.ahead(2).text == "("
        return task or (self.at("RESOURCE") and self.ahead(2).word == "ON")

    def bare_configuration(self) -> Configuration:
        """Read a RESOURCE, or a task with its programs, without a CONFIGURATION around it."""
        token = self.token
        self.report.loose(
            self.place(),
            f"{token.text} stands outside a CONFIGURATION",
            "write CONFIGURATION name first",
            len(token.text),
        )
        return self.rows_of_configuration("main", token, bare=True)


__all__ = ["UnitHeads"]
