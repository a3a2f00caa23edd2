"""IEC 61131-10 XML turned into the elements of TC6, which is what is read; the other way is iec_write.py.

Types are iec_types.py, bodies iec_drawing.py. Source: from memory: IEC 61131-10:2019. Rule: an element that has no
counterpart is refused.
"""

from __future__ import annotations

from typing import Final

from simplant.logic.st.report import fail
from simplant.logic.xml.elements import Element, Piece
from simplant.logic.xml.iec_drawing import body_of
from simplant.logic.xml.iec_names import SECTIONS, UNITS
from simplant.logic.xml.iec_types import KEPT, data_type, same, section, type_of

_NOT_THERE: Final = ("NamespaceDecl", "Class", "Interface")


def from_iec(root: Element) -> Element:
    """Give a project of IEC 61131-10 as one of TC6; raises `Fault`."""
    types, pous, instances = (Element(name, {}, [], root.place) for name in ("dataTypes", "pous", "configurations"))
    for holder in root.each("Types"):
        for part in [e for space in holder.each("GlobalNamespace") for e in space.children]:
            if part.name in UNITS:
                pous.content.append(_unit(part))
            elif part.name == "DataTypeDecl":
                types.content.append(data_type(part))
            else:
                _refused(part)
    for part in [e for holder in root.each("Instances") for e in holder.children]:
        if part.name != "Configuration":
            _refused(part)
        instances.content.append(_configuration(part))
    children: list[Element | Piece] = [
        Element("types", {}, [types, pous], root.place), Element("instances", {}, [instances], root.place),
        *(same(e) for e in root.each("AddData")),
    ]  # fmt: skip
    return Element("project", dict(root.attributes), children, root.place)


def _refused(part: Element) -> None:
    why = "object orientation and namespaces are not read" if part.name in _NOT_THERE else ""
    fail(part.place, f"<{part.name}> stands here, which is not read", why, length=len(part.name) + 1)


# units


def _unit(node: Element) -> Element:
    interface: list[Element | Piece] = []
    content: list[Element | Piece] = []
    actions: list[Element | Piece] = []
    transitions: list[Element | Piece] = []
    parts = [e for each in node.children for e in (each.children if each.name == "Parameters" else [each])]
    for part in parts:
        match part.name:
            case "ResultType":
                interface.append(type_of(part, "returnType"))
            case "MainBody":
                content.append(body_of(part))
            case "Action":
                actions.append(Element("action", {"name": part.get("name")}, [body_of(part.part("Body"))], part.place))
            case "Transition":
                body = body_of(part.part("Body"))
                transitions.append(Element("transition", {"name": part.get("name")}, [body], part.place))
            case "AddData" | "Documentation":
                content.append(same(part))
            case name if name in SECTIONS:
                interface.append(section(part))
            case _:
                _refused(part)
    held: list[Element | Piece] = [
        Element("interface", {}, interface, node.place), Element("actions", {}, actions, node.place),
        Element("transitions", {}, transitions, node.place), *content,
    ]  # fmt: skip
    return Element("pou", {"name": node.get("name"), "pouType": UNITS[node.name]}, held, node.place)


# configurations


def _configuration(node: Element) -> Element:
    resources: list[Element | Piece] = []
    for part in node.children:
        if part.name == "Resource":
            resources.append(_resource(part))
        elif part.name in SECTIONS:
            resources.append(section(part))
        elif part.name in KEPT:
            resources.append(same(part))
        else:
            _refused(part)
    return Element("configuration", {"name": node.get("name")}, resources, node.place)


def _resource(node: Element) -> Element:
    tasks: dict[str, Element] = {}
    others: list[Element | Piece] = []
    for part in node.children:
        match part.name:
            case "Task":
                if part.get("name") in tasks:
                    fail(part.place, f"there are two tasks {part.get('name')!r}", length=len("<Task"))
                tasks[part.get("name")] = Element("task", dict(part.attributes), [], part.place)
            case "ProgramInstance":
                named = {"name": part.get("name"), "typeName": part.get("typeName")}
                made = Element("pouInstance", named, [], part.place)
                task = part.get("associatedTaskName")
                if task and task not in tasks:
                    fail(part.place, f"there is no task {task!r}", length=len("<ProgramInstance"))
                (tasks[task].content if task else others).append(made)
            case name if name in SECTIONS:
                others.append(section(part))
            case name if name in KEPT:
                others.append(same(part))
            case _:
                _refused(part)
    return Element("resource", {"name": node.get("name")}, [*tasks.values(), *others], node.place)


__all__ = ["from_iec"]
