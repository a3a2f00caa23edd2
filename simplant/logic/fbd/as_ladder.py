"""A graph as rungs, where every network is series and parallel only; the other way is from_ladder.py.

Rule: a rung says the same as its network, or there is none: nothing is left out but pins to which nothing is joined.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from simplant.logic.fbd.kinds import COMPARISONS
from simplant.logic.fbd.order import groups_of
from simplant.logic.fbd.reduce import DEEPEST, END, START, NotSo, Span, reduced
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
from simplant.logic.ladder import tree as ladder
from simplant.logic.st.bases import block_named
from simplant.logic.st.standard import signature
from simplant.values import BOOL

_GATES: Final = ("AND", "OR", "XOR", "NOT")
_Readers = dict[Wire, list[tuple[Node, Input]]]
_NO_LADDER: Final = (Connector, Continuation)


def as_ladder(graph: Graph) -> ladder.Ladder | None:
    """Give a graph as a ladder; None if it cannot be said so."""
    if any(isinstance(n, _NO_LADDER) for n in graph.nodes):
        return None
    try:
        return ladder.Ladder(graph.place, tuple(_rungs(graph)))
    except NotSo:
        return None


def _rungs(graph: Graph) -> Iterator[ladder.Rung]:
    label, remarks, place, last = "", list[str](), graph.place, 0
    waiting = False
    drawn = {n.number: at for at, n in enumerate(graph.nodes)}
    readers = _readers(graph)
    for group in groups_of(list(graph.nodes), remarks=True):
        first = group[0]
        if isinstance(first, Label):
            if label:
                yield ladder.Rung(place, label, "\n".join(remarks), ladder.Series(()))
                remarks = []
            label, waiting = first.name, True
        elif isinstance(first, Remark):
            remarks.append(first.text)
            waiting = True
        else:
            line, last = _Network(group, drawn, readers, last).line()
            yield ladder.Rung(first.place, label, "\n".join(remarks), line)
            label, remarks, waiting = "", [], False
        place = first.place
    if waiting:
        yield ladder.Rung(place, label, "\n".join(remarks), ladder.Series(()))


def _readers(graph: Graph) -> _Readers:
    found: _Readers = {}
    for node in graph.nodes:
        for pin in inputs_of(node):
            for wire in pin.wires:
                found.setdefault(wire, []).append((node, pin))
    return found


class _Network:
    """Makes one rung of one network.

    Args:
        group: its nodes.
        drawn: which of all nodes each is.
        readers: what each output leads to.
        last: the greatest number of evaluation above it.

    Attributes:
        pinned: values and variables that stand at the pins of blocks, by number; all must.
    """

    def __init__(self, group: list[Node], drawn: dict[int, int], readers: _Readers, last: int) -> None:
        self.group, self.last, self.drawn, self.readers = group, last, drawn, readers
        self.nodes = {n.number: n for n in group}
        self.points: dict[frozenset[Wire], int] = {}
        self.comes_to: dict[Wire, int] = {}
        self.spans: list[Span] = []
        self.pinned: set[int] = set()

    def line(self) -> tuple[ladder.Series, int]:
        """Give the rung, and the greatest number of evaluation in it."""
        found = [(n, *self._element(n)) for n in self.group if not isinstance(n, Rail | Source | Sink)]
        ends = {n.number for n in self.group if isinstance(n, Source | Sink)}
        if not found or ends != self.pinned:
            raise NotSo
        self._points([pin.wires for _, _, pin in found if pin is not None])
        for node, element, pin in found:
            start = self.points[frozenset(pin.wires)] if pin is not None else START
            self.spans.append(Span(start, self._end(node, element), (element,), self.drawn[node.number]))
        line = ladder.Series(reduced(self.spans))
        if sum(not isinstance(each, ladder.Parallel) for each in ladder.elements(line)) != len(found):
            raise NotSo  # something goes round in a circle
        orders = {n.place: o for n, _, _ in found if (o := getattr(n, "order", None)) is not None}
        for each in ladder.elements(line):
            order = orders.get(each.place) if not isinstance(each, ladder.Parallel) else None
            if order is not None:
                if order < self.last:
                    raise NotSo
                self.last = order
        return line, self.last

    # elements

    def _element(self, node: Node) -> tuple[ladder.Element, Input | None]:
        """Give a node as an element, and the pin that power reaches it by."""
        match node:
            case Contact():
                return ladder.Contact(node.place, node.sense, node.operand), self._power(node.input)
            case Coil():
                return ladder.Coil(node.place, node.action, node.target), self._power(node.input)
            case Jump():
                return ladder.Jump(node.place, node.label), self._power(node.input)
            case Return():
                return ladder.Return(node.place), self._power(node.input)
            case Block():
                return self._block(node)
            case _:
                raise NotSo

    def _power(self, pin: Input) -> Input:
        if not pin.wires or pin.negated or pin.edge is not Edge.NONE:
            raise NotSo
        if any(isinstance(self.nodes.get(w.node), Source | Sink) for w in pin.wires):
            raise NotSo
        return pin

    def _block(self, node: Block) -> tuple[ladder.Element, Input | None]:
        power: Input | None = None
        pins: list[ladder.Pin] = []
        for pin in (p for p in (*node.inputs, *node.in_outs) if p.wires):
            source = self.nodes.get(pin.wires[0].node)
            if isinstance(source, Source):
                pins.append(self._value(pin, source))
            elif power is not None or pin in node.in_outs or not pin.name:
                raise NotSo
            else:
                power = self._power(pin)
                self._carries_power(pin)
        taken, power_out = self._outputs(node)
        if any(not pin.name for pin in pins):
            raise NotSo
        name = power.name if power is not None else ""
        return ladder.Block(node.place, node.type, node.instance, name, power_out, (*pins, *taken)), power

    def _outputs(self, node: Block) -> tuple[list[ladder.Pin], str]:
        """Give where the outputs of a block go, and the name of the one that power leaves by."""
        taken: list[ladder.Pin] = []
        power_out = ""
        for out in node.outputs:
            readers = self.readers.get(Wire(node.number, out.name), [])
            if readers and all(isinstance(reader, Sink) for reader, _ in readers):
                taken.append(self._taken(node, out, readers))
            elif readers:
                if power_out or out.negated:
                    raise NotSo
                power_out = self._named(node, out.name)
        return taken, power_out

    def _value(self, pin: Input, source: Source) -> ladder.Pin:
        if len(pin.wires) > 1 or pin.edge is not Edge.NONE or source.negated or source.edge is not Edge.NONE:
            raise NotSo
        self.pinned.add(source.number)
        return ladder.Pin(source.place, pin.name, source.value, inverted=pin.negated)

    def _taken(self, node: Block, out: Output, readers: list[tuple[Node, Input]]) -> ladder.Pin:
        reader, pin = readers[0]
        plain = len(readers) == 1 and len(pin.wires) == 1 and not pin.negated and pin.edge is Edge.NONE
        if not plain or not isinstance(reader, Sink) or self.readers.get(Wire(reader.number)):
            raise NotSo
        self.pinned.add(reader.number)
        return ladder.Pin(reader.place, self._named(node, out.name), target=reader.target, inverted=out.negated)

    @staticmethod
    def _named(node: Block, name: str) -> str:
        """Give the name of an output pin; the result of a function, and all a standard one gives, is OUT."""
        only = sum(out.name.upper() != "ENO" for out in node.outputs) == 1 and signature(node.type.upper()) is not None
        if not node.instance and (name.upper() in ("", node.type.upper()) or (only and name.upper() != "ENO")):
            return "OUT"
        if not name:
            raise NotSo
        return name

    def _carries_power(self, pin: Input) -> None:
        """Refuse a line from block to block that may carry something else than a Boolean value."""
        if pin.name.upper() != "EN" and not all(self._is_power(wire, frozenset()) for wire in pin.wires):
            raise NotSo

    def _is_power(self, wire: Wire, seen: frozenset[int]) -> bool:
        """Say whether what comes out of a node is known to be Boolean."""
        node = self.nodes.get(wire.node)
        if not isinstance(node, Block) or wire.pin.upper() == "ENO":
            return not isinstance(node, Source | Sink)
        if node.instance:
            block = block_named(node.type.upper())
            return block is not None and any(f.name == wire.pin.upper() and f.type is BOOL for f in block.outputs)
        if node.type.upper() in COMPARISONS or node.number in seen or len(seen) > DEEPEST:
            return node.type.upper() in COMPARISONS
        given = [w for p in node.inputs if p.name.upper() != "EN" for w in p.wires]
        inner = seen | {node.number}
        return node.type.upper() in _GATES and any(self._is_power(each, inner) for each in given)

    # points

    def _points(self, pins: list[tuple[Wire, ...]]) -> None:
        """Give each set of outputs that meet a point; a set that holds another one is joined to it by plain wire."""
        rails = frozenset(Wire(n.number) for n in self.group if isinstance(n, Rail))
        for wires in sorted({frozenset(p) for p in pins}, key=lambda s: (len(s), min(self.drawn[w.node] for w in s))):
            if wires <= rails:
                self.points[wires] = START
                continue
            number, rest = len(self.points) + 2, wires
            for inner in sorted(self.points, key=len, reverse=True):
                if inner <= wires and inner & rest:
                    rest -= inner
                    self.spans.append(Span(self.points[inner], number, (), len(self.drawn)))
            if any(wire in self.comes_to for wire in rest):
                raise NotSo
            if rest & rails:
                rest -= rails
                self.spans.append(Span(START, number, (), len(self.drawn)))
            self.points[wires] = number
            for wire in rest:
                self.comes_to[wire] = number

    def _end(self, node: Node, element: ladder.Element) -> int:
        """Give the point that the power from a node comes to."""
        pin = ""
        if isinstance(node, Block) and isinstance(element, ladder.Block):
            if not element.power_out:
                return END
            pin = next(o.name for o in node.outputs if o.name == element.power_out or not node.instance)
            pin = next((o.name for o in node.outputs if o.name == element.power_out), pin)
        wire = Wire(node.number, pin)
        readers = [r for r, _ in self.readers.get(wire, [])]
        if wire in self.comes_to:
            if any(isinstance(r, RightRail) for r in readers):
                raise NotSo
            return self.comes_to[wire]
        if any(not isinstance(r, RightRail) for r in readers):
            raise NotSo
        return END


__all__ = ["as_ladder"]
