"""Writing types, initial values and variables as TC6 XML.

Source: from memory: TC6 XML formats for IEC 61131-3, version 2.01. Rule: the order of elements is that of the scheme;
what it has no word for is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Final

from simplant.errors import Place
from simplant.logic.st.declared import (
    ArrayOf,
    Enumeration,
    FieldInit,
    Init,
    ListInit,
    Named,
    RefTo,
    Section,
    Structure,
    Subrange,
    TypeName,
    TypeSpec,
    Variable,
)
from simplant.logic.st.printed_expressions import printed_expression
from simplant.logic.st.printed_statements import Notes
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Expression, Literal
from simplant.logic.xml.elements import Element, Piece, text_element
from simplant.logic.xml.iec_names import ELEMENTARY
from simplant.logic.xml.read_types import SECTIONS
from simplant.values import TYPES, Kind

_LISTS: Final = {word: name for name, word in SECTIONS.items()}
XHTML: Final = "http://www.w3.org/1999/xhtml"
_TEXTS: Final = ("STRING", "WSTRING")


def element(name: str, /, *content: Element, **attributes: str) -> Element:
    """Make an element; `type_` is the attribute `type`."""
    inner: list[Element | Piece] = list(content)
    return Element(name, {k.rstrip("_"): v for k, v in attributes.items()}, inner)


def formatted(name: str, text: str) -> Element:
    """Give a text as the scheme holds texts."""
    return element(name, text_element("xhtml", text, xmlns=XHTML))


def type_element(spec: TypeSpec, notes: Notes | None = None) -> Element:
    """Give a type, with remarks about the fields of a structure; raises `Fault` if the scheme has no such one."""
    match spec:
        case Named():
            return _named(spec)
        case ArrayOf():
            if any(isinstance(low, Literal) and low.text == "*" for low, _ in spec.ranges):
                fail(spec.place, "an array has an open length", "the scheme has no word for it", "write its bounds")
            ranges = [_range("dimension", low, high) for low, high in spec.ranges]
            return element("array", *ranges, element("baseType", type_element(spec.of)))
        case Structure():
            return _structure(spec, notes or {})
        case Enumeration():
            values = [_enumerator(name, value) for _, name, value in spec.names]
            base = [element("baseType", type_element(Named(spec.place, spec.base)))] if spec.base else []
            return element("enum", element("values", *values), *base)
        case RefTo():
            fail(spec.place, "a reference is declared", "the scheme has no word for it", "write the text instead")
        case Subrange():
            base = TYPES.get(spec.base.upper())  # type: ignore[assignment]
            signed = base is None or base.kind is not Kind.INTEGER or base.least < 0  # type: ignore[attr-defined]
            name = "subrangeSigned" if signed else "subrangeUnsigned"
            inner = type_element(Named(spec.place, spec.base))
            return element(name, _range("range", spec.low, spec.high), element("baseType", inner))


def _structure(spec: Structure, notes: Notes) -> Element:
    if spec.overlap or any(each.address for each in spec.fields):
        fail(spec.place, "a structure says where its fields stand", "the scheme has no word for it", "leave that out")
    return element("struct", *(_variable(each, notes) for each in spec.fields))


def _named(spec: Named) -> Element:
    if spec.edge:
        what, mend = f"an input is an {spec.edge}", "declare an R_TRIG or F_TRIG and call it with the input"
        fail(spec.place, what, "the scheme has no word for it", mend)
    key = spec.name.upper()
    if key in _TEXTS:
        length = {"length": printed_expression(spec.length)} if spec.length is not None else {}
        return element(key.lower(), **length)
    return element(key) if key in ELEMENTARY else element("derived", name=spec.name)


def _range(name: str, low: Expression, high: Expression) -> Element:
    return element(name, lower=printed_expression(low), upper=printed_expression(high))


def _enumerator(name: str, value: Expression | None) -> Element:
    return element("value", name=name, **({"value": printed_expression(value)} if value is not None else {}))


def value_element(value: Init) -> Element:
    """Give an initial value."""
    match value:
        case ListInit():
            return element("arrayValue", *(_item(value, count, each) for count, each in value.items))
        case FieldInit():
            return element("structValue", *(element("value", value_element(v), member=n) for _, n, v in value.items))
        case _:
            return element("simpleValue", value=printed_expression(value))


def _item(holder: ListInit, count: Expression | None, value: Init | None) -> Element:
    if value is None:
        fail(
            holder.place, "an initial value repeats nothing", "the scheme has no word for it", "write the value itself"
        )
    often = {"repetitionValue": printed_expression(count)} if count is not None else {}
    return element("value", value_element(value), **often)


def initial_element(value: Init | None) -> Iterator[Element]:
    """Give an initial value in its element, if there is one."""
    if value is not None:
        yield element("initialValue", value_element(value))


def type_name_element(row: TypeName, notes: Notes) -> Element:
    """Give a data type with its name; `notes`: remarks by the place of what they are about."""
    base = element("baseType", type_element(row.type, notes))
    return element("dataType", base, *initial_element(row.initial), *remark(row.place, notes), name=row.name)


def remark(place: Place, notes: Notes) -> Iterator[Element]:
    """Give what is said about a thing, in its element, if there is anything."""
    if place in notes:
        yield formatted("documentation", notes[place])


def _variable(variable: Variable, notes: Notes) -> Element:
    address = {"address": variable.address} if variable.address else {}
    kind = element("type", type_element(variable.type))
    inner = (*initial_element(variable.initial), *remark(variable.place, notes))
    return element("variable", kind, *inner, name=variable.name, **address)


def section_elements(variables: Sequence[Variable], notes: Notes | None = None) -> Iterable[Element]:
    """Give variables in lists, one for each run of a kind; `notes`: remarks by the place of the variable."""
    for section, row in groupby(variables, key=lambda v: v.section):
        yield element(_LISTS[section.word], *(_variable(each, notes or {}) for each in row), **_marks(section))


def _marks(section: Section) -> dict[str, str]:
    return {word: "true" for word in ("constant", "retain") if getattr(section, word)}


__all__ = [
    "XHTML",
    "element",
    "formatted",
    "initial_element",
    "remark",
    "section_elements",
    "type_element",
    "type_name_element",
    "value_element",
]
