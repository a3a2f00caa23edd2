"""Heads and ends of statements as other languages write them: `END IF`, `NEXT`, a THEN left out, braces.

Statements themselves are parse_habits.py. Rule: a habit costs one message; what stands around it is read all the same.
"""

from collections.abc import Callable
from difflib import get_close_matches
from typing import Final, TypeVar

from simplant.logic.st.cursor import ENDS, KEYWORDS
from simplant.logic.st.foreign import BEHIND, CLOSINGS, foreign, habit
from simplant.logic.st.parse_expressions import Expressions
from simplant.logic.st.report import Fault
from simplant.logic.st.tokens import Token
from simplant.logic.st.tree import Expression, Literal
from simplant.values import BOOL

_UNITS: Final = ("PROGRAM", "FUNCTION", "FUNCTIONBLOCK", "FB", "FC", "PRG", "FUNC", "ORGANIZATIONBLOCK")
COMPOUND: Final = ("IF", "FOR", "CASE", "WHILE", "REPEAT")
_ELSIF: Final = ("ELSEIF", "ELIF", "ELSE_IF", "ELSIFF", "ELSEIFF", "ELSFI", "ELSIIF", "ESLIF", "ELESIF")
_BEGINS: Final = (":=", "(", ".", "[", ",", ":")
_T = TypeVar("_T")


