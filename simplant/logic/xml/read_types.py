"""Reading types, initial values and variables from TC6 XML.

Source: from memory: TC6 XML formats for IEC 61131-3, version 2.01. Rule: a type or value that is not known is refused
at its place; a mistake costs one declaration.
"""

from __future__ import annotations

import re
from typing import Final

from simplant.logic.st.declared import (
    ArrayOf,
    Enumeration,
    FieldInit,
    Init,
    ListInit,
    Named,
    Section,
    Structure,
    Subrange,
    TypeName,
    TypeSpec,
    Variable,
)
from simplant.logic.st.report import Report, fail
from simplant.logic.st.tree import Expression
from simplant.logic.xml.elements import Element
from simplant.logic.xml.inside import attribute, attribute_initial

SECTIONS: Final = {
    "localVars": "VAR", "tempVars": "VAR_TEMP", "inputVars": "VAR_INPUT", "outputVars": "VAR_OUTPUT",
    "inOutVars": "VAR_IN_OUT", "externalVars": "VAR_EXTERNAL", "globalVars": "VAR_GLOBAL",
}  # fmt: skip
PASSED_OVER: Final = ("accessVars",)
SILENT: Final = ("addData", "documentation", "addDataInfo")
"""Elements that hold nothing of the program; what additional data there is, is counted by read.py."""
FIELD: Final = Section("FIELD")
_WORDS: Final = re.compile(r"[^\W\d]\w*( \w+)*[.!?]?")
_OPERATORS: Final = re.compile(r"\b(?:NOT|AND|OR|XOR|MOD)\b", re.IGNORECASE)
_ADDRESS: Final = re.compile(r"%[IQM](?:\*|[XBWDL]?\d+(?:\.\d+)*)")


def unknown(element: Element, where: str) -> None:
    """Refuse an element that has no meaning here."""
    fail(element.place, f"<{element.name}> stands in {where}, which is not read", length=len(element.name) + 1)


def only(element: Element, what: str) -> Element:
    """Give the one element that another one holds, apart from remarks."""
    found = [each for each in element.children if each.name not in SILENT]
    if len(found) != 1:
        fail(element.place, f"<{element.name}> holds {len(found)} elements where {what} is wanted",
             length=len(element.name) + 1)  # fmt: skip
    return found[0]


