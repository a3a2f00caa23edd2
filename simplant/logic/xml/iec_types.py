"""Types, values and variables of IEC 61131-10 turned into the elements of TC6.

Source: from memory: IEC 61131-10:2019. Rule: a kind of type that has no counterpart is refused.
"""

from __future__ import annotations

from simplant.logic.st.report import fail
from simplant.logic.xml.elements import Element, Piece
from simplant.logic.xml.iec_names import ELEMENTARY, SECTIONS

KEPT = ("AddData", "Documentation")


def same(element: Element) -> Element:
    """Give additional data and documentation with the names that TC6 has."""
    inner = [same(e) if isinstance(e, Element) else e for e in element.content]
    return Element(lowered(element.name), dict(element.attributes), list(inner), element.place)


def lowered(name: str) -> str:
    """Give a name with a small first letter."""
    return name[:1].lower() + name[1:]


def data_type(node: Element) -> Element:
    """Give a data type with its name."""
    content: list[Element | Piece] = [Element("baseType", {}, [_spec(node.part("UserDefinedTypeSpec"))], node.place)]
    content += [_initial(e) for e in node.each("InitialValue")] + [same(e) for e in node.each(*KEPT)]
    return Element("dataType", {"name": node.get("name")}, content, node.place)


def type_of(holder: Element, name: str) -> Element:
    """Give what names or spells a type out, as an element `name`."""
    for each in holder.children:
        if each.name == "TypeName":
            return Element(name, {}, [_named(each)], holder.place)
        if each.name == "InstantlyDefinedType":
            return Element(name, {}, [_spec(each)], holder.place)
    fail(holder.place, f"<{holder.name}> names no type", length=len(holder.name) + 1)


def _named(each: Element) -> Element:
    word = "".join(p.text for p in each.pieces()).strip()
    if word.upper() in ELEMENTARY:
        return Element(word.upper(), {}, [], each.place)
    if word.upper() in ("STRING", "WSTRING"):
        return Element(word.lower(), {}, [], each.place)
    return Element("derived", {"name": word}, [], each.place)


def _spec(node: Element) -> Element:
    match node.get("type"):
        case "StructTypeSpec":
            rows: list[Element | Piece] = [_variable(e) for e in node.each("Member")]
            return Element("struct", {}, rows, node.place)
        case "EnumTypeSpec" | "EnumTypeWithNamedValueSpec":
            return _enumeration(node)
        case "ArrayTypeSpec":
            ranges = [_range(e.part("IndexRange"), "dimension") for e in node.each("DimensionSpec")]
            return Element("array", {}, [*ranges, type_of(node.part("BaseType"), "baseType")], node.place)
        case "SubrangeTypeSpec":
            base = type_of(node.part("BaseType"), "baseType")
            return Element("subrangeSigned", {}, [_range(node.part("Range"), "range"), base], node.place)
        case "StringTypeSpec" | "WStringTypeSpec" as kind:
            return Element(kind[: -len("TypeSpec")].lower(), {"length": node.get("maxLength")}, [], node.place)
        case "DirectlyDerivedTypeSpec":
            return type_of(node.part("BaseType"), "baseType").children[0]
        case other:
            fail(node.place, f"a type is a {other or 'thing of no kind'}", "it is not read", length=len(node.name) + 1)


def _enumeration(node: Element) -> Element:
    values: list[Element | Piece] = []
    for each in node.each("Enumerator"):
        value = {"value": each.get("value")} if each.get("value") else {}
        values.append(Element("value", {"name": each.get("name"), **value}, [], each.place))
    base = [type_of(e, "baseType") for e in node.each("BaseType")]
    return Element("enum", {}, [Element("values", {}, values, node.place), *base], node.place)


def _range(node: Element, name: str) -> Element:
    return Element(name, {"lower": node.get("lower"), "upper": node.get("upper")}, [], node.place)


def _initial(node: Element) -> Element:
    return Element("initialValue", {}, [_value(e) for e in node.children], node.place)


def _value(node: Element) -> Element:
    return Element(lowered(node.name), dict(node.attributes), [_value(e) for e in node.children], node.place)


def _variable(node: Element) -> Element:
    attributes = {"name": node.get("name")}
    for each in node.each("Address"):
        attributes["address"] = each.get("address")
    content: list[Element | Piece] = [type_of(node.part("Type"), "type")]
    content += [_initial(e) for e in node.each("InitialValue")] + [same(e) for e in node.each(*KEPT)]
    return Element("variable", attributes, content, node.place)


def _setting(node: Element) -> Element:
    content: list[Element | Piece] = [type_of(node.part("Type"), "type")]
    return Element(
        "configVariable", dict(node.attributes), [*content, *map(_initial, node.each("InitialValue"))], node.place
    )


def section(node: Element) -> Element:
    """Give a list of variables."""
    marks = {k: v for k, v in node.attributes.items() if k in ("constant", "retain")}
    readers = {"Variable": _variable, "ConfigVariable": _setting}
    rows: list[Element | Piece] = [readers.get(e.name, same)(e) for e in node.children]
    return Element(SECTIONS[node.name], marks, rows, node.place)


__all__ = ["KEPT", "data_type", "lowered", "same", "section", "type_of"]
