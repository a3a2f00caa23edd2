"""Writing a whole file as XML: TC6 2.01, or IEC 61131-10 (iec_write.py).

Source: from memory: TC6 XML formats for IEC 61131-3, version 2.01. Rule: what is read back equals what was written, in
its plain form (plain.py); what the scheme cannot hold is refused with the reason, never dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final, TypeVar

from simplant.errors import ProgramError, UsageError
from simplant.logic.fbd.from_ladder import InOuts, drawn_ladder
from simplant.logic.fbd.layout import drawn_graph
from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.tree import Ladder
from simplant.logic.sfc.tree import Action, Chart
from simplant.logic.st.declared import AccessPath, Body, Configuration, File, ProgramInstance, Setting, Task, Unit
from simplant.logic.st.printed_expressions import printed_expression
from simplant.logic.st.printed_statements import Notes, printed_statements
from simplant.logic.st.report import Fault, fail
from simplant.logic.xml.elements import Element, text_element, write_elements
from simplant.logic.xml.iec_write import to_iec
from simplant.logic.xml.plain import in_outs_of, plain_form
from simplant.logic.xml.write_graph import body_element, is_ladder
from simplant.logic.xml.write_sfc import chart_element
from simplant.logic.xml.write_types import (
    element,
    formatted,
    initial_element,
    remark,
    section_elements,
    type_element,
    type_name_element,
)
from simplant.version import VERSION

EDITIONS: Final[dict[str, Callable[[Element], Element]]] = {"tc6": lambda root: root, "iec": to_iec}
"""The schemes that can be written: what turns the elements of TC6 into theirs."""
SINCE: Final = "2026-01-01T00:00:00"
"""When a file is said to be made, unless it is given: the same program gives the same text on every day."""
_SPACE: Final = "http://www.plcopen.org/xml/tc6_0201"
_T = TypeVar("_T")
_KINDS: Final = {"PROGRAM": "program", "FUNCTION_BLOCK": "functionBlock", "FUNCTION": "function"}


def write_xml(
    file: File, name: str, *, edition: str = "tc6", head: str = "", notes: Notes | None = None, created: str = SINCE
) -> str:
    """Write a file as XML.

    Args:
        file: bodies in any form: statements as ST, rungs as LD, graphs as FBD (or LD), charts as SFC.
        name: of the project.
        edition: `tc6` (2.01) or `iec` (IEC 61131-10).
        head: a remark about the whole.
        notes: comments that stand before statements.
        created: when, as ISO 8601 writes it.

    Raises:
        UsageError: there is no such edition.
        ProgramError: something in the file cannot be said in this scheme; all such things are told.
    """
    if edition not in EDITIONS:
        raise UsageError(f"there is no edition {edition!r}", mend=f"take one of: {', '.join(EDITIONS)}")
    writer = _Writer(notes or {}, in_outs_of(file))
    root = writer.project(plain_form(file), name, head, created)
    text = writer.tried(lambda: write_elements(EDITIONS[edition](root)))
    if writer.faults or text is None:
        first = writer.faults[0].mistake
        more = [f.mistake for f in writer.faults[1:]]
        why = "; ".join([first.why, *(f"{m.place}: {m.what}: {m.why}" for m in more)]).lstrip("; ")
        raise ProgramError(first.what, why, first.mend, first.place)
    return text


class _Writer:
    """Writes one file; what cannot be said is gathered."""

    def __init__(self, notes: Notes, in_outs: InOuts) -> None:
        self.notes, self.in_outs = notes, in_outs
        self.faults: list[Fault] = []

    def tried(self, make: Callable[[], _T]) -> _T | None:
        """Make something; what cannot be said is noted."""
        try:
            return make()
        except Fault as fault:
            self.faults.append(fault)
            return None

    def each(self, makers: Iterator[Callable[[], Element]]) -> list[Element]:
        """Make elements; one that cannot be said is noted and left out."""
        found = [self.tried(make) for make in makers]
        return [made for made in found if made is not None]

    def project(self, file: File, name: str, head: str, created: str) -> Element:
        """Write everything."""
        scaling = [element(kind, element("scaling", x="1", y="1")) for kind in ("fbd", "ld", "sfc")]
        words = [text_element("Comment", head)] if head else []
        types = self.each((lambda r=row: type_name_element(r, self.notes)) for row in file.types)  # type: ignore[misc]
        pous = self.each((lambda u=unit: self.unit(u)) for unit in file.units)  # type: ignore[misc]
        runs = self.each((lambda c=each: self.configuration(c)) for each in file.configurations)  # type: ignore[misc]
        return element(
            "project",
            element("fileHeader", companyName="-", productName="simplant", productVersion=VERSION,
                    creationDateTime=created),
            element("contentHeader", *words, element("coordinateInfo", *scaling), name=name),
            element("types", element("dataTypes", *types), element("pous", *pous)),
            element("instances", element("configurations", *runs)),
            xmlns=_SPACE,
        )  # fmt: skip

    # program units

    def unit(self, unit: Unit) -> Element:
        """Write a program unit."""
        _no_accesses(unit.accesses)
        result = [element("returnType", type_element(unit.result))] if unit.result is not None else []
        interface = element("interface", *result, *section_elements(unit.variables, self.notes))
        actions = unit.body.actions if isinstance(unit.body, Chart) else ()
        made = self.each((lambda a=action: self._action(a)) for action in actions)  # type: ignore[misc]
        held = [element("actions", *made)] if made else []
        body = element("body", self.body(unit.body))
        words = remark(unit.place, self.notes)
        return element("pou", interface, *held, body, *words, name=unit.name, pouType=_KINDS[unit.kind])

    def _action(self, action: Action) -> Element:
        name, body = action.name, action.body
        if isinstance(body, Chart) and body.actions:
            fail(body.place, f"the action {name} is a chart with actions of its own", "the scheme has no room for them")
        return element("action", element("body", self.body(body)), *remark(action.place, self.notes), name=name)

    def body(self, body: Body) -> Element:
        """Write a body in its own language."""
        match body:
            case Ladder():
                return body_element(drawn_ladder(body, self.in_outs), ladder=True)
            case Graph():
                return body_element(drawn_graph(body), ladder=is_ladder(body.nodes))
            case Chart():
                return chart_element(body, self.notes)
            case _:
                return formatted("ST", "\n".join(printed_statements(body, notes=self.notes)))

    # configurations

    def configuration(self, tree: Configuration) -> Element:
        """Write a configuration: its resources, the global variables around them, what it gives to programs."""
        _no_accesses(tree.accesses)
        names = dict.fromkeys([*(t.resource for t in tree.tasks), *(p.resource for p in tree.programs)])
        resources = [_resource(tree, name) for name in names or ("resource",)]
        rows = [_setting(each) for each in tree.settings]
        settings = [element("configVars", *rows)] if rows else []
        return element(
            "configuration", *resources, *section_elements(tree.variables, self.notes), *settings, name=tree.name
        )


def _resource(tree: Configuration, name: str) -> Element:
    tasks = [task for task in tree.tasks if task.resource == name]
    names = [task.name.upper() for task in tasks]
    if len(set(names)) != len(names):
        fail(tree.place, f"two tasks of {tree.name} have one name", "which programs each of them runs is not clear")
    programs = [program for program in tree.programs if program.resource == name]
    for program in programs:
        if program.task and program.task.upper() not in names:
            fail(program.place, f"there is no task {program.task!r} to run {program.name}")
    made = [_task(task, programs) for task in tasks]
    return element("resource", *made, *(_instance(p) for p in programs if not p.task), name=name)


def _task(task: Task, programs: list[ProgramInstance]) -> Element:
    settings = {word.lower(): printed_expression(value) for _, word, value in task.settings}
    if len(settings) != len(task.settings):
        fail(task.place, f"the task {task.name} is given one setting twice")
    own = [_instance(p) for p in programs if p.task.upper() == task.name.upper()]
    return element("task", *own, name=task.name, **settings)


def _no_accesses(rows: tuple[AccessPath, ...]) -> None:
    for row in rows[:1]:
        fail(row.place, "a VAR_ACCESS is declared", "paths of access are not written", "leave it out")


def _setting(row: Setting) -> Element:
    address = {"address": row.address} if row.address else {}
    inner = [element("type", type_element(row.type)), *initial_element(row.initial)]
    return element("configVariable", *inner, instancePathAndName=".".join(row.path), **address)


def _instance(program: ProgramInstance) -> Element:
    if program.arguments or program.retain or program.blocks:
        what = f"the program {program.name} is {'given values' if program.arguments else 'RETAIN'} where it is declared"
        fail(program.place, what, "the scheme has no word for it", "do so in the program itself")
    return element("pouInstance", name=program.name, typeName=program.type)


__all__ = ["EDITIONS", "write_xml"]