class Heads(Expressions):
    """What is read although nobody may write it.

    Attributes:
        closings: the words that are to come, innermost last: END_PROGRAM, END_IF.
        begun: each BEGIN that has no END yet.
    """

    closings: tuple[str, ...] = ()
    begun = 0

    def say(self, what: str, instead: str, token: Token | None = None, length: int = 0) -> None:
        """Note a habit, and go on."""
        token = token or self.token
        self.report.add(habit(self.place(token), what, instead, length or max(1, len(token.text))))

    # ends

    def foreign_end(self) -> bool:
        """Say whether a word stands here that ends elsewhere what is open: END IF, ENDFOR, NEXT, END_FRO."""
        word, open_ = self.token.word, self.closings
        if not open_ or self.token.kind != "name" or self.ahead().text in _BEGINS:
            return False
        if word in _ELSIF:
            return open_[-1] == "END_IF"
        if word in KEYWORDS or word in ENDS:
            return False
        near = word.startswith("END") or get_close_matches(word, open_[-1:], cutoff=0.8)
        if not near and word not in CLOSINGS:
            return False
        if word == "END" and self.begun:
            return False
        ended = (self.ahead().word if word == "END" else word[3:]).replace("_", "")
        unit = ended in _UNITS or bool(get_close_matches(ended, _UNITS, cutoff=0.8))
        return unit == (len(open_) == 1 and open_[0][4:] not in COMPOUND)

    def closes(self) -> bool:
        """Say whether such a word begins a line."""
        spaced = self.at("END") and self.ahead().word in COMPOUND
        return (spaced or not self.same_line(self.last, self.token)) and self.foreign_end()

    def take_end(self, word: str) -> None:
        """Take the word that ends elsewhere what `word` ends here."""
        token = self.step()
        text = token.text
        named = token.word == "END" or token.word in CLOSINGS
        beside = named and self.token.kind == "name" and self.same_line(token, self.token) and not self.at(*ENDS)
        if beside or (token.word == "END" and self.token.word in _UNITS):
            text += f" {self.step().text}"
        self.say(repr(text), f"write {word} instead", token, len(text))

    def foreign_elsif(self) -> bool:
        """Say whether ELSIF stands here, or what means it elsewhere."""
        return self.at("ELSIF") or (self.token.word in _ELSIF and self.foreign_end())

    def taken_elsif(self) -> bool:
        """Take ELSIF, or what means it elsewhere."""
        if self.taken("ELSIF"):
            return True
        if self.at("ELSE") and self.ahead().word != "IF" and self._else_with_condition():
            self.say("ELSE with a condition", "write ELSIF instead")
            self.step()
            return True
        if self.token.word not in _ELSIF or not self.foreign_end():
            return False
        self.say(repr(self.token.text), "write ELSIF instead")
        self.step()
        return True

    def _else_with_condition(self) -> bool:
        for token in self.onward(1):
            if token.text in (";", ":=") or (token.kind == "name" and token.word in (*COMPOUND, *ENDS)):
                return False
            if token.kind == "name" and token.word == "THEN":
                return True
        return False

    def passed_begin(self) -> bool:
        """Pass over a BEGIN or a brace, or the END of one."""
        if self.at("{") or (self.at("}") and self.begun):
            if self.at("{"):
                self.say("'{' before statements", "leave it out")
            self.begun += 1 if self.step().text == "{" else -1
            return True
        if self.ahead().text in _BEGINS or not self.at("BEGIN", "END"):
            return False
        if self.at("BEGIN"):
            self.say(repr(self.token.text), "leave it out")
            self.begun += 1
        elif self.begun and self.ahead().word not in (*COMPOUND, "PROGRAM", "FUNCTION"):
            self.begun -= 1
        else:
            return False
        self.step()
        return True

    # heads

    def spare_mark(self, mark: str, where: str) -> None:
        """Pass over a mark that the standard does not write."""
        if self.taken(mark):
            self.report.loose(self.place(self.last), f"{mark!r} stands {where}", "leave it out")

    def head(self, read: Callable[[], _T], word: str) -> _T | Fault:
        """Read what stands before THEN, DO or OF, and that word; a mistake there costs no more than itself."""
        try:
            found = read()
        except Fault as fault:
            if not self._to(word):
                raise
            self.report.add(fault.mistake)
            return fault
        if self.taken(word) or self._no_end_of_head(word):
            return found
        return Fault(self.report.mistakes[-1])

    def _no_end_of_head(self, word: str) -> bool:
        """Tell what stands where THEN, DO or OF should, and go on behind it; say whether the head was read whole."""
        after = "the condition" if word == "THEN" else "the head"
        if self.at("{"):
            self.pass_braces(word)
        if self.at(":="):
            self.say("':=' in a condition", "write = instead", length=2)
            self._to(word)
        elif self.at(":"):
            self.say("':' as the end of a head", f"write {word} instead")
            self.step()
        elif self._misspelt(word):
            self.say(repr(self.token.text), f"write {word} instead")
            self.step()
        elif self._found(word) is not None:
            self.guarded(lambda: self.behind(f"{word!r} after {after}"), *ENDS, word)
            self._to(word)
            return False
        else:
            place = self.report.place(self.last.at + len(self.last.text))
            self.report.error(place, f"{word} is missing after {after}", mend=f"write {word}")
        return True

    def condition_or_true(self, word: str) -> Expression:
        """Read a condition and the word behind it; one that cannot be read is as good as TRUE."""
        place = self.place()
        found = self.head(self.expression, word)
        return Literal(place, value=True, type=BOOL, text="") if isinstance(found, Fault) else found

    def behind(self, wanted: str) -> None:
        """Give up: something stands behind a whole expression; name what is a habit."""
        place, mark = self.place(), self.token.text
        if mark == ":=":
            foreign(place, "':=' in an expression", "write = to compare, or two statements", 2)
        if mark in BEHIND and (mark != "." or self.last.text == ")"):
            foreign(place, *BEHIND[mark], len(mark))
        self.unexpected(wanted)

    def _misspelt(self, word: str) -> bool:
        near = self.token.kind == "name" and get_close_matches(self.token.word, [word], cutoff=0.6)
        return bool(near) and self.same_line(self.last, self.token) and self.ahead().text not in _BEGINS

    def _found(self, word: str) -> int | None:
        """Give where a word stands in this statement."""
        for position in range(self.position, len(self.tokens)):
            token = self.tokens[position]
            if token.kind == "name" and token.word == word:
                return position
            if token.text == ";" or (token.kind == "name" and token.word in ENDS):
                return None
        return None

    def _to(self, word: str) -> bool:
        """Go on behind a word of this statement, if it is there."""
        position = self._found(word)
        if position is None:
            return False
        self.back_to(position)
        self.step()
        return True

    # braces

    def pass_braces(self, word: str) -> None:
        """Tell of statements in braces, and pass over them and over each `else` with more of them."""
        place = self.place()
        while self.at("{", "ELSE") or (self.last.word == "ELSE" and self.at("IF")):
            while not self.at("{") and self.token.kind != "end":
                self.step()
            self.pass_group("{", "}")
        foreign(place, "braces around statements", f"write {word} ... {self.closings[-1]} instead")

    def pass_group(self, opening: str, closing: str) -> None:
        """Pass over parentheses or braces and all that is in them."""
        depth = 0
        while self.token.kind != "end":
            mark = self.step().text
            depth += {opening: 1, closing: -1}.get(mark, 0)
            if depth == 0:
                return

    def foreign_for(self) -> None:
        """Name the FOR of other languages: all of its head in parentheses."""
        place = self.place(self.last)
        self.pass_group("(", ")")
        if self.at("{"):
            self.pass_group("{", "}")
        foreign(place, "a FOR with its head in parentheses", "write FOR i := 0 TO 9 DO ... END_FOR instead", 3)


__all__ = ["COMPOUND", "Heads"]
