"""Reading declarations of Structured Text: VAR sections, types, initial values.

Rule: a mistake costs one declaration.
"""

from typing import Final

from simplant.errors import Place
from simplant.logic.st.cursor import ENDS, KEYWORDS
from simplant.logic.st.declared import (
    AccessPath,
    ArrayOf,
    Enumeration,
    Named,
    RefTo,
    Section,
    Structure,
    Subrange,
    TypeName,
    TypeSpec,
    Variable,
)
from simplant.logic.st.foreign import foreign
from simplant.logic.st.parse_rows import Rows
from simplant.logic.st.report import Report, fail
from simplant.logic.st.tree import Expression, Literal

SECTIONS: Final = (
    "VAR", "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_TEMP", "VAR_EXTERNAL", "VAR_GLOBAL", "VAR_ACCESS",
    "VAR_CONFIG",
)  # fmt: skip
_FIELD: Final = Section("FIELD")
_TEXTS: Final = ("STRING", "WSTRING")
OPEN_END: Final = 1000
"""The bounds of an ARRAY[*] while nothing is given for it."""


class Declarations(Rows):
    """Recursive descent over declarations."""

    def __init__(self, report: Report) -> None:
        super().__init__(report)
        self.accesses: list[AccessPath] = []

    def sections(self) -> tuple[Variable, ...]:
        """Read VAR sections as long as they follow."""
        found: list[Variable] = []
        while self.at(*SECTIONS) or self.foreign_section() or self.section_missing():
            found += self.section()
        return tuple(found)

    def section(self) -> list[Variable]:
        """Read one VAR section; never without a step forward."""
        begun = self.position
        word, opened = self.section_words()
        if word == "VAR_CONFIG":
            fail(self.place(opened), "VAR_CONFIG stands outside a CONFIGURATION", length=len(word))
        if word == "VAR_ACCESS":
            self.accesses += self.access_rows()
            return []
        section = self._marked(word)
        found: list[Variable] = []
        while self.token.kind != "end" and not self.at_end_of_section() and not self.statement_begins():
            start = self.position
            declared = self.guarded(lambda: self.declaration(section), "END_VAR", *ENDS)
            found += declared or []
            if declared is None:
                self.lost(start)
        if not self.ends_section():
            self.report.error(self.place(opened), f"{word} is not closed", mend="end it with END_VAR", length=len(word))
        self.taken(";")
        if self.position == begun:  # the word is missing, and so are its rows
            self.step()
        return found

    def access_rows(self) -> list[AccessPath]:
        """Read the rows of a VAR_ACCESS after its first word."""
        found: list[AccessPath] = []
        while self.token.kind != "end" and not self.at("END_VAR", *ENDS):
            row = self.guarded(self._access_row, "END_VAR", *ENDS)
            found += [row] if row is not None else []
        self.want("END_VAR")
        self.taken(";")
        return found

    def _access_row(self) -> AccessPath:
        """Read `name : resource.program.variable : TYPE READ_ONLY;`."""
        place, name = self.declared_name()
        self.colon(name)
        if self.token.kind == "name" and self.ahead(2).kind == "address" and self.ahead(2).word[1] in "IQM":
            self.step()  # a resource before an address
            self.step()
        path = self.target()
        self.colon(str(path))
        spec = self.type_spec()
        writes = self.at("READ_WRITE")
        self.taken("READ_ONLY", "READ_WRITE")
        self.end_of_declaration()
        return AccessPath(place, name, path, spec, writes)

    def _marked(self, opened: str) -> Section:
        """Read the words behind that of a section: CONSTANT, RETAIN."""
        word, *more = opened.split()
        marks = set(more)
        self.object_words()
        while self.at("CONSTANT", "RETAIN", "NON_RETAIN", "PERSISTENT"):
            if self.at("PERSISTENT"):
                self.report.loose(self.place(), "a section is PERSISTENT", "write RETAIN", len("PERSISTENT"))
            marks.add(self.step().word)
        return Section(word, "CONSTANT" in marks, bool(marks & {"RETAIN", "PERSISTENT"}))

    def declaration(self, section: Section) -> list[Variable]:
        """Read `a, b AT %IX0.0 : TYPE := initial;`."""
        names = [(*self.declared_name(), self.address())]
        while self.taken(","):
            names.append((*self.declared_name(), self.address()))
        self._one_address(names)
        self.colon(names[0][1])
        spec = self.type_spec()
        late = self.late_words()
        initial = self.initial_of(spec) if self.first_value_mark() else None
        late = late or self.late_words()
        self.end_of_declaration()
        return [Variable(place, name, spec, initial, address or late, section) for place, name, address in names]

    def _one_address(self, names: list[tuple[Place, str, str]]) -> None:
        """Let several names stand with addresses only if each has one."""
        located = [name for _, name, address in names if address]
        if located and len(names) > 1:
            place = names[0][0]
            if len(located) < len(names):
                fail(place, "one address stands with several names", mend="write a row for each")
            self.report.loose(place, "several names with addresses stand in one row", "write a row for each")

    def end_of_declaration(self) -> None:
        """Take the `;`."""
        if not self.ended() and not self.end_by_comma():
            place = self.report.place(self.last.at + len(self.last.text))
            if self.at("END_VAR", "END_STRUCT") or (self.at_end_of_section() and self.token.word.startswith("END")):
                self.report.loose(place, f"';' is missing after {self.last.text!r}", "a declaration ends with ';'")
                return
            if self.token.kind != "name":
                self.unexpected("';'")
            self.report.error(place, f"';' is missing after {self.last.text!r}", mend="a declaration ends with ';'")

    def declared_name(self) -> tuple[Place, str]:
        """Read the name of a variable; a direct address may stand alone (`AT %IX0.0 : BOOL`)."""
        if self.at("AT") and self.ahead().kind == "address":
            return self.place(self.ahead()), self.ahead().text.upper()
        self.word_as_name()
        token = self.want_name("the name of a variable")
        self.reserved(token)
        if "__" in token.text or (token.text.endswith("_") and len(token.text) > 1):
            self.report.loose(self.place(token), f"{token.text!r} has an underscore too many", length=len(token.text))
        return self.place(token), token.text

    def address(self) -> str:
        """Read `AT %IX0.0`, if it stands here."""
        if not self.taken("AT"):
            return ""
        return self.step().word if self.token.kind == "address" else self.foreign_address()

    def type_spec(self) -> TypeSpec:
        """Read a type."""
        place = self.place()
        self.foreign_type(place)
        if self.taken("REF_TO"):
            return RefTo(place, self.deeper(self.type_spec))
        if self.taken("ARRAY"):
            return self.array(place)
        if self.taken("STRUCT") or self.struct_missing():
            return self.structure(place)
        if self.at("("):
            return self.enumeration(place)
        self.unqualified()
        token = self.want_name("a type")
        if token.word in _TEXTS and self.at("[", "("):
            return Named(place, token.text, self.length())
        self.foreign_behind_type(place, token.text)
        if self.at("("):
            return self.subrange(place, token.text)
        edge = self.step().word if self.at("R_EDGE", "F_EDGE") else ""
        return Named(place, token.text, None, edge)

    def length(self) -> Expression:
        """Read the length of a STRING, in brackets."""
        if self.at("("):
            self.report.loose(self.place(), "the length of a text stands in parentheses", "write STRING[20]")
        closing = "]" if self.step().text == "[" else ")"
        found = self.expression()
        self.want(closing)
        return found

    def subrange(self, place: Place, base: str) -> TypeSpec:
        """Read `(low..high)` after a type, or the names of an enumeration with a base type."""
        start = self.position
        self.step()
        low = self.binary(6)
        if self.at(",", ":=", ")"):
            self.back_to(start)
            return self.enumeration(place, base)
        self.want("..")
        high = self.binary(6)
        self.want(")")
        return Subrange(place, base, low, high)

    def enumeration(self, place: Place, base: str = "") -> Enumeration:
        """Read `(red, green := 5)`."""
        self.want("(")
        names = []
        while not self.at(")"):
            token = self.want_name("a name of the enumeration")
            names.append((self.place(token), token.text, self.expression() if self.first_value_mark() else None))
            if not self.taken(","):
                break
        self.want(")", "or ','")
        if self.token.kind == "name" and self.token.word not in KEYWORDS:
            what = "the type of an enumeration stands behind its names"
            self.report.loose(self.place(), what, "write it before them", len(self.token.text))
            base = self.step().text
        return Enumeration(place, tuple(names), base)

    def array(self, place: Place) -> ArrayOf:
        """Read an ARRAY after its first word."""
        closing = self.opening()
        ranges = [self.range()]
        while self.taken(","):
            ranges.append(self.range())
        self.want(closing)
        while self.at("["):
            self.say("one more '['", "write [0..1, 0..2]")
            self.step()
            ranges.append(self.range())
            self.want("]")
        self.want("OF")
        return ArrayOf(place, tuple(ranges), self.deeper(self.type_spec))

    def range(self) -> tuple[Expression, Expression]:
        """Read `low..high`, or `*`: what is given says how long the array is."""
        if self.taken("*"):
            place = self.place(self.last)
            return Literal(place, -OPEN_END, None, "*"), Literal(place, OPEN_END, None, "*")
        return self.bound_pair()

    def structure(self, place: Place) -> Structure:
        """Read a STRUCT after its first word."""
        if self.at("{"):
            self.pass_group("{", "}")
            foreign(place, "braces around fields", "write STRUCT ... END_STRUCT", 6)
        overlap = self.ahead().text not in (":", ",") and self.ahead().word != "AT" and self.taken("OVERLAP")
        fields: list[Variable] = []
        while self.token.kind != "end" and not self.at("END_STRUCT", "END_TYPE", *ENDS):
            if self.ends_elsewhere("END_STRUCT"):
                return Structure(place, tuple(fields), overlap)
            row = self.guarded(lambda: self.deeper(lambda: self.declaration(_FIELD)), "END_STRUCT", "END_TYPE", *ENDS)
            fields += row or []
        self.closed("END_STRUCT", "STRUCT", place)
        return Structure(place, tuple(fields), overlap)

    def types(self) -> list[TypeName]:
        """Read a TYPE block after its first word."""
        place = self.place(self.last)
        found: list[TypeName] = []
        while self.token.kind != "end" and not self.at("END_TYPE", *ENDS):
            if self.ends_elsewhere("END_TYPE"):
                return found
            start = self.position
            row = self.guarded(self.type_name, "END_TYPE", *ENDS)
            if row is not None:
                found.append(row)
            else:
                self.lost(start)
        self.closed("END_TYPE", "TYPE", place)
        self.taken(";")
        return found

    def type_name(self) -> TypeName:
        """Read one row of a TYPE block."""
        token = self.want_name("the name of a type")
        if self.at("EXTENDS") and self.ahead().kind == "name":
            self.say("EXTENDS (object orientation)", "write all fields, or a field of that type")
            self.step()
            self.step()
        if self.at("=", "STRUCT"):
            mend = f"write {token.text} : TYPE"
            self.report.error(self.place(), "':' is missing after the name of a type", mend=mend)
            self.taken("=")
        else:
            self.want(":", "after the name")
        spec = self.type_spec()
        initial = self.initial() if self.taken(":=") else None
        if self.at(","):
            foreign(self.place(token), "names without parentheses", f"write {token.text} : (red, green);")
        if not self.ended():
            if not isinstance(spec, Structure) and not self.at("END_TYPE"):
                self.unexpected("';'")
            place = self.report.place(self.last.at)
            self.report.loose(place, f"no ';' stands after {self.last.text}", "write ';'", len(self.last.text))
        return TypeName(self.place(token), token.text, spec, initial)
