"""Reading the bodies of ladder and function block diagrams from TC6 XML, as a graph; a ladder as rungs where it can be.

What a graph does is ../fbd/lower.py. Source: from memory: TC6 XML formats for IEC 61131-3, version 2.01. Rule: an
object, pin or mark that is not known is refused; positions only say what is drawn above or left of what.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final, NoReturn

from simplant.errors import Place
from simplant.logic.fbd.as_ladder import as_ladder
from simplant.logic.fbd.plain import one_below_the_other
from simplant.logic.fbd.tree import (
    Block,
    Coil,
    Connector,
    Contact,
    Continuation,
    Edge,
    Graph,
    Input,
    Jump,
    Label,
    Node,
    Output,
    Rail,
    Remark,
    Return,
    RightRail,
    Sink,
    Source,
    Wire,
    inputs_of,
)
from simplant.logic.ladder.tree import Action, Ladder, Sense
from simplant.logic.st.printed_expressions import printed_access
from simplant.logic.st.report import Report, fail
from simplant.logic.st.tree import Access
from simplant.logic.xml.drawn import Placed, has_pins, height, is_number, order, position
from simplant.logic.xml.elements import Element
from simplant.logic.xml.inside import access, attribute_access, expression, plain
from simplant.logic.xml.read_comments import with_comments
from simplant.logic.xml.read_habits import constant_contact, constant_of, tell_loose_ends, with_names
from simplant.logic.xml.read_types import SILENT
from simplant.logic.xml.read_wires import joined

_ONLY: Final = ("", "negated", "rising", "falling", "set", "reset")
_SENSES: Final = {"": Sense.OPEN, "negated": Sense.CLOSED, "rising": Sense.RISING, "falling": Sense.FALLING}
_ACTIONS: Final = {
    "": Action.PLAIN, "negated": Action.NEGATED, "set": Action.SET, "reset": Action.RESET, "rising": Action.RISING,
    "falling": Action.FALLING,
}  # fmt: skip
OPERATORS: Final = ("AND", "OR", "XOR", "NOT", "MOD")
"""Words of the language that are functions too."""
_SIGNS: Final = {
    "+": "ADD", "-": "SUB", "*": "MUL", "/": "DIV", "**": "EXPT", ":=": "MOVE", "&": "AND", ">=1": "OR", "=2k+1": "XOR",
    ">": "GT", ">=": "GE", "=": "EQ", "<=": "LE", "<": "LT", "<>": "NE",
}  # fmt: skip
"""Signs in a block, and the function that each stands for. Source: IEC 61131-3, standard functions, from memory."""


def read_graph(report: Report, *bodies: Element) -> Graph | Ladder:
    """Read an LD or FBD body; several are one drawing, one below the other."""
    graphs = [graph_of(report, body, body.children) for body in bodies]
    graph = one_below_the_other(graphs) if len(graphs) > 1 else graphs[0]
    tell_loose_ends(report, graph.nodes)
    if any(body.name == "LD" for body in bodies):
        return as_ladder(graph) or graph
    return graph


def graph_of(report: Report, body: Element, objects: list[Element]) -> Graph:
    """Read the objects of a drawing."""
    reader = _Reader(report, objects)
    found: list[Placed] = []
    for element in objects:
        if element.name not in SILENT:
            found += report.guarded(reader.placed, element) or []
    drawn = with_comments(found)
    for node in drawn:
        if any(wire.node in reader.ends for pin in inputs_of(node) for wire in pin.wires):
            what, mend = "it is joined to an <outVariable>", "draw an <inOutVariable> there, or the variable once more"
            report.warn(node.place, what, "no wire begins there: it gets what the variable holds then", mend)
    return Graph(body.place, joined(report, drawn, reader.seen, reader.pins))


class _Reader:
    """Reads the objects of one drawing."""

    def __init__(self, report: Report, objects: list[Element]) -> None:
        self.report = report
        self.seen: dict[int, Place] = {}
        self.pins: dict[int, list[str]] = {}
        numbers = [e.get("localId") for e in objects]
        self.next = 1 + max((int(n) for n in numbers if is_number(n)), default=0)
        self.ends: set[int] = set()
        self.sources: list[Node] = []
        self.sinks: list[Node] = []
        self.readers: dict[str, Callable[[Element, int], Node]] = {
            "leftPowerRail": lambda e, n: Rail(n, e.place),
            "rightPowerRail": lambda e, n: RightRail(n, e.place, self.inputs(e)),
            "comment": lambda e, n: Remark(n, e.place, plain(e.child("content"))),
            "vendorElement": self.foreign,
            "error": self.lost,
            "inVariable": self.source,
            "outVariable": self.sink,
            "inOutVariable": self.both,
            "contact": self.contact,
            "coil": self.coil,
            "block": self.block,
            "connector": lambda e, n: Connector(n, e.place, e.need("name"), self.inputs(e)),
            "continuation": lambda e, n: Continuation(n, e.place, e.need("name")),
            "label": lambda e, n: Label(n, e.place, e.need("label")),
            "jump": lambda e, n: Jump(n, e.place, e.need("label"), self.inputs(e), order(e)),
            "return": lambda e, n: Return(n, e.place, self.inputs(e), order(e)),
        }

    def placed(self, element: Element) -> list[Placed]:
        """Read one object, with where it is drawn; what stands at its pins comes with it."""
        reader = self.readers.get(element.name)
        if reader is None:
            what = f"<{element.name}> stands in a drawing, which is not read"
            fail(element.place, what, length=len(element.name) + 1)
        number = self.number(element)
        self.sources, self.sinks = [], []
        at, high = position(element), height(element)
        node = reader(element, number)
        words = plain(element.child("documentation"))
        said = [Placed(at, Remark(self.free(element.place), element.place, words), 0, number)] if words else []
        return [*said, *(Placed(at, each, high) for each in (*self.sources, node, *self.sinks))]

    def number(self, element: Element) -> int:
        """Give the number of an object."""
        found = element.need("localId")
        if not is_number(found):
            fail(element.place, f"localId is {found!r}", "it is a whole number", length=len(element.name) + 1)
        number = int(found)
        if number in self.seen:
            other = f"the other is at line {self.seen[number].line}"
            fail(element.place, f"two objects have the localId {number}", other, length=len(element.name) + 1)
        self.seen[number] = element.place
        return number

    def free(self, place: Place) -> int:
        """Give a number that no object has."""
        number, self.next = self.next, self.next + 1
        self.seen[number] = place
        return number

    # pins

    def inputs(self, element: Element, name: str = "") -> Input:
        """Give what is joined to the connection points of an object, as one input."""
        points = element.each("connectionPointIn")
        return Input(name, tuple(wire for point in points for wire in self.wires(point)))

    def wires(self, point: Element) -> list[Wire]:
        """Give the wires of a connection point; a value that stands there is a source of its own."""
        found: list[Wire] = []
        for each in point.each("connection", "expression"):
            if each.name == "expression":
                number = self.free(each.place)
                self.sources.append(Source(number, each.place, expression(self.report, each)))
                found.append(Wire(number))
                continue
            target = each.need("refLocalId")
            if not is_number(target):
                fail(each.place, f"refLocalId is {target!r}", "it is a whole number", length=len("<connection"))
            found.append(Wire(int(target), each.get("formalParameter")))
        return list(dict.fromkeys(found))

    def pin(self, element: Element) -> Input:
        """Read an input pin of a block."""
        marks = self.marks(element, "negated", "rising", "falling")
        edge = Edge(marks) if marks in ("rising", "falling") else Edge.NONE
        name = element.name_in("formalParameter", *OPERATORS) if element.get("formalParameter") else ""
        return replace(self.inputs(element, name), negated=marks == "negated", edge=edge)

    def marks(self, element: Element, *allowed: str, ending: str = "") -> str:
        """Give what is marked at an object or pin: negated, rising, falling, set, reset or nothing."""
        found = ["negated"] if element.flag(f"negated{ending}") else []
        for word in ("edge", "storage"):
            given = element.get(f"{word}{ending}").lower()
            found += [given] if given not in ("", "none") else []
        if len(found) > 1 or (found and found[0] not in allowed):
            what = f"<{element.name}> is marked {' and '.join(found)}"
            fail(element.place, what, "that has no meaning here that could be run", length=len(element.name) + 1)
        return found[0] if found else ""

    # objects

    def foreign(self, element: Element, number: int) -> Node:
        """Read what a maker drew for himself: a title or a frame is a comment; what has pins is refused."""
        words = plain(element.child("alternativeText"))
        if has_pins(element):
            what = f"an element of its maker's own is drawn here{f': {words!r}' if words else ''}"
            fail(element.place, what, "what it does is not known", "export it as a block", len(element.name) + 1)
        what = f"an element of its maker's own is taken for a comment{f': {words!r}' if words else ''}"
        self.report.warn(element.place, what, length=len(element.name) + 1)
        return Remark(number, element.place, words)

    def lost(self, element: Element, _: int) -> NoReturn:
        """Refuse what the exporting system itself could not say."""
        words = plain(element.child("content"))
        why = f"it says: {words}" if words else ""
        fail(element.place, "something could not be written where this file was made", why, length=len("<error"))

    def source(self, element: Element, number: int) -> Node:
        """Read a value that goes in."""
        mark = self.marks(element, "negated", "rising", "falling")
        edge = Edge(mark) if mark in ("rising", "falling") else Edge.NONE
        value = expression(self.report, element.part("expression"))
        return Source(number, element.place, value, mark == "negated", edge)

    def sink(self, element: Element, number: int) -> Node:
        """Read a variable that is written."""
        self.ends.add(number)
        mark = self.marks(element, *_ONLY)
        return self._sink(element, number, mark)

    def _sink(self, element: Element, number: int, mark: str) -> Node:
        target = access(self.report, element.part("expression"))
        joined = self.inputs(element)
        if mark in ("set", "reset"):
            return Coil(number, element.place, _ACTIONS[mark], target, joined, order(element))
        edge = Edge(mark) if mark in ("rising", "falling") else Edge.NONE
        joined = replace(joined, negated=mark == "negated", edge=edge)
        return Sink(number, element.place, target, joined, order(element))

    def both(self, element: Element, number: int) -> Node:
        """Read a variable that is written if something is joined to it, and read."""
        self.marks(element, ending="Out")
        mark = self.marks(element, "negated", "rising", "falling", ending="In")
        if self.inputs(element).wires:
            return self._sink(element, number, mark)
        return Source(number, element.place, access(self.report, element.part("expression")))

    def contact(self, element: Element, number: int) -> Node:
        """Read a contact."""
        value = constant_of(element)
        if value is not None:
            closed = self.marks(element, "negated") == "negated"
            extra, power = self.free(element.place), self.inputs(element)
            source, made = constant_contact(element.place, power, number, extra, value=value is not closed)
            self.pins[number] = ["OUT"]
            self.sources.append(source)
            return made
        sense = _SENSES[self.marks(element, "negated", "rising", "falling")]
        return Contact(number, element.place, sense, self.variable(element), self.inputs(element))

    def coil(self, element: Element, number: int) -> Node:
        """Read a coil."""
        action = _ACTIONS[self.marks(element, *_ONLY)]
        return Coil(number, element.place, action, self.variable(element), self.inputs(element), order(element))

    def variable(self, element: Element) -> Access:
        """Read the variable of a contact or coil."""
        return access(self.report, element.part("variable"))

    def block(self, element: Element, number: int) -> Node:
        """Read a function or function block."""
        type_ = _SIGNS.get(element.get("typeName")) or element.name_in("typeName", *OPERATORS)
        instance = ""
        if element.get("instanceName"):
            instance = printed_access(attribute_access(self.report, element, "instanceName"))
        inputs = tuple(self.pin(e) for e in self.pins_of(element, "inputVariables"))
        in_outs = tuple(self.pin(e) for e in self.pins_of(element, "inOutVariables"))
        outputs: list[Output] = []
        for each in self.pins_of(element, "outputVariables"):
            negated = self.marks(each, "negated") == "negated"
            name = each.name_in("formalParameter", *OPERATORS) if each.get("formalParameter") else ""
            outputs.append(Output(name, negated))
            self._written(each, number, element.place)
        self.pins[number] = [*(out.name for out in outputs), *(pin.name for pin in in_outs)]
        made = Block(number, element.place, type_, instance, inputs, in_outs, tuple(outputs), order(element))
        return with_names(self.report, made)

    def _written(self, pin: Element, number: int, place: Place) -> None:
        """Note a variable that stands at an output pin itself."""
        point = pin.child("connectionPointOut")
        written = point.child("expression") if point is not None else None
        if written is not None:
            joined = Input("", (Wire(number, pin.get("formalParameter")),))
            self.sinks.append(Sink(self.free(place), place, access(self.report, written), joined))

    def pins_of(self, element: Element, name: str) -> list[Element]:
        """Give the pins of one side of a block."""
        return [e for holder in element.each(name) for e in holder.each("variable")]


__all__ = ["graph_of", "read_graph"]
