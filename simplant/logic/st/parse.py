"""Reading a whole Structured Text source: its types, program units and configurations.

Rule: never an exception for what stands in the text: mistakes go into the report, and what could be read is given.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final

from simplant.logic.sfc.read import chart_follows, read_chart
from simplant.logic.st.declared import (
    Body,
    Configuration,
    File,
    TypeName,
    Unit,
    Variable,
)
from simplant.logic.st.foreign import OBJECTS
from simplant.logic.st.parse_declarations import SECTIONS
from simplant.logic.st.parse_unit_heads import UnitHeads
from simplant.logic.st.report import Report

_TOP: Final = ("PROGRAM", "FUNCTION_BLOCK", "FUNCTION", "TYPE", "CONFIGURATION", "VAR_GLOBAL", "NAMESPACE", "USING")
STRAY: Final = ("END_IF", "ELSIF", "ELSE", "END_CASE", "END_FOR", "END_WHILE", "END_REPEAT", "UNTIL")


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


def _namespaces(reader: UnitHeads) -> Iterator[str]:
    """Give the parts of the names of all namespaces, in capitals."""
    inside = False
    for before, token in pairwise(reader.tokens):
        goes_on = "." in (before.text, token.text) or before.word == "INTERNAL"
        inside = before.word == "NAMESPACE" or (inside and goes_on)
        if inside and token.word != "INTERNAL" and token.kind == "name":
            yield token.word


class _Units(UnitHeads):
    """Recursive descent over the outermost things."""

    main: int | None = None
    """Which unit is the one without a header."""

    def top(self, found: _Found) -> None:
        """Read the next outermost thing."""
        if self.taken("TYPE") or self.type_missing():
            found.types += self.types()
        elif self.unit_begins():
            found.units.append(self.unit())
        elif self.taken("CONFIGURATION"):
            found.configurations.append(self.configuration())
        elif self.resource_begins():
            found.configurations.append(self.bare_configuration())
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
        elif not self.passed_outside() and not self.taken(";"):
            self._add_bare(found)

    def _add_bare(self, found: _Found) -> None:
        """Read statements without a header; all of a file are one program."""
        if self.main is None:
            found.units.append(self.bare())
            self.main = len(found.units) - 1
            return
        unit, variables = found.units[self.main], self.sections()
        before, more = unit.body, self.any_body()
        body = (*before, *more) if isinstance(before, tuple) and isinstance(more, tuple) else before
        found.units[self.main] = replace(unit, variables=(*unit.variables, *variables), body=body)

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
        self.accesses = []
        kind = self.kind_of_unit()
        self.object_words()
        name = self.want_name(f"the name of the {kind}")
        self.parameters_in_parentheses()
        result = self.result_of(kind, name.text)
        self.object_words()
        self.taken(";")
        self.titles()
        while self.taken("USING"):
            self.using()
        self.in_unit = True
        variables = self.sections()
        self.in_unit = False
        self.closings = (f"END_{kind}",)
        body, more = self._body_of_unit()
        variables += more
        if self.foreign_end():
            self.take_end(f"END_{kind}")
        elif not self.taken(f"END_{kind}"):
            self._unclosed(kind, name.text)
        self.closings, self.begun = (), 0
        self.behind_unit(name.text)
        self.taken(";")
        return Unit(self.place(name), kind, name.text, result, variables, body, tuple(self.accesses))

    def _body_of_unit(self) -> tuple[Body, tuple[Variable, ...]]:
        """Read a body; sections among statements are told and read."""
        variables: tuple[Variable, ...] = ()
        body = self._with_stray_ends(self.any_body())
        while self.at(*SECTIONS) and not self.at("VAR_GLOBAL"):
            mend = "declare before the first statement"
            self.report.error(self.place(), "a VAR section stands after statements", mend=mend)
            variables += self.sections()
            more = self.statements()
            body = (*body, *more) if isinstance(body, tuple) else body
        return body, variables

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
        if self.at("END_FUNCTION") and self.ahead().word == "BLOCK":
            self.say("'END_FUNCTION BLOCK'", "write END_FUNCTION_BLOCK instead", length=18)
            self.step()
            self.step()
        elif self.at("END_PROGRAM", "END_FUNCTION", "END_FUNCTION_BLOCK"):
            word = self.token.text
            self.report.error(
                self.place(), f"{word} ends the {kind} {name}", mend=f"write END_{kind}", length=len(word)
            )
            self.step()
        elif self.token.kind == "end" or self.at(*_TOP, "END_NAMESPACE") or self.unit_begins():
            self.report.loose(self.place(), f"the {kind} {name} is not closed", f"write END_{kind}")
        else:
            self.unexpected(f"a statement or END_{kind}")


__all__ = ["parse"]
