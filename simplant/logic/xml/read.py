"""Reading a whole file of TC6 or IEC 61131-10 XML: types, program units, global variables, configurations.

IEC 61131-10 is first turned into the elements of TC6 (iec.py). Source: from memory: TC6 XML formats for IEC 61131-3,
version 2.01. Rule: every mistake goes into the report; what would change what the program does is never passed over.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from simplant.errors import Place
from simplant.logic.st.declared import (
    Body,
    Configuration,
    File,
    ProgramInstance,
    Setting,
    Task,
    TypeName,
    Unit,
    Variable,
)
from simplant.logic.st.report import Report, fail
from simplant.logic.st.tree import Expression
from simplant.logic.xml.elements import Element, read_elements
from simplant.logic.xml.iec import from_iec
from simplant.logic.xml.inside import attribute, attribute_time, statements
from simplant.logic.xml.read_graph import read_graph
from simplant.logic.xml.read_sfc import read_chart
from simplant.logic.xml.read_types import PASSED_OVER, SECTIONS, SILENT, Types, unknown

_KINDS: Final = {"program": "PROGRAM", "functionBlock": "FUNCTION_BLOCK", "function": "FUNCTION"}
_BODIES: Final = ("ST", "LD", "FBD", "SFC", "IL")
_OF_PROGRAMS: Final = {"pou", "body", "globalVars", "dataType", "task", "pouInstance", "resource", "method"}
"""Elements that say what a program does, wherever they stand."""


def read_xml(report: Report) -> File:
    """Read a file.

    Args:
        report: its text; every mistake is noted there.

    Returns:
        What could be read.
    """
    root = report.guarded(_root, report)
    reader = XmlReader(report)
    return File((), (), (), ()) if root is None else reader.file(root)


def _root(report: Report) -> Element:
    root = read_elements(report)
    if root.name == "Project":
        return from_iec(root)
    if root.name != "project":
        what = f"<{root.name}> is no project of IEC 61131-10 or TC6 XML"
        fail(root.place, what, "the outermost element is <Project> or <project>", length=len(root.name) + 1)
    return root


@dataclass(slots=True)
class _Found:
    """What a configuration gathers from its resources."""

    variables: list[Variable] = field(default_factory=list)
    tasks: list[Task] = field(default_factory=list)
    programs: list[ProgramInstance] = field(default_factory=list)
    settings: list[Setting] = field(default_factory=list)


class XmlReader(Types):
    """Reads one file."""

    def file(self, root: Element) -> File:
        """Read what the outermost element holds."""
        types: list[TypeName] = []
        units: list[Unit] = []
        configurations: list[Configuration] = []
        self._additional(root)
        for element in (each for holder in root.each("types", "instances") for each in holder.children):
            match element.name:
                case "dataTypes":
                    rows = [self.report.guarded(self.type_name, e) for e in element.each("dataType")]
                    types += [row for row in rows if row is not None]
                case "pous":
                    read = [self.report.guarded(self.unit, e) for e in element.each("pou")]
                    units += [unit for unit in read if unit is not None]
                case "configurations":
                    found = [self.report.guarded(self.configuration, e) for e in element.children]
                    configurations += [each for each in found if each is not None]
                case name:
                    if name not in SILENT:
                        self.report.guarded(unknown, element, "a project")
        return File(tuple(types), tuple(units), (), tuple(configurations))

    def _additional(self, root: Element) -> None:
        """Tell what additional data there is, once for each name, and refuse what belongs to the program."""
        seen: dict[str, list[Place]] = {}
        for holder in [e for e in root.within() if e.name == "addData"]:
            for data in holder.children:
                parts = [e for e in data.within() if e.name in _OF_PROGRAMS and (e.name != "body" or e.each(*_BODIES))]
                name = data.get("name") or data.name
                if parts:
                    what, why = f"the additional data {name!r} hold <{parts[0].name}>", "they are not read"
                    mend, length = "export the program without them", len(parts[0].name) + 1
                    self.report.error(parts[0].place, what, why, mend, length)
                seen.setdefault(name, []).append(data.place)
        for name, places in seen.items():
            often = f" at {len(places)} places" if len(places) > 1 else ""
            self.report.warn(places[0], f"the file holds additional data {name!r}{often}, which is not read")

    # program units

    def unit(self, node: Element) -> Unit:
        """Read a program unit."""
        name, kind = node.name_in("name"), node.get("pouType")
        if kind not in _KINDS:
            what, why = f"{name} is a {kind or 'pou without a pouType'}", "it is no program, function block or function"
            fail(node.place, what, why, length=len("<pou"))
        interface = node.child("interface") or Element("interface", place=node.place)
        variables: list[Variable] = []
        result = None
        for part in interface.children:
            if part.name == "returnType":
                result = self.type_spec(part)
            else:
                variables += self._variables(part)
        for part in node.children:
            if part.name not in ("interface", "body", "actions", "transitions", *SILENT):
                self.report.guarded(unknown, part, f"the pou {name}")
        return Unit(node.place, _KINDS[kind], name, result, tuple(variables), self._body_of(node))

    def _variables(self, part: Element) -> tuple[Variable, ...]:
        if part.name in SECTIONS:
            return self.section(part)
        if part.name in PASSED_OVER:
            self.report.warn(part.place, f"<{part.name}> is passed over", "it concerns communication")
        elif part.name not in SILENT:
            self.report.guarded(unknown, part, "an interface")
        return ()

    def _body_of(self, node: Element) -> Body:
        bodies = node.each("body")
        if not bodies:
            return ()
        if bodies[0].child("SFC") is None:
            for named in (e for holder in node.each("actions", "transitions") for e in holder.children):
                what = f"the {named.name} {named.get('name')} stands beside a body that is no chart"
                self.report.error(named.place, what, "who would do it is not said", length=len(named.name) + 1)
        if len(bodies) > 1:
            return self.report.guarded(self._sheets, bodies, node) or ()
        return self.report.guarded(self.body, bodies[0], node) or ()

    def _sheets(self, bodies: list[Element], pou: Element) -> Body:
        """Read several bodies: statements, or drawings, that run in the order in which they stand."""
        kinds = {e.name for each in bodies for e in each.each(*_BODIES)}
        if kinds == {"ST"}:
            read = [self.body(each, pou) for each in bodies]
            found: Body = tuple(node for body in read if isinstance(body, tuple) for node in body)
        elif kinds <= {"LD", "FBD"}:
            drawings = [e for each in bodies for e in each.each("LD", "FBD")]
            found = read_graph(self.report, *drawings)
        else:
            why = "only statements, or only drawings, can be joined to one"
            fail(bodies[1].place, f"the pou has bodies in {' and '.join(sorted(kinds))}", why, length=len("<body"))
        self.report.warn(bodies[1].place, "the pou has several bodies", "they run in the order in which they stand")
        return found

    def body(self, node: Element, pou: Element) -> Body:
        """Read a body in any language; `pou` holds the actions and transitions that it names."""
        found = node.each(*_BODIES)
        if len(found) != 1:
            fail(node.place, f"a body holds {len(found)} of {', '.join(_BODIES)}", length=len("<body"))
        match found[0].name:
            case "ST":
                return statements(self.report, found[0])
            case "IL":
                fail(found[0].place, "the body is in the list language", "it is not read", "write it as ST", len("<IL"))
            case "SFC":
                return read_chart(self, found[0], pou)
            case _:
                return read_graph(self.report, found[0])

    # configurations

    def configuration(self, node: Element) -> Configuration:
        """Read a configuration with what its resources hold."""
        if node.name != "configuration":
            unknown(node, "the configurations")
        found = _Found()
        for part in node.children:
            if part.name == "resource":
                for inner in part.children:
                    self._part(inner, part.get("name"), found)
            else:
                self._part(part, "", found)
        name = node.get("name") or "configuration"
        parts = (found.variables, found.tasks, found.programs, found.settings)
        return Configuration(node.place, name, *map(tuple, parts))  # type: ignore[arg-type]

    def _part(self, part: Element, resource: str, found: _Found) -> None:
        """Read one thing of a configuration or resource."""
        match part.name:
            case "task":
                read = self.report.guarded(self._task, part, resource)
                found.tasks += [read] if read else []
                found.programs += self._instances(part.each("pouInstance"), part.get("name"), resource)
            case "pouInstance":
                found.programs += self._instances([part], "", resource)
            case "configVars":
                rows = [self.report.guarded(self._setting_of, e) for e in part.children]
                found.settings += [row for row in rows if row is not None]
            case _:
                found.variables += self._variables(part)

    def _setting_of(self, node: Element) -> Setting:
        """Read an address or first value that a variable in a program instance is given from outside."""
        if node.name != "configVariable":
            unknown(node, "<configVars>")
        path = tuple(word.strip() for word in node.need("instancePathAndName").split("."))
        return Setting(node.place, path, self.address(node), self.type_spec(node.part("type")), self.start(node))

    def _instances(self, nodes: list[Element], task: str, resource: str) -> list[ProgramInstance]:
        found = []
        for node in nodes:
            read = self.report.guarded(self._instance, node, task, resource)
            found += [read] if read else []
        return found

    def _instance(self, node: Element, task: str, resource: str) -> ProgramInstance:
        kind = "type" if node.get("type") and not node.get("typeName") else "typeName"  # the first, of TC6 1.01
        return ProgramInstance(node.place, node.name_in("name"), task, node.name_in(kind), resource=resource)

    def _task(self, node: Element, resource: str) -> Task:
        given = [word for word in ("single", "interval", "priority") if node.get(word)]
        settings = tuple((node.place, word.upper(), self._setting(node, word)) for word in given)
        return Task(node.place, node.name_in("name"), settings, resource)

    def _setting(self, node: Element, word: str) -> Expression:
        """Read a setting of a task."""
        return (attribute_time if word == "interval" else attribute)(self.report, node, word)


__all__ = ["read_xml"]
