"""Reading the conditions of transitions from TC6 XML: written, drawn, or named.

Source: from memory: TC6 XML formats for IEC 61131-3, version 2.01. Rule: a condition is one expression; what would have
to keep or do something is refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from simplant.logic.fbd.pure import value_of
from simplant.logic.st.report import Fault, Report, fail
from simplant.logic.st.tree import Expression, Let
from simplant.logic.xml.elements import Element, Piece
from simplant.logic.xml.inside import attribute_access, expression, statements
from simplant.logic.xml.read_graph import graph_of
from simplant.logic.xml.read_types import SILENT

_JOINS: Final = ("selectionDivergence", "selectionConvergence", "simultaneousDivergence", "simultaneousConvergence")
_CHART: Final = ("step", "transition", "jumpStep", "actionBlock", *_JOINS)


@dataclass(frozen=True, slots=True)
class Conditions:
    """Reads the conditions of one chart."""

    report: Report
    body: Element
    pou: Element

    def read(self, holder: Element) -> tuple[str, Expression]:
        """Give the name of a condition (empty: none), and what it says."""
        inside, reference = holder.child("inline"), holder.child("reference")
        if inside is not None:
            name = inside.name_in("name") if inside.get("name") else ""
            return name, self._said(inside, name)
        if reference is not None:
            name = reference.need("name")
            named = [e for h in self.pou.each("transitions") for e in h.each("transition") if e.get("name") == name]
            if not named:  # a Boolean variable
                return "", attribute_access(self.report, reference, "name")
            bodies = named[0].each("body")
            if len(bodies) != 1:
                fail(named[0].place, f"the transition {name} has {len(bodies)} bodies")
            return named[0].name_in("name"), self._said(bodies[0], name)
        points = holder.each("connectionPointIn", "connection")
        if not points:
            fail(holder.place, "a condition is empty", mend="write TRUE", length=len("<condition"))
        return "", self._joined(holder)

    def _said(self, body: Element, name: str) -> Expression:
        """Read a condition that has a body of its own: `condition`, `:= condition;` or what gives `name` its value."""
        report = self.report
        text, drawing = body.child("ST"), body.child("LD") or body.child("FBD")
        if drawing is not None:
            return self._drawn(drawing, drawing.children, name)
        if text is None:
            fail(body.place, "a condition is in a language that is not read here", "ST, LD and FBD are")
        pieces = [p for p in text.pieces() if p.text.strip()]
        if pieces and ":=" in "".join(p.text for p in pieces):
            found = statements(report, _without_sign(text))
            if len(found) == 1 and isinstance(found[0], Let):
                return found[0].value
            fail(text.place, "a condition is several statements", mend="write one expression", length=len("<ST"))
        return expression(report, text)

    def _joined(self, holder: Element) -> Expression:
        """Read a condition that is drawn beside the chart."""
        others = [e for e in self.body.children if e.name not in (*_CHART, *SILENT)]
        wired = Element("coil", {"localId": str(10**14)}, [*_in_point(holder), Element("variable")], holder.place)
        wired.content[-1] = _result(holder)
        return self._drawn(self.body, [*others, wired], _RESULT)

    def _drawn(self, body: Element, objects: list[Element], name: str) -> Expression:
        """Give what a drawing gives a name; if an object of it is refused, nothing else is told of it."""
        known = len(self.report.errors)
        graph = graph_of(self.report, body, objects)
        if len(self.report.errors) > known:
            raise Fault(self.report.errors[known])
        return value_of(graph, name)


def beside(body: Element) -> Iterator[Element]:
    """Give what is drawn in a chart and leads to no condition: nothing in a chart would do it."""
    drawn = {e.get("localId"): e for e in body.children if e.name not in (*_CHART, *SILENT, "comment")}
    ends = {e.get("name").upper(): e.get("localId") for e in body.each("connector")}
    waiting = [holder for e in body.each("transition") for holder in e.each("condition")]
    while waiting:
        found = waiting.pop()
        before = [e.get("refLocalId") for e in found.within() if e.name == "connection"]
        if found.name == "continuation":
            before.append(ends.get(found.get("name").upper(), ""))
        waiting += [drawn.pop(number) for number in before if number in drawn]
    yield from drawn.values()


_RESULT: Final = "condition"


def _in_point(holder: Element) -> list[Element]:
    points = holder.each("connectionPointIn")
    return points or [Element("connectionPointIn", {}, list(holder.each("connection")), holder.place)]


def _result(holder: Element) -> Element:
    return Element("variable", {}, [Piece(holder.place, _RESULT)], holder.place)


def _without_sign(text: Element) -> Element:
    """Give a condition so that it reads as a statement: `:= condition` gets a name in front."""
    pieces = list(text.pieces())
    whole = "".join(p.text for p in pieces)
    if whole.lstrip().startswith(":="):
        pieces.insert(0, Piece(pieces[0].place, _RESULT))
    if not whole.rstrip().endswith(";"):
        pieces.append(Piece(pieces[-1].place, ";"))
    return Element(text.name, text.attributes, list(pieces), text.place)


__all__ = ["Conditions", "beside"]
