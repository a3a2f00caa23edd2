"""Declarations as other languages write them: named, with what to write instead, and read.

The standard's own are parse_declarations.py. Rule: a habit costs one message; the name is declared all the same where
it is clear what is meant, and else nothing more is told of it.
"""

from difflib import get_close_matches

from simplant.errors import Place
from simplant.logic.st.bases import BASES
from simplant.logic.st.cursor import ENDS
from simplant.logic.st.foreign import ADDRESS, TYPES, foreign
from simplant.logic.st.parse_sections import Sections
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Expression, Literal


class Rows(Sections):
    """Recursive descent over what looks like a declaration."""

    def ended(self) -> bool:
        """Take the `;` of a declaration, and those that are too many."""
        found = self.taken(";")
        while found and self.taken(";"):
            self.report.loose(self.place(self.last), "';' ends no declaration", "leave it out")
        return found

    def lost(self, start: int) -> None:
        """Note the names that a row would have declared: nothing more is told of them."""
        names = []
        for token in self.tokens[start : max(self.position, start + 1)]:
            if token.text in (":", ":=", "=", ";") or (token.kind != "name" and token.text not in (",", "-")):
                break
            names.append(token.text)
        self.report.breaks(*(n for n in names if n.isidentifier()))

    def foreign_names(self, name: str) -> bool:
        """Name what stands elsewhere between a name and its type; say whether that is only nothing."""
        token, place = self.token, self.place()
        if self.at("AS"):
            self.say("AS", "write : instead")
        elif self.at("=") or self.at(":="):
            fail(place, f"{name} has no type", mend=f"write {name} : INT := 0", length=len(token.text))
        elif self.at("["):
            foreign(place, "'[' behind a name", f"write {name} : ARRAY[0..9] OF INT")
        elif self.at("-"):
            foreign(place, f"'-' in the name {name}-{self.ahead().text}", f"write {name}_{self.ahead().text}")
        elif token.kind == "name" and self.same_line(self.last, token) and name.upper() in BASES:
            foreign(self.place(self.last), f"the type {name} before a name", f"write {token.text} : {name};", len(name))
        elif token.kind == "name" and self.ahead().text != ":" and not self.at("END_VAR"):
            what = f"':' is missing between {name} and {token.text}"
            self.report.error(place, what, mend=f"write {name} : {token.text}", length=len(token.text))
            return True
        elif token.kind == "name" and self.same_line(self.last, token):
            self.step()
            what, mend = f"{name} {token.text} is two words", f"write {name}_{token.text}"
            fail(place, what, "a name has no blanks", mend, len(token.text))
        return False

    def colon(self, name: str) -> None:
        """Take the `:` behind a name."""
        if not self.taken(":") and not self.foreign_names(name) and not self.taken("AS"):
            self.want(":", "after the name")

    def first_value_mark(self) -> bool:
        """Take the `:=` of a first value, or a `=`."""
        if self.at("="):
            self.say("'=' before a first value", "write := instead")
        return self.taken(":=", "=")

    def late_words(self) -> str:
        """Take what stands behind a type elsewhere; give an address."""
        if self.at("RETAIN", "CONSTANT", "PERSISTENT"):
            self.say(f"{self.token.text} behind a type", f"write VAR {self.token.word}")
            self.step()
        if self.at("AT") and self.ahead().kind == "address":
            self.say("an address behind the type", f"write name AT {self.ahead().text} : TYPE")
            self.step()
            return self.step().word
        return ""

    def end_by_comma(self) -> bool:
        """Take a `,` where a declaration ends."""
        if not (self.at(",") and self.ahead().kind == "name" and self.ahead(2).text == ":"):
            return False
        self.say("',' between declarations", "write ';' instead")
        self.step()
        return True

    def foreign_address(self) -> str:
        """Name what stands behind AT elsewhere: an address without %, another variable."""
        token, place = self.token, self.place()
        if token.kind == "name" and ADDRESS.fullmatch(token.text):
            self.say(f"the address {token.text} without %", f"write %{token.word}")
            while not self.at(":", ";"):
                self.step()
            return ""
        if token.kind == "name":
            instead = f"write the bit access {token.text}.%X0 where it is needed"
            foreign(place, "AT with the name of a variable", instead, len(token.text))
        self.unexpected("an address such as %IX0.0")
        raise AssertionError("unreachable: the line above fails")

    # types

    def opening(self) -> str:
        """Take the `[` of an ARRAY; give what closes it."""
        if self.at("("):
            self.say("'(' around the bounds of an array", "write [ ]")
        elif not self.at("["):
            self.unexpected("'['")
        return "]" if self.step().text == "[" else ")"

    def bound_pair(self) -> tuple[Expression, Expression]:
        """Read `low..high` with what stands elsewhere for the two dots; a number alone is a length."""
        place, low = self.place(), self.binary(6)
        if self.at("TO", ":"):
            self.say(f"{self.token.text!r} between bounds", "write .. instead")
        elif self.at(".."):
            if self.ahead().text == ".":
                self.say("'...'", "write .. instead", length=3)
                self.step()
        elif self.at("]", ",", ")"):
            if isinstance(low, Literal) and isinstance(low.value, int):
                self.say(f"the length {low.text} of an array", f"write [0..{low.value - 1}]", self.last)
                return Literal(place, 0, None, "0"), Literal(place, low.value - 1, None, str(low.value - 1))
            fail(place, "an array has no two bounds", mend="write [low..high], for instance [0..9]")
        if not self.taken("TO", ":", "."):
            self.want("..")
        return low, self.binary(6)

    def struct_missing(self) -> bool:
        """Say whether fields begin here whose STRUCT is misspelt (it is taken) or missing."""
        shift = 1 if get_close_matches(self.token.word, ["STRUCT"], cutoff=0.7) else 0
        row = self.ahead(shift + 1).text == ":" and self.ahead(shift).kind == "name"
        if self.token.kind != "name" or not row:
            return False
        ends = (t.word for t in self.onward() if t.kind == "name" and t.word[:4] == "END_")
        if next(ends, "") != "END_STRUCT":
            return False
        what = f"{self.token.text!r} begins nothing" if shift else "STRUCT is missing before this"
        self.report.error(self.place(), what, mend="write STRUCT", length=len(self.token.text))
        if shift:
            self.step()
        return True

    def foreign_type(self, place: Place) -> None:
        """Name what begins a type elsewhere."""
        word = self.token.text
        if self.at("UNION"):
            while self.token.kind != "end" and not self.at("END_TYPE", *ENDS) and not self.taken("END_UNION"):
                self.step()
            foreign(place, word, TYPES["UNION"], len(word))
        if self.token.word in TYPES:
            foreign(place, word, TYPES[self.token.word], len(word))
        if self.at("CONSTANT") and self.ahead().kind == "name":
            self.say("CONSTANT before a type", "write VAR CONSTANT")
            self.step()
        if self.at("^"):
            foreign(place, "'^' before a type", TYPES["POINTER"])
        if self.at("{"):
            foreign(place, "braces around names", "write ( ) around the names of an enumeration")

    def foreign_behind_type(self, place: Place, base: str) -> None:
        """Name what stands behind the name of a type elsewhere."""
        if self.at("["):
            foreign(self.place(), f"'[' behind {base}", f"write ARRAY[0..9] OF {base}")
        if self.at(".") and self.ahead().kind == "name":
            foreign(place, f"{base}. before a type", f"write {self.ahead().text} instead", len(base))
        if self.at("^"):
            foreign(place, f"{base}^", TYPES["POINTER"], len(base) + 1)
        named = self.ahead().kind == "name" and self.ahead(2).text == ":="
        if self.at("(") and base.upper() not in BASES and (named or self.ahead().kind == "literal"):
            what = f"values in parentheses behind {base}"
            self.say(what, f"write {base} := (name := value)")
            self.pass_group("(", ")")


__all__ = ["Rows"]
