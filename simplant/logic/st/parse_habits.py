"""Habits of other languages in statements: named, with what to write instead.

The words are foreign.py, heads and ends of statements parse_heads.py. Rule: a habit costs one message, whatever
follows.
"""

from difflib import get_close_matches
from typing import Final, NoReturn

from simplant.errors import Place
from simplant.logic.st.bases import BASES
from simplant.logic.st.cursor import ENDS, KEYWORDS
from simplant.logic.st.foreign import OBJECTS, STATEMENTS, foreign, habit
from simplant.logic.st.parse_heads import COMPOUND, Heads
from simplant.logic.st.printed_expressions import printed_expression
from simplant.logic.st.report import Fault, Mistake, fail
from simplant.logic.st.tokens import Token
from simplant.logic.st.tree import Call

_INSTRUCTIONS: Final = frozenset(
    "LD LDN ST STN S R ANDN ORN XORN ADD SUB MUL DIV GT GE EQ NE LE LT JMPC JMPCN CAL CALC CALCN".split()  # noqa: SIM905
)


_HEADS: Final = {"IF": ("THEN",), "CASE": ("OF",), "FOR": ("TO",), "WHILE": ("DO",)}


class Habits(Heads):
    """What begins, assigns and jumps elsewhere."""

    def compound_word(self) -> str:
        """Take the word that begins a statement with an end, also a misspelt or a missing one; else only look."""
        token = self.token
        if self.at(*COMPOUND):
            self.step()
            return token.word
        head = self._head_word()
        if not head and self.ahead().kind == "name" and get_close_matches(token.word, ["REPEAT"], cutoff=0.8):
            self.report.error(
                self.place(), f"{token.text!r} begins nothing", mend="write REPEAT", length=len(token.text)
            )
            self.step()
            return "REPEAT"
        if not head:
            return token.word
        near = get_close_matches(token.word, [w for w, ends in _HEADS.items() if head in ends], 1, cutoff=0.6)
        if near and self.ahead().text not in (":=", ".", "["):
            self.report.error(self.place(), f"{token.text!r} begins nothing", mend=f"write {near[0]}",
                              length=len(token.text))  # fmt: skip
            self.step()
            return near[0]
        word = next(w for w, ends in _HEADS.items() if head in ends)
        self.report.error(self.place(), f"{word} is missing before this", mend=f"write {word}", length=len(token.text))
        return word

    def _head_word(self) -> str:
        """Give the first word of the heads of statements in this one: THEN, TO, DO or OF, but none that begins it."""
        words = ("THEN", "OF", "TO", "DO", *COMPOUND, *ENDS)
        for token in self.onward():
            if token.text == ";":
                return ""
            if token.kind == "name" and token.word in words:
                return token.word if token.word in words[:4] and token.at > self.token.at else ""
        return ""

    def foreign_statement(self, following: str) -> None:
        """Name what begins a statement elsewhere."""
        token, place = self.token, self.place()
        self._foreign_word(token, place)
        if following == ":" and token.word not in KEYWORDS:
            self._with_colon(place, token)
        if token.word in OBJECTS:
            self.pass_object()
        if token.word == "ACTION" and self.ahead(2).text == ":":
            self.pass_action()
        if following == ";" and token.word not in KEYWORDS:
            fail(
                place, f"{token.text!r} stands alone", "a name alone does nothing", f"write {token.text}(); to call it"
            )
        self._two_words(place, token, self.ahead())

    def _foreign_word(self, token: Token, place: Place) -> None:
        """Name a word that begins a statement elsewhere."""
        length = len(token.text)
        if token.word == "INITIAL_STEP":
            what = "INITIAL_STEP stands among statements"
            fail(place, what, mend="a body is a chart or statements, not both", length=length)
        if token.word in STATEMENTS:
            if self.ahead().text == "(" or token.word == "SWITCH":
                self._pass_switch()
            foreign(place, repr(token.text), STATEMENTS[token.word], length)
        if token.text.startswith("__") or (token.word.startswith("END_") and token.word not in KEYWORDS):
            foreign(place, repr(token.text), "leave it out", length)

    def switch_begins(self) -> bool:
        """Say whether `switch (...) {` begins here."""
        if not self.at("SWITCH"):
            return False
        depth = 0
        for token in self.onward(1):
            depth += {"(": 1, ")": -1}.get(token.text, 0)
            if depth == 0 and token.text != ")":
                return token.text == "{"
        return False

    def _pass_switch(self) -> None:
        """Pass over `switch (...) {...}`."""
        self.step()
        if self.at("("):
            self.pass_group("(", ")")
        if self.at("{"):
            self.pass_group("{", "}")

    def _with_colon(self, place: Place, token: Token) -> None:
        """Name a label, a declaration among statements, and `a : = b`."""
        second, third = self.ahead(2), self.ahead(3)
        self.step()
        self.step()
        if second.text == "=":
            foreign(place, "a blank in ':='", f"write {token.text} := ... instead", len(token.text))
        if second.word in (*BASES, "ARRAY", "STRUCT") or (second.kind == "name" and third.text == ";"):
            what = f"a declaration among statements: {token.text} : {second.text}"
            instead = "write it between VAR and END_VAR, before all statements"
            self._lost(token, habit(place, what, instead, len(token.text)))
        foreign(place, f"the label {token.text + ':'!r}", "write IF and loops instead", len(token.text))

    def _lost(self, name: Token, mistake: Mistake) -> NoReturn:
        """Give up a declaration among statements: of its name nothing more is told."""
        self.report.broken.setdefault(name.word, mistake)
        raise Fault(mistake)

    def _two_words(self, place: Place, token: Token, second: Token) -> None:
        """Name two words side by side: `my var := 1`, `TON t (...)`, `int x = 5`."""
        both = token.kind == second.kind == "name" and self.same_line(token, second)
        if not both or token.word in KEYWORDS or (second.word in KEYWORDS and second.word != "VAR"):
            return
        third, length = self.ahead(2).text, second.at + len(second.text) - token.at
        if third == "=" and second.word in ("S", "R", "REF"):
            return
        self.step()
        self.step()
        if token.word in BASES or third == "(":
            what = f"a declaration among statements: {token.text} {second.text}"
            instead = f"write {second.text} : {token.text}; between VAR and END_VAR"
            self._lost(second, habit(place, what, instead, length))
        if third == ":=":
            mend = f"write {token.text}_{second.text}"
            fail(place, f"{token.text} {second.text} is two words", "a name has no blanks", mend, length)
        mend = "write an operator or ';' between them"
        fail(place, f"{token.text!r} and {second.text!r} stand side by side", mend=mend, length=length)

    def foreign_assignment(self, target: str) -> None:
        """Name what assigns elsewhere."""
        mark, following = self.token, self.ahead()
        if mark.text in ("=", "+=", "-=", "*=", "/="):
            right = f"{target} {mark.text[0]} ..." if len(mark.text) == 2 else "..."
            what = f"{mark.text!r} as an assignment to {target}"
            foreign(self.place(), what, f"write {target} := {right} instead", len(mark.text))
        if mark.text == "?" and following.text == "=":
            foreign(self.place(), "'?=' (object orientation)", f"write {target} := ... instead", 2)
        if mark.text in ("+", "-") and following.text == mark.text:
            foreign(self.place(), repr(mark.text * 2), f"write {target} := {target} {mark.text} 1 instead", 2)
        if mark.text == "<" and following.text in ("-", "="):
            foreign(self.place(), repr("<" + following.text), f"write {target} := ... instead", 2)
        if mark.text == "-" and following.kind == "name" and self.ahead(2).text == ":=":
            name = f"{target}-{following.text}"
            self.step()
            self.step()
            foreign(self.place(), f"'-' in the name {name}", f"write {target}_{following.text} instead")
        if mark.word in ("S", "R", "REF") and following.text == "=":
            value = "TRUE" if mark.word == "S" else "FALSE"
            mend = f"write IF ... THEN {target} := {value}; END_IF; instead"
            mend = mend if mark.word != "REF" else f"write {target} := REF(...) instead"
            foreign(self.place(), repr(f"{mark.text}="), mend, 2)

    def index_in_parentheses(self, call: Call) -> None:
        """Name `a(1) := b`."""
        values = [a.value for a in call.arguments if a.value is not None and not a.name]
        if self.at(":=") and values and len(values) == len(call.arguments):
            meant = f"{call.callee}[{', '.join(printed_expression(value) for value in values)}]"
            foreign(call.place, "'(' around an index", f"write {meant} := ... instead", len(call.callee.name))

    def sign_before(self) -> None:
        """Name `++a` and `--a`."""
        mark, name = self.token.text, self.ahead(2)
        if mark in ("+", "-") and self.ahead().text == mark and name.kind == "name":
            foreign(self.place(), repr(mark * 2), f"write {name.text} := {name.text} {mark} 1 instead", 2)

    def after_leave(self, word: str) -> None:
        """Name `RETURN x`, `EXIT WHEN ...`: nothing stands behind these words."""
        more = self.token.kind in ("literal", "address") or self.at("(")
        named = self.token.kind == "name" and not self.at(*ENDS) and not self.foreign_end()
        if not (more or named) or not self.same_line(self.last, self.token) or self.ahead().text == ":":
            return
        if self.ahead().text == ":=":
            return
        mend = f"write IF ... THEN {word}; END_IF; instead" if self.at("WHEN", "IF") else f"write {word}; instead"
        if word == "RETURN":
            mend = "give the name of the function the value first: NAME := value; RETURN;"
        foreign(self.place(), f"{word} with something behind it", mend, len(self.token.text))

    def instruction(self) -> None:
        """Name an instruction of the list language: a mnemonic and its operand, side by side."""
        following = self.ahead()
        if self.token.word in _INSTRUCTIONS and following.kind in ("name", "literal", "address"):
            what = f"{self.token.text} is an instruction of IL"
            mend = "write Structured Text, for instance a := b AND c;"
            fail(self.place(), what, "the list language is not read", mend, len(self.token.text))

    def pass_object(self) -> None:
        """Tell of an object-oriented unit, and pass it over."""
        token, place = self.token, self.place()
        ending = OBJECTS[token.word]
        if token.word in ("CLASS", "INTERFACE") and self.ahead().kind == "name":
            what = f"{token.text} (object orientation)"
            lost = habit(place, what, "write a FUNCTION_BLOCK instead", len(token.text))
            self.report.broken.setdefault(self.ahead().word, lost)
        while self.token.kind != "end" and not self.taken(ending):
            self.step()
        foreign(place, f"{token.text} (object orientation)", "write a FUNCTION_BLOCK instead", len(token.text))

    def pass_action(self) -> None:
        """Tell of an action that belongs to no chart, and pass it over."""
        place = self.place()
        while self.token.kind != "end" and not self.taken("END_ACTION"):
            self.step()
        foreign(place, "an ACTION outside a chart", "write a FUNCTION_BLOCK instead", 6)


__all__ = ["Habits"]
