"""Types, values and variables of TC6 turned into those of IEC 61131-10; the other way is iec_types.py.

Source: from memory: IEC 61131-10:2019. Rule: what stands in one element there stands in one here.
"""

from __future__ import annotations

from typing import Final

from simplant.logic.xml.elements import Element, text_element
from simplant.logic.xml.iec_names import ELEMENTARY, SECTIONS
from simplant.logic.xml.inside import plain
from simplant.logic.xml.write_types import element

_LISTS: Final = {name: word for word, name in SECTIONS.items()}


def typed(name: str, kind: str, /, *content: Element, **attributes: str) -> Element:
    """Make an element with a kind."""
    made = element(name, *content, **attributes)
    made.attributes = {"xsi:type": kind, **made.attributes}
    return made


def data_type(node: Element) -> Element:
    """Give a data type with its name."""
    base = node.each("baseType")[0].children[0]
    inner = [initial(e) for e in node.each("initialValue")]
    return element("DataTypeDecl", *remarks(node), _spec("UserDefinedTypeSpec", base), *inner, name=node.get("name"))


def remarks(node: Element) -> list[Element]:
    """Give what is said about a thing."""
    return [simple_text("Documentation", plain(e)) for e in node.each("documentation")]


def simple_text(name: str, text: str) -> Element:
    """Give a text for people."""
    made = text_element(name, text)
    made.attributes = {"xsi:type": "SimpleText"}
    return made


def _spec(name: str, node: Element) -> Element:
    base = [element("BaseType", type_of(e.children[0])) for e in node.each("baseType")]
    match node.name:
        case "struct":
            return typed(name, "StructTypeSpec", *(_variable(e, "Member") for e in node.children))
        case "enum":
            rows = [element("Enumerator", **dict(e.attributes)) for e in node.children[0].children]
            return typed(name, "EnumTypeWithNamedValueSpec" if base else "EnumTypeSpec", *base, *rows)
        case "array":
            ranges = [element("DimensionSpec", _range("IndexRange", e)) for e in node.each("dimension")]
            return typed(name, "ArrayTypeSpec", *base, *ranges)
        case "subrangeSigned" | "subrangeUnsigned":
            return typed(name, "SubrangeTypeSpec", *base, *(_range("Range", e) for e in node.each("range")))
        case "string" | "wstring" if node.get("length"):
            kind = "StringTypeSpec" if node.name == "string" else "WStringTypeSpec"
            return typed(name, kind, maxLength=node.get("length"))
        case _:
            return typed(name, "DirectlyDerivedTypeSpec", element("BaseType", type_of(node)))


def _range(name: str, node: Element) -> Element:
    return element(name, lower=node.get("lower"), upper=node.get("upper"))


def type_of(node: Element) -> Element:
    """Give what names a type, or spells it out."""
    if node.name == "derived":
        return text_element("TypeName", node.get("name"))
    plain_text = node.name in ("string", "wstring") and not node.get("length")
    if plain_text or node.name in ELEMENTARY:
        return text_element("TypeName", node.name.upper())
    return _spec("InstantlyDefinedType", node)


def initial(node: Element) -> Element:
    """Give an initial value."""
    return element("InitialValue", *(_value(e) for e in node.children))


def _value(node: Element) -> Element:
    return element(raised(node.name), *(_value(e) for e in node.children), **dict(node.attributes))


def raised(name: str) -> str:
    """Give a name with a large first letter."""
    return name[:1].upper() + name[1:]


def _variable(node: Element, name: str) -> Element:
    kind = element("Type", type_of(node.each("type")[0].children[0]))
    address = [element("Address", address=node.get("address"))] if node.get("address") else []
    first = [initial(e) for e in node.each("initialValue")]
    return element(name, *remarks(node), kind, *first, *address, name=node.get("name"))


def section_of(node: Element) -> Element:
    """Give a list of variables."""
    return element(_LISTS[node.name], *(_variable(e, "Variable") for e in node.children), **dict(node.attributes))


__all__ = ["data_type", "initial", "raised", "remarks", "section_of", "simple_text", "type_of", "typed"]
