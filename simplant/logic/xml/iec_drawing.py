"""Bodies of IEC 61131-10 turned into the elements of TC6.

Networks become one drawing, one below the other; names of connection points become the objects they belong to. Source:
from memory: IEC 61131-10:2019. Rule: an object that has no counterpart is refused.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from simplant.logic.st.report import fail
from simplant.logic.xml.elements import Element, Piece
from simplant.logic.xml.iec_names import ATTRIBUTES, OBJECTS
from simplant.logic.xml.iec_types import KEPT, lowered

_BELOW: Final = 100_000
_ANYWHERE: Final = -1
_BESIDE: Final = ("Rung", "Network", "Comment")
"""What may stand beside the objects of a body: its networks, words about it."""


def body_of(node: Element) -> Element:
    """Give a body in any language."""
    found = node.each("BodyContent")
    if not found:
        return Element("body", {}, [Element("ST", {}, [], node.place)], node.place)
    bodies: list[Element | Piece] = []
    for each in found:
        kind = each.get("type")
        if kind == "ST":
            text: list[Element | Piece] = [p for e in each.each("ST") for p in e.pieces()] or list(each.pieces())
            bodies.append(Element("ST", {}, text, each.place))
        elif kind in ("LD", "FBD", "SFC"):
            bodies.append(_Drawing(each).whole(kind))
        else:
            bodies.append(Element(kind or "IL", {}, [], each.place))
    return Element("body", {}, bodies, node.place)


@dataclass(slots=True)
class _Drawing:
    """One drawing: numbers for its objects, and which output is whose."""

    body: Element
    numbers: dict[int, int] = field(default_factory=dict)
    outputs: dict[tuple[int, str], dict[str, str]] = field(default_factory=dict)

    def whole(self, kind: str) -> Element:
        """Turn a drawing."""
        networks = self.body.each("Rung", "Network") or [self.body]
        networks = sorted(networks, key=_order_of)
        rows: list[tuple[int, Element, str]] = []
        for at, network in enumerate(networks):
            if network is not self.body and network.get("label"):
                rows.append((at, network, "label"))
            for each in network.children:
                if each.name.endswith("Object"):
                    rows.append((at, each, self._kind(each)))
                    self._note(each, str(len(rows)), at)
                elif each.name not in (*KEPT, *_BESIDE):
                    what = f"<{each.name}> stands in a drawing, which is not read"
                    fail(each.place, what, length=len(each.name) + 1)
        content: list[Element | Piece] = []
        for number, (at, each, name) in enumerate(rows, 1):
            content.append(self._object(each, name, str(number), at))
        return Element(kind, {}, content, self.body.place)

    @staticmethod
    def _kind(each: Element) -> str:
        if each.get("type") not in OBJECTS:
            what = f"an object of type {each.get('type')!r} is drawn, which is not read"
            fail(each.place, what, length=len(each.name) + 1)
        return OBJECTS[each.get("type")]

    def _note(self, each: Element, number: str, network: int) -> None:
        """Note which object and pin an output belongs to; some files begin anew with 1 in each network."""
        for part in (each, *each.within()):
            points = part.each("ConnectionPointOut", "ConnectionPointOutAction")
            for count, point in enumerate(points):
                name = part.get("parameterName") or (f"out{count}" if len(points) > 1 else "")
                found = {"refLocalId": number, **({"formalParameter": name} if name else {})}
                for where in (network, _ANYWHERE):
                    self.outputs.setdefault((where, point.get("connectionPointOutId")), found)

    def _object(self, each: Element, name: str, number: str, network: int) -> Element:
        at = each.child("RelPosition") if name != "label" else None
        top = _number(at, "y") + 1 if at is not None else 0.0
        position = Element("position", {"x": str(_number(at, "x")), "y": str(network * _BELOW + top)}, [], each.place)
        attributes = {"localId": number}
        content: list[Element | Piece] = [position]
        if name == "label":
            return Element(name, attributes | {"label": each.get("label")}, content, each.place)
        for key, value in each.attributes.items():
            if key in ("operand", "identifier"):
                holder = "variable" if key == "operand" else "expression"
                content.append(Element(holder, {}, [Piece(each.place, letter) for letter in value], each.place))
            elif key != "type":
                attributes[ATTRIBUTES.get(key, key)] = value
        content += [self._inner(e, network) for e in each.children if e.name not in ("RelPosition", "Size")]
        outs = [e for e in content if isinstance(e, Element) and e.name.startswith("connectionPointOut")]
        for count, out in enumerate(outs if len(outs) > 1 else ()):
            out.attributes["formalParameter"] = f"out{count}"
        return Element(name, attributes, content, each.place)

    def _inner(self, node: Element, network: int) -> Element:
        """Turn what stands in an object."""
        name = lowered(node.name)
        if node.name in ("InputVariable", "OutputVariable", "InOutVariable"):
            name = "variable"
        elif node.name == "InOutVariables":
            name = "inOutVariables"
        if node.name == "Connection":
            number = node.get("refConnectionPointOutId")
            found = self.outputs.get((network, number)) or self.outputs.get((_ANYWHERE, number))
            if found is None:
                fail(node.place, f"it is joined to the connection point {number!r}, which nothing has",
                     length=len("<Connection"))  # fmt: skip
            return Element("connection", dict(found), [], node.place)
        if node.name in ("BodyContent", "Inline"):
            body = body_of(node if node.name == "Inline" else Element("Inline", {}, [node], node.place))
            named = {"name": node.get("name")} if node.get("name") else {}
            return Element("inline", named, body.content, node.place)
        attributes = {{"parameterName": "formalParameter"}.get(k, k): v for k, v in node.attributes.items()}
        inner = [self._inner(e, network) if isinstance(e, Element) else e for e in node.content]
        return Element(name, attributes, list(inner), node.place)


def _order_of(network: Element) -> int:
    found = network.get("evaluationOrder")
    if found and (not found.isdigit() or len(found) > 15):
        fail(network.place, f"evaluationOrder is {found!r}", "it is a whole number", length=len(network.name) + 1)
    return int(found or 0)


def _number(node: Element | None, name: str) -> float:
    try:
        return float(node.get(name) or 0) if node is not None else 0.0
    except ValueError:
        assert node is not None, "nothing has no name"
        fail(node.place, f"{name} is no number", length=len(node.name) + 1)


__all__ = ["body_of"]
