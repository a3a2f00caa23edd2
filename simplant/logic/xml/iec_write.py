"""The elements of TC6 turned into those of IEC 61131-10; the other way is iec.py.

Source: from memory: IEC 61131-10:2019. Rule: the order of elements is that of the scheme, as far as it is remembered;
an object that has no counterpart is refused.
"""

from __future__ import annotations

from typing import Final

from simplant.logic.fbd.order import joined_by
from simplant.logic.st.report import fail
from simplant.logic.xml.elements import Element, Piece, text_element
from simplant.logic.xml.iec_names import ATTRIBUTES, OBJECTS, SECTIONS, UNITS
from simplant.logic.xml.iec_write_types import (
    data_type,
    initial,
    raised,
    remarks,
    section_of,
    simple_text,
    type_of,
    typed,
)
from simplant.logic.xml.inside import plain
from simplant.logic.xml.write_types import element

_SPACE: Final = "www.iec.ch/public/TC65SC65BWG7TF10"
_XSI: Final = "http://www.w3.org/2001/XMLSchema-instance"
_KINDS: Final = {name: kind for kind, name in UNITS.items()}
_LISTS: Final = {name: word for word, name in SECTIONS.items()}
_NAMES: Final = {name: kind for kind, name in OBJECTS.items()}
_RENAMED: Final = {name: word for word, name in ATTRIBUTES.items() if name}
_PARAMETERS: Final = ("inputVars", "outputVars", "inOutVars")
_LADDER: Final = ("leftPowerRail", "rightPowerRail", "contact", "coil")
_COMMON: Final = ("comment", "connector", "continuation")
_PINS: Final = {
    "inputVariables": "InputVariable",
    "outputVariables": "OutputVariable",
    "inOutVariables": "InOutVariable",
}


def to_iec(root: Element) -> Element:
    """Give a project of TC6 as one of IEC 61131-10; raises `Fault`."""
    header, content = root.each("fileHeader")[0], root.each("contentHeader")[0]
    created = header.attributes["creationDateTime"]
    about = {k: v for k, v in header.attributes.items() if k != "creationDateTime"}
    scaling = [Element(f"{kind}Scaling", {"x": "1", "y": "1"}) for kind in ("Fbd", "Ld", "Sfc")]
    remark = [simple_text("Comment", plain(e)) for e in content.each("Comment")]
    types = [data_type(e) for e in _inner(root, "types", "dataTypes")]
    units = [_unit(e) for e in _inner(root, "types", "pous")]
    runs = [_configuration(e) for e in _inner(root, "instances", "configurations")]
    made = element(
        "Project", Element("FileHeader", about),
        element("ContentHeader", *remark, element("CoordinateInfo", *scaling), name=content.get("name"),
                creationDateTime=created),
        element("Types", element("GlobalNamespace", *types, *units)), element("Instances", *runs),
        xmlns=_SPACE, schemaVersion="1.0",
    )  # fmt: skip
    made.attributes["xmlns:xsi"] = _XSI
    _numbered(made)
    return made


def _inner(root: Element, *names: str) -> list[Element]:
    held = [root]
    for name in names:
        held = [each for holder in held for each in holder.each(name)]
    return [each for holder in held for each in holder.children]


# units


def _unit(node: Element) -> Element:
    interface = node.each("interface")[0]
    result = [element("ResultType", type_of(e.children[0])) for e in interface.each("returnType")]
    lists = [e for e in interface.children if e.name != "returnType"]
    parameters = _merged([section_of(e) for e in lists if e.name in _PARAMETERS])
    parts = [element("Parameters", *parameters)] if parameters else []
    parts += _merged([section_of(e) for e in lists if e.name not in _PARAMETERS])
    actions = [element("Action", *remarks(e), element("Body", *_contents(e.children[0])), name=e.get("name"))
               for holder in node.each("actions") for e in holder.children]  # fmt: skip
    body = element("MainBody", *_contents(node.each("body")[0]))
    inner = (*remarks(node), *result, *parts, *actions, body)
    return element(_KINDS[node.get("pouType")], *inner, name=node.get("name"))


def _merged(lists: list[Element]) -> list[Element]:
    """Join lists of one kind that have come to stand one behind the other."""
    found: list[Element] = []
    for each in lists:
        if found and (found[-1].name, found[-1].attributes) == (each.name, each.attributes):
            found[-1].content += each.content
        else:
            found.append(each)
    return found


def _contents(node: Element) -> list[Element]:
    return [_content(each) for each in node.children]


def _content(node: Element) -> Element:
    if node.name == "ST":
        return typed("BodyContent", "ST", text_element("ST", "".join(p.text for p in node.pieces())))
    if node.name == "SFC":
        return typed("BodyContent", "SFC", *(_object(e) for e in node.children))
    holder = "Rung" if node.name == "LD" else "Network"
    networks: list[Element] = []
    waiting: list[Element] = []
    label = ""
    for group in _networks(node.children):
        if group[0].name == "comment":
            waiting += group
        elif group[0].name == "label":
            if label:
                networks.append(_network(holder, len(networks) + 1, label, waiting))
                waiting = []
            label = group[0].get("label")
        else:
            networks.append(_network(holder, len(networks) + 1, label, [*waiting, *group]))
            waiting, label = [], ""
    if waiting or label:
        networks.append(_network(holder, len(networks) + 1, label, waiting))
    return typed("BodyContent", node.name, *networks)