class Types:
    """Reads types and variables of one file."""

    def __init__(self, report: Report) -> None:
        self.report = report

    def type_spec(self, holder: Element) -> TypeSpec:
        """Read the type that an element holds."""
        node = only(holder, "a type")
        match node.name:
            case "derived":
                return Named(node.place, node.name_in("name"))
            case "array":
                return self._array(node)
            case "struct":
                return Structure(node.place, self.variables(node, FIELD))
            case "enum":
                return self._enumeration(node)
            case "subrangeSigned" | "subrangeUnsigned":
                return self._subrange(node)
            case "pointer":
                fail(
                    node.place, "a pointer is declared", "the standard has references instead", "write REF_TO in a text"
                )
            case _:
                return self._elementary(node)

    def _array(self, node: Element) -> ArrayOf:
        ranges = tuple(self._range(each) for each in node.each("dimension"))
        if not ranges:
            fail(node.place, "an array has no dimension", length=len("<array"))
        return ArrayOf(node.place, ranges, self.type_spec(node.part("baseType")))

    def _subrange(self, node: Element) -> Subrange:
        base = self.type_spec(node.part("baseType"))
        if not isinstance(base, Named):
            fail(node.place, "a subrange is of no plain type", length=len(node.name) + 1)
        return Subrange(node.place, base.name, *self._range(node.part("range")))

    def _elementary(self, node: Element) -> Named:
        if node.children and any(each.name not in SILENT for each in node.children):
            unknown(node, "the place of a type")
        name = node.name.upper() if node.name in ("string", "wstring") else node.name
        length = attribute(self.report, node, "length") if node.get("length") else None
        return Named(node.place, name, length)

    def _range(self, node: Element) -> tuple[Expression, Expression]:
        node.need("lower")
        node.need("upper")
        return attribute(self.report, node, "lower"), attribute(self.report, node, "upper")

    def _enumeration(self, node: Element) -> Enumeration:
        names = []
        for each in node.part("values").each("value"):
            value = attribute(self.report, each, "value") if each.get("value") else None
            names.append((each.place, each.name_in("name"), value))
        base = node.child("baseType")
        spec = self.type_spec(base) if base is not None else None
        return Enumeration(node.place, tuple(names), spec.name if isinstance(spec, Named) else "")

    # values

    def initial(self, holder: Element) -> Init:
        """Read the value that an element holds."""
        node = only(holder, "a value")
        match node.name:
            case "simpleValue":
                return attribute_initial(self.report, node, "value")
            case "arrayValue":
                return ListInit(node.place, tuple(self._item(each) for each in node.each("value")))
            case "structValue":
                rows = [(each.place, each.name_in("member"), self.initial(each)) for each in node.each("value")]
                return FieldInit(node.place, tuple(rows))
            case _:
                unknown(node, "the place of a value")
                raise AssertionError("unreachable: the line above fails")

    def _item(self, node: Element) -> tuple[Expression | None, Init | None]:
        count = (
            attribute(self.report, node, "repetitionValue") if node.get("repetitionValue") not in ("", "1") else None
        )
        return count, self.initial(node)

    def start(self, node: Element) -> Init | None:
        """Read the first value of something; None if it has none, or an empty one."""
        holder = node.child("initialValue")
        if holder is None or [e.get("value") for e in holder.each("simpleValue")] == [""]:
            return None
        return self.initial(holder)

    # declarations

    def type_name(self, node: Element) -> TypeName:
        """Read a data type with its name."""
        spec = self.type_spec(node.part("baseType"))
        return TypeName(node.place, node.name_in("name"), spec, self.start(node))

    def variables(self, node: Element, section: Section) -> tuple[Variable, ...]:
        """Read the variables that an element holds."""
        found: list[Variable] = []
        for each in node.children:
            if each.name == "variable":
                read = self.report.guarded(self._variable, each, section)
                found += [read] if read is not None else []
            elif each.name not in SILENT:
                self.report.guarded(unknown, each, f"<{node.name}>")
        return tuple(found)

    def _variable(self, node: Element, section: Section) -> Variable:
        address = self.address(node)
        name = address if address and node.get("name").upper() == address else node.name_in("name")
        spec = self.type_spec(node.part("type"))
        if isinstance(spec, Named) and spec.name.upper() in ("STRING", "WSTRING"):
            quoted = self._in_quotes(node, spec.name.upper())
            return Variable(node.place, name, spec, self.start(node) if quoted else None, address, section)
        return Variable(node.place, name, spec, self.start(node), address, section)

    def _in_quotes(self, node: Element, kind: str) -> bool:
        """Refuse a text without its quotes, unless it is the name of something in the file: a constant."""
        before = len(self.report.mistakes)
        for value in (e for holder in node.each("initialValue") for e in holder.each("simpleValue")):
            text, mark = value.get("value"), "'" if kind == "STRING" else '"'
            named = re.search(rf"name\s*=\s*[\"']{re.escape(text)}[\"']", self.report.text, re.IGNORECASE)
            if _WORDS.fullmatch(text) and not named and not _OPERATORS.search(text):
                what = f"the first value of {node.get('name')} is {text}, without quotes"
                mend = f"write {mark}{text}{mark}"
                self.report.error(value.place, what, f"a {kind} stands in quotes", mend, len("<simpleValue"))
        return len(self.report.mistakes) == before

    def address(self, node: Element) -> str:
        """Read the address of a variable; empty if it has none."""
        address = node.get("address").upper()
        if address and not _ADDRESS.fullmatch(address):
            fail(node.place, f"{address!r} is no address", mend="write for instance %IX0.0", length=len(node.name) + 1)
        return address

    def section(self, node: Element) -> tuple[Variable, ...]:
        """Read a list of variables with what is said of all of them."""
        retain = node.flag("retain") or node.flag("persistent")
        return self.variables(node, Section(SECTIONS[node.name], node.flag("constant"), retain))


__all__ = ["PASSED_OVER", "SECTIONS", "SILENT", "Types", "only", "unknown"]
