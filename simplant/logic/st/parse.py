"""Reading a whole Structured Text source: its types, program units and configurations.

Rule: never an exception for what stands in the text: mistakes go into the report, and what could be read is given.
"""

from dataclasses import dataclass, field
from typing import Final

from simplant.errors import Place
from simplant.logic.sfc.read import chart_follows, read_chart
from simplant.logic.st.declared import (
    Body,
    Configuration,
    File,
    ProgramInstance,
    Task,
    TypeName,
    TypeSpec,
    Unit,
    Variable,
)
from simplant.logic.st.parse_declarations import SECTIONS, Declarations
from simplant.logic.st.report import Report, fail
from simplant.logic.st.tree import Argument, Expression

_TOP: Final = ("PROGRAM", "FUNCTION_BLOCK", "FUNCTION", "TYPE", "CONFIGURATION", "VAR_GLOBAL")
_OBJECTS: Final = ("CLASS", "INTERFACE", "METHOD", "PROPERTY", "NAMESPACE", "USING", "EXTENDS", "IMPLEMENTS")


@dataclass(slots=True)
class _Found:
    types: list[TypeName] = field(default_factory=list)
    units: list[Unit] = field(default_factory=list)
    variables: list[Variable] = field(default_factory=list)
    configurations: list[Configuration] = field(default_factory=list)


@dataclass(slots=True)
class _Resource:
    """What a configuration gathers from its resources."""

    variables: list[Variable] = field(default_factory=list)
    tasks: list[Task] = field(default_factory=list)
    programs: list[ProgramInstance] = field(default_factory=list)


def parse(report: Report) -> File:
    """Read a source.

    Args:
        report: the text; every mistake is noted there.

    Returns:
        What could be read.
    """
    found = _Found()
    reader = _Units(report)
    while reader.token.kind != "end":
        start = reader.position
        reader.depth, reader.in_case = 0, False
        reader.guarded(lambda: reader.top(found), *_TOP)
        if reader.position == start:
            reader.step()
    return File(tuple(found.types), tuple(found.units), tuple(found.variables), tuple(found.configurations))


class _Units(Declarations):
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
        elif self.at(*_OBJECTS):
            what = f"{self.token.text} begins an object-oriented unit"
            fail(self.place(), what, "object orientation is not read", "write a FUNCTION_BLOCK", len(self.token.text))
        elif not self.taken(";"):
            found.units.append(self.bare())

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
        variables = self.sections()
        body = self.any_body()
        while self.at(*SECTIONS) and not self.at("VAR_GLOBAL"):
            fail(self.place(), "a VAR section stands after statements", mend="declare before the first statement")
        if not self.taken(f"END_{kind}"):
            self._unclosed(kind, name.text)
        self.taken(";")
        return Unit(self.place(name), kind, name.text, result, variables, body)

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
        words = ("EXTENDS", "IMPLEMENTS", "ABSTRACT", "FINAL", "PUBLIC", "PRIVATE", "INTERNAL", "PROTECTED")
        if self.at(*words) and self.ahead().kind == "name" and self.ahead().text != ":":
            word = self.token.text
            fail(self.place(), f"{word} stands here", "object orientation is not read", "leave it out", len(word))

    def _result(self, kind: str, name: str) -> TypeSpec | None:
        if kind != "FUNCTION":
            return None
        if self.taken(":"):
            return self.type_spec()
        if self.at(*SECTIONS):
            return None
        self.unexpected(f"':' and the type of {name}")
        return None

    # configurations

    def configuration(self) -> Configuration:
        """Read a CONFIGURATION after its first word."""
        name = self.want_name("the name of the configuration")
        gathered = _Resource()
        while self.token.kind != "end" and not self.at("END_CONFIGURATION"):
            start = self.position
            self.guarded(lambda: self._part(gathered), "END_CONFIGURATION", "RESOURCE", "END_RESOURCE", "PROGRAM")
            if self.position == start:
                self.step()
        if not self.taken("END_CONFIGURATION"):
            self.report.loose(self.place(), f"the CONFIGURATION {name.text} is not closed", "write END_CONFIGURATION")
        self.taken(";")
        parts = (tuple(gathered.variables), tuple(gathered.tasks), tuple(gathered.programs))
        return Configuration(self.place(name), name.text, *parts)

    def _part(self, gathered: _Resource) -> None:
        """Read one thing of a configuration or resource."""
        if self.at(*SECTIONS):
            section = self.section()
            gathered.variables += [v for v in section if v.section.word == "VAR_GLOBAL"]
        elif self.taken("RESOURCE"):
            self.want_name("the name of the resource")
            self.want("ON")
            self.want_name("the type of the resource")
        elif self.taken("TASK"):
            gathered.tasks.append(self.task())
        elif self.taken("PROGRAM"):
            gathered.programs.append(self.program_instance())
        elif not self.taken("END_RESOURCE", ";"):
            self.unexpected("VAR_GLOBAL, RESOURCE, TASK, PROGRAM or END_CONFIGURATION")

    def task(self) -> Task:
        """Read a TASK after its first word."""
        name = self.want_name("the name of the task")
        settings: list[tuple[Place, str, Expression]] = []
        self.want("(")
        while not self.at(")"):
            word = self.want_name("SINGLE, INTERVAL or PRIORITY")
            self.want(":=")
            settings.append((self.place(word), word.word, self.expression()))
            if not self.taken(","):
                break
        self.want(")", "or ','")
        self._end()
        return Task(self.place(name), name.text, tuple(settings))

    def program_instance(self) -> ProgramInstance:
        """Read `PROGRAM name WITH task : type (...);` after its first word."""
        retain = self.taken("RETAIN")
        self.taken("NON_RETAIN")
        name = self.want_name("the name of the program instance")
        task = self.want_name("the name of a task").text if self.taken("WITH") else ""
        self.want(":", "and the type of the program")
        type_ = self.want_name("the type of the program")
        arguments: tuple[Argument, ...] = self.arguments() if self.at("(") else ()
        self._end()
        return ProgramInstance(self.place(name), name.text, task, type_.text, arguments, retain)

    def _end(self) -> None:
        if not self.taken(";"):
            place = self.report.place(self.last.at + len(self.last.text))
            self.report.error(place, f"';' is missing after {self.last.text!r}")


__all__ = ["parse"]
