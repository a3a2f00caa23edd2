"""Writing a drawing as the objects of TC6 XML.

Where everything is drawn is ../fbd/layout.py and from_ladder.py. Source: from memory: TC6 XML formats for IEC 61131-3,
version 2.01. Rule: the order of elements and attributes is that of the scheme.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from simplant.logic.fbd.layout import ROW, Box, Drawing
from simplant.logic.fbd.tree import (
    Block,
    Coil,
    Connector,
    Contact,
    Continuation,
    Edge,
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
    inputs_of,
)
from simplant.logic.ladder.tree import Action, Sense
from simplant.logic.st.printed_expressions import printed_access, printed_expression
from simplant.logic.xml.elements import Element, text_element
from simplant.logic.xml.write_types import element, formatted

_SENSES: Final = {
    Sense.OPEN: {"negated": "false"}, Sense.CLOSED: {"negated": "true"},
    Sense.RISING: {"negated": "false", "edge": "rising"}, Sense.FALLING: {"negated": "false", "edge": "falling"},
}  # fmt: skip
_ACTIONS: Final = {
    Action.PLAIN: {"negated": "false"}, Action.NEGATED: {"negated": "true"},
    Action.SET: {"negated": "false", "storage": "set"}, Action.RESET: {"negated": "false", "storage": "reset"},
    Action.RISING: {"negated": "false", "edge": "rising"}, Action.FALLING: {"negated": "false", "edge": "falling"},
}  # fmt: skip


def is_ladder(nodes: Iterable[Node]) -> bool:
    """Say whether a drawing holds what only ladder diagrams have."""
    return any(isinstance(n, Rail | RightRail | Contact | Coil) for n in nodes)


def body_element(drawing: Drawing, *, ladder: bool) -> Element:
    """Give a drawing as a body."""
    passed = {w.node for n in drawing.graph.nodes for pin in inputs_of(n) for w in pin.wires}
    objects = [_object(n, drawing.boxes[n.number], passed=n.number in passed) for n in drawing.graph.nodes]
    return element("LD" if ladder else "FBD", *objects)


def box_attributes(number: int, box: Box) -> dict[str, str]:
    """Give the number of an object and its size."""
    return {"localId": str(number), "width": str(box.width), "height": str(box.height)}


def position_element(box: Box) -> Element:
    """Give where an object is drawn."""
    return element("position", x=str(box.x), y=str(box.y))


def _object(node: Node, box: Box, *, passed: bool) -> Element:
    made = _made(node, box, passed=passed)
    made.place = node.place
    return made


def _made(node: Node, box: Box, *, passed: bool) -> Element:
    head, at = box_attributes(node.number, box), position_element(box)
    order = getattr(node, "order", None)
    head |= {"executionOrderId": str(order)} if order is not None else {}
    match node:
        case Rail():
            return element("leftPowerRail", at, _out(box, formalParameter=""), **head)
        case RightRail():
            return element("rightPowerRail", at, _in(node.input), **head)
        case Remark():
            return element("comment", at, formatted("content", node.text), **head)
        case Source() | Sink():
            return _variable(node, box, head, passed=passed)
        case Contact():
            name = text_element("variable", printed_access(node.operand))
            return element("contact", at, _in(node.input), _out(box), name, **head, **_SENSES[node.sense])
        case Coil():
            name = text_element("variable", printed_access(node.target))
            return element("coil", at, _in(node.input), _out(box), name, **head, **_ACTIONS[node.action])
        case Block():
            return _block(node, box, head)
        case _:
            return _other(node, box, head)


def _other(node: Connector | Continuation | Label | Jump | Return, box: Box, head: dict[str, str]) -> Element:
    at = position_element(box)
    match node:
        case Connector():
            return element("connector", at, _in(node.input), name=node.name, **head)
        case Continuation():
            return element("continuation", at, _out(box), name=node.name, **head)
        case Label():
            return element("label", at, label=node.name, **head)
        case Jump():
            return element("jump", at, _in(node.input), label=node.label, **head)
        case Return():
            return element("return", at, _in(node.input), **head)


def _variable(node: Source | Sink, box: Box, head: dict[str, str], *, passed: bool) -> Element:
    at = position_element(box)
    if isinstance(node, Source):
        marks = _marks(node.negated, node.edge)
        return element(
            "inVariable", at, _out(box), text_element("expression", printed_expression(node.value)), **head, **marks
        )
    name = text_element("expression", printed_access(node.target))
    if not passed:
        return element("outVariable", at, _in(node.input), name, **head, **_marks(node.input.negated, node.input.edge))
    marks = {f"{k}In": v for k, v in _marks(node.input.negated, node.input.edge).items()}
    return element("inOutVariable", at, _in(node.input), _out(box), name, **head, **marks)


def _block(node: Block, box: Box, head: dict[str, str]) -> Element:
    instance = {"instanceName": node.instance} if node.instance else {}
    inputs = [_pin(pin, _in(pin, row)) for row, pin in enumerate(node.inputs, 1)]
    both = [_pin(pin, _in(pin, row), _out(box, row)) for row, pin in enumerate(node.in_outs, len(inputs) + 1)]
    outputs = [_pin(pin, _out(box, row)) for row, pin in enumerate(node.outputs, 1)]
    return element(
        "block", position_element(box), element("inputVariables", *inputs), element("inOutVariables", *both),
        element("outputVariables", *outputs), typeName=node.type, **instance, **head,
    )  # fmt: skip


def _pin(pin: Input | Output, *points: Element) -> Element:
    edge = pin.edge if isinstance(pin, Input) else Edge.NONE
    return element("variable", *points, formalParameter=pin.name, **_marks(pin.negated, edge))


def _marks(negated: bool, edge: Edge) -> dict[str, str]:  # noqa: FBT001 - as the node says it
    return {"negated": "true" if negated else "false", **({"edge": edge.value} if edge is not Edge.NONE else {})}


def _in(pin: Input, row: int = 0) -> Element:
    return element("connectionPointIn", element("relPosition", x="0", y=str(_height(row))), *_connections(pin))


def _connections(pin: Input) -> Iterator[Element]:
    for wire in pin.wires:
        yield element("connection", refLocalId=str(wire.node), **({"formalParameter": wire.pin} if wire.pin else {}))


def _out(box: Box, row: int = 0, **attributes: str) -> Element:
    where = element("relPosition", x=str(box.width), y=str(_height(row)))
    return element("connectionPointOut", where, **attributes)


def _height(row: int) -> int:
    """Give how far below the top of its object a pin stands."""
    return ROW * row + 10 if row else 10


__all__ = ["body_element", "box_attributes", "is_ladder", "position_element"]
