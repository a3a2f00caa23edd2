"""Reading a whole Structured Text source: its types, program units and configurations.

Rule: never an exception for what stands in the text: mistakes go into the report, and what could be read is given.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from simplant.logic.sfc.read import chart_follows, read_chart
from simplant.logic.st.declared import (
    Body,
    Configuration,
    File,
    TypeName,
    TypeSpec,
    Unit,
    Variable,
)
from simplant.logic.st.foreign import OBJECTS, habit
from simplant.logic.st.parse_configurations import Configurations
from simplant.logic.st.parse_declarations import SECTIONS
from simplant.logic.st.report import Report

_TOP: Final = ("PROGRAM", "FUNCTION_BLOCK", "FUNCTION", "TYPE", "CONFIGURATION", "VAR_GLOBAL", "NAMESPACE", "USING")
STRAY: Final = ("END_IF", "ELSIF", "ELSE", "END_CASE", "END_FOR", "END_WHILE", "END_REPEAT", "UNTIL")
_OF_OBJECTS: Final = ("EXTENDS", "IMPLEMENTS", "ABSTRACT", "FINAL", "PUBLIC", "PRIVATE", "INTERNAL", "PROTECTED")


@dataclass(slots=True)
class _Found:
    types: list[TypeName] = field(default_factory=list)
    units: list[Unit] = field(default_factory=list)
    variables: list[Variable] = field(default_factory=list)
    configurations: list[Configuration] = field(default_factory=list)


def parse(report: Report) -> File:
    """Read a source.

    Args:
        report: the text; every mistake is noted there.

    Returns:
        What could be read.
    """
    found = _Found()
    reader = _Units(report)
    reader.namespaces = frozenset(_namespaces(reader))
    while reader.token.kind != "end":
        start = reader.position
        reader.depth, reader.in_case = 0, False
        reader.guarded(lambda: reader.top(found), *_TOP)
        if reader.position == start:
            reader.step()
    return File(tuple(found.types), tuple(found.units), tuple(found.variables), tuple(found.configurations))


def _namespaces(reader: Configurations) -> Iterator[str]:
    """Give the parts of the names of all namespaces, in capitals."""
    inside = False
    for before, token in pairwise(reader.tokens):
        inside = before.word == "NAMESPACE" or (inside and "." in (before.text, token.text))
        if inside and token.kind == "name":
            yield token.word


class _Units(Configurations):
    """Recursive descent over the outermost things."""

    def top(self, found: _Found) -> None:
        """Read the next outermost thing."""
        if self.taken("TYPE"):
            found.types += self.types()
        elif self.at("PROGRAM", "FUNCTION_BLOCK", "FUNCTION"):
            found.units.append(self.unit())
        elif self.taken("CONFIGURATION"):
            found.configurations.append(self.configuration())
        elif self.at("VAR_GLOBAL"):
            self.report.loose(self.place(), "global variables stand outside a CONFIGURATION", length=10)
            found.variables += self.section()
        elif self.taken("NAMESPACE"):
            self.namespace(found)
        else:
            self._rest(found)

    def _rest(self, found: _Found) -> None:
        if self.taken("USING"):
            self.using()
        elif self.at(*OBJECTS):
            self.pass_object()
        elif self.at("ACTION") and self.ahead(2).text == ":" and found.units:
            self.pass_action()
        elif not self.taken(";"):
            found.units.append(self.bare())

    def namespace(self, found: _Found) -> None:
        """Read a NAMESPACE after its first word: what it declares is known by its own name, and by the whole one."""
        self.taken("INTERNAL")
        self.want_name("the name of the namespace")
        while self.taken("."):
            self.want_name("the name of the namespace")
        while self.token.kind != "end" and not self.at("END_NAMESPACE"):
            start = self.position
            self.guarded(lambda: self.deeper(lambda: self.top(found)), *_TOP, "END_NAMESPACE")
            if self.position == start:
                self.step()
        self.want("END_NAMESPACE")

    def using(self) -> None:
        """Pass over the names of a USING after its first word."""
        while self.token.kind == "name" or self.at(".", ","):
            self.step()
        self.want(";")

    def bare(self) -> Unit:
        """Read statements without a header: a program named `main`."""
        place = self.place()
        self.report.loose(place, "no PROGRAM, FUNCTION_BLOCK or FUNCTION begins here", "write PROGRAM main first")
        variables = self.sections()
        body = self.any_body()
        self.taken("END_PROGRAM", "END_FUNCTION_BLOCK", "END_FUNCTION")
        return Unit(place, "PROGRAM", "main", None, variables, body)

    def unit(self) -> Unit:
        """Read a PROGRAM, FUNCTION_BLOCK or FUNCTION."""
        kind = self.step().word
        self._object_words()
        name = self.want_name(f"the name of the {kind}")
        result = self._result(kind, name.text)
        self._object_words()
        self.taken(";")
        while self.taken("USING"):
            self.using()
        variables = self.sections()
        body = self._with_stray_ends(self.any_body())
        while self.at(*SECTIONS) and not self.at("VAR_GLOBAL"):
            mend = "declare before the first statement"
            self.report.error(self.place(), "a VAR section stands after statements", mend=mend)
            variables += self.sections()
            more = self.statements()
            body = (*body, *more) if isinstance(body, tuple) else body
        if not self.taken(f"END_{kind}"):
            self._unclosed(kind, name.text)
        self.taken(";")
        return Unit(self.place(name), kind, name.text, result, variables, body)

    def _with_stray_ends(self, body: Body) -> Body:
        """Tell of words that end nothing, and go on behind them."""
        while self.at(*STRAY) and isinstance(body, tuple):
            word = self.step()
            self.report.error(self.place(word), f"{word.text} ends nothing that is open here", length=len(word.text))
            self.taken(";", ":")
            body = (*body, *self.statements())
        return body

    def any_body(self) -> Body:
        """Read a body: a chart, or statements."""
        return read_chart(self) if chart_follows(self) else self.statements()

    def _unclosed(self, kind: str, name: str) -> None:
        if self.at("END_PROGRAM", "END_FUNCTION", "END_FUNCTION_BLOCK"):
            word = self.token.text
            self.report.error(
                self.place(), f"{word} ends the {kind} {name}", mend=f"write END_{kind}", length=len(word)
            )
            self.step()
        elif self.token.kind == "end" or self.at(*_TOP):
            self.report.loose(self.place(), f"the {kind} {name} is not closed", f"write END_{kind}")
        else:
            self.unexpected(f"a statement or END_{kind}")

    def _object_words(self) -> None:
        """Tell of the words of object orientation around the name of a unit, and pass them over."""
        while self.at(*_OF_OBJECTS) and self.ahead().kind == "name":
            word = self.step()
            self.report.add(
                habit(self.place(word), f"{word.text} (object orientation)", "leave it out", len(word.text))
            )
            while word.word in ("EXTENDS", "IMPLEMENTS") and self.token.kind == "name" and not self.at(*SECTIONS):
                self.step()
                self.taken(",", ".")

    def _result(self, kind: str, name: str) -> TypeSpec | None:
        if kind != "FUNCTION":
            return None
        if self.taken(":"):
            return self.type_spec()
        if self.at(*SECTIONS):
            return None
        self.unexpected(f"':' and the type of {name}")
        return None


__all__ = ["parse"]