def _network(holder: str, number: int, label: str, objects: list[Element]) -> Element:
    named = {"label": label} if label else {}
    return element(holder, *(_object(e) for e in objects), evaluationOrder=str(number), **named)


def _networks(objects: list[Element]) -> list[list[Element]]:
    """Give objects by networks, in drawn order."""
    wires = ((each, wire) for each in objects for wire in each.within() if wire.name == "connection")
    ends = ((each.get("localId"), wire.get("refLocalId")) for each, wire in wires)
    root = joined_by((each.get("localId") for each in objects), ends)
    found: dict[str, list[Element]] = {}
    for each in objects:
        found.setdefault(root[each.get("localId")], []).append(each)
    return list(found.values())


def _object(node: Element) -> Element:
    """Give an object of a drawing."""
    if node.name not in _NAMES:
        what = f"a <{node.name}> is drawn"
        fail(node.place, what, "IEC 61131-10 is not known to have an object for it", "write it as TC6")
    kind = "Ld" if node.name in _LADDER else "Common" if node.name in _COMMON else "Fbd"
    kind = "Sfc" if node.name in _SFC else kind
    attributes: dict[str, str] = {}
    for key, value in node.attributes.items():
        if key not in ("localId", "width", "height"):
            attributes[_renamed(key, node.name)] = value
    for each in node.each("expression", "variable"):
        attributes["operand" if each.name == "variable" else "identifier"] = plain(each)
    number = node.get("localId")
    inner = remarks(node)
    inner += [_part(e, number) for e in node.children if e.name not in ("expression", "variable", "documentation")]
    return typed(f"{kind}Object", _NAMES[node.name], *inner, **attributes)


_SFC: Final = (
    "step", "jumpStep", "transition", "selectionDivergence", "selectionConvergence", "simultaneousDivergence",
    "simultaneousConvergence", "actionBlock",
)  # fmt: skip


def _renamed(key: str, name: str) -> str:
    if key == "label":
        return "targetLabel" if name == "jump" else key
    return _RENAMED.get(key, key)


def _part(node: Element, number: str) -> Element:
    """Give what stands in an object; `number` is that of the object."""
    match node.name:
        case "position":
            return element("RelPosition", **dict(node.attributes))
        case "inputVariables" | "outputVariables" | "inOutVariables":
            pins = [_pin(e, _PINS[node.name], number) for e in node.children]
            return element(raised(node.name), *pins)
        case "connection":
            return element(
                "Connection", refConnectionPointOutId=_end(node.get("refLocalId"), node.get("formalParameter"))
            )
        case "content":
            return simple_text("Content", plain(node))
        case "inline":
            return element("Inline", *_contents(node), name=node.get("name"))
        case _:
            attributes = {k: v for k, v in node.attributes.items() if k not in ("formalParameter", "localId")}
            if node.name.startswith("connectionPointOut"):
                attributes["connectionPointOutId"] = _end(number, node.get("formalParameter"))
            made = element(raised(node.name), *(_part(e, number) for e in node.children), **attributes)
            made.content += [Piece(node.place, p.text) for p in node.pieces()] if not made.content else []
            return made


def _pin(node: Element, name: str, number: str) -> Element:
    own = {k: v for k, v in node.attributes.items() if k != "formalParameter"}
    pin = node.get("formalParameter")
    inner = [_part(e, number) for e in node.children]
    for each in inner:
        if each.name == "ConnectionPointOut":
            each.attributes["connectionPointOutId"] = _end(number, pin)
    return element(name, *inner, parameterName=pin, **own)


def _end(number: str, pin: str) -> str:
    """Give the name of an output: that of its object, with the pin if it has one."""
    return f"{number}.{pin}" if pin else number


def _numbered(root: Element) -> None:
    """Give the outputs numbers instead of names: each one of its own in the whole file."""
    last = 0
    for body in [e for e in root.within() if e.name in ("MainBody", "Body")]:
        numbers: dict[str, str] = {}
        for word in ("connectionPointOutId", "refConnectionPointOutId"):
            for each in [e for e in body.within() if word in e.attributes]:
                name = each.attributes[word]
                if name not in numbers:
                    last += 1
                    numbers[name] = str(last)
                each.attributes[word] = numbers[name]


# configurations


def _configuration(node: Element) -> Element:
    shared = [section_of(e) for e in node.children if e.name in _LISTS and e.name != "configVars"]
    shared += [element("ConfigVars", *(_setting(row) for row in e.children)) for e in node.each("configVars")]
    resources = [_resource(e) for e in node.each("resource")]
    return element("Configuration", *shared, *resources, name=node.get("name"))


def _setting(node: Element) -> Element:
    kind = element("Type", type_of(node.each("type")[0].children[0]))
    inner = [initial(e) for e in node.each("initialValue")]
    return element("ConfigVariable", kind, *inner, **dict(node.attributes))


def _resource(node: Element) -> Element:
    tasks = [Element("Task", dict(e.attributes)) for e in node.each("task")]
    programs = [element("ProgramInstance", **dict(p.attributes), associatedTaskName=e.get("name"))
                for e in node.each("task") for p in e.children]  # fmt: skip
    loose = [element("ProgramInstance", **dict(p.attributes)) for p in node.each("pouInstance")]
    return element("Resource", *tasks, *programs, *loose, name=node.get("name"), resourceTypeName="PLC")


__all__ = ["to_iec"]
