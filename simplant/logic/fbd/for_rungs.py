"""A graph with fewer wires, so that more of its networks are rungs: what leads to side pins, what leaves by them.

A rung has one line of power; as_ladder.py makes it. Contacts that lead from the rail to a second pin of a block become
the value at that pin; a second output of an instance becomes a contact below; variables in the line of power become
contacts and coils. Rule: what is done, and in which order, stays as it is; where that is not certain, the wire stays.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from simplant.logic.fbd.as_ladder import as_ladder
from simplant.logic.fbd.hidden import conjunction, disjunction, negation
from simplant.logic.fbd.order import joined_to, with_inputs
from simplant.logic.fbd.tree import (
    Block,
    Coil,
    Contact,
    Edge,
    Graph,
    Input,
    Node,
    Rail,
    RightRail,
    Sink,
    Source,
    Wire,
    inputs_of,
)
from simplant.logic.ladder.fragment import access_of
from simplant.logic.ladder.tree import Action, Ladder, Sense
from simplant.logic.st.built import truth
from simplant.logic.st.tree import Access, Expression, Field


def rungs_of(graph: Graph) -> Ladder | None:
    """Give a graph that is drawn as a ladder in rungs; None if it is none, or cannot be said so."""
    if not any(isinstance(n, Rail | RightRail | Contact | Coil) for n in graph.nodes):
        return None
    return as_ladder(graph) or as_ladder(_Fewer(graph).all())


class _Fewer:
    """Takes wires out of one graph."""

    def __init__(self, graph: Graph) -> None:
        self.graph = graph
        self.nodes = {node.number: node for node in graph.nodes}
        self.before: dict[int, list[Node]] = {}
        self.next = 1 + max(self.nodes, default=0)
        self.uses = Counter(w.node for n in graph.nodes for pin in inputs_of(n) for w in pin.wires)

    def new(self) -> int:
        """Give a number that no node has."""
        self.next += 1
        return self.next - 1

    def all(self) -> Graph:
        """Take out what can be."""
        for number in [node.number for node in self.graph.nodes]:
            match node := self.nodes.get(number):
                case Block():
                    self._into(node)
                case Sink():
                    self._as_coil(node)
                case Contact() | Coil():
                    self._from_values(node)
                case _:
                    pass
        ends = self._ends()
        for node in self.graph.nodes:
            if isinstance(node, Block) and node.instance:
                self._out_of(node, ends.get(node.number, []))
        return replace(self.graph, nodes=tuple(self._in_order()))

    def _ends(self) -> dict[int, list[tuple[int, str]]]:
        """Give for each node what hangs on its outputs, by number, and on which."""
        found: dict[int, list[tuple[int, str]]] = {}
        for reader in self.nodes.values():
            if not isinstance(reader, Sink | RightRail):
                for wire in (w for pin in inputs_of(reader) for w in pin.wires):
                    found.setdefault(wire.node, []).append((reader.number, wire.pin))
        return found

    def _in_order(self) -> Iterator[Node]:
        """Give the nodes as drawn, the new ones before those that they are for."""
        for number in (node.number for node in self.graph.nodes if node.number in self.nodes):
            yield from self.before.get(number, ())
            yield self.nodes[number]

    # variables in the line of power

    def _from_values(self, node: Contact | Coil) -> None:
        """Let a contact stand where a variable leads into the line of power."""
        for wire in node.input.wires:
            source = self.nodes[wire.node]
            if not isinstance(source, Source) or not isinstance(source.value, Access) or source.edge is not Edge.NONE:
                continue
            rail = Rail(self.new(), source.place)
            sense = Sense.CLOSED if source.negated else Sense.OPEN
            contact = Contact(self.new(), source.place, sense, source.value, Input("", (Wire(rail.number),)))
            self._put(with_inputs(self.nodes[node.number], {wire: (Wire(contact.number),)}), [rail, contact])
            if self.uses[source.number] == 1:
                del self.nodes[source.number]

    def _as_coil(self, node: Sink) -> None:
        """Let a coil stand where power ends in a variable."""
        power = all(isinstance(self.nodes[w.node], Contact | Coil | Rail) for w in node.input.wires)
        if power and node.input.wires and node.input.edge is Edge.NONE and not self.uses[node.number]:
            action = Action.NEGATED if node.input.negated else Action.PLAIN
            joined = Input("", node.input.wires)
            self._put(Coil(node.number, node.place, action, node.target, joined, node.order), [])

    # into a block

    def _into(self, block: Block) -> None:
        power = [pin for pin in block.inputs if pin.wires and not self._is_value(pin)]
        line = next((pin for pin in power if pin.name.upper() == "EN"), power[0] if power else None)
        changed: list[Input] = []
        before: list[Node] = []
        for pin in block.inputs:
            value = self._value(pin) if pin in power and pin is not line and pin.edge is Edge.NONE else None
            if value is None:
                changed.append(pin)
                continue
            source = Source(self.new(), block.place, value)
            before.append(source)
            changed.append(replace(pin, wires=(Wire(source.number),)))
            for number in self._cone(pin):
                del self.nodes[number]
        self._put(replace(block, inputs=tuple(changed)), before)

    def _put(self, node: Node, before: list[Node]) -> None:
        """Put a node in its place, and others before it."""
        self.nodes[node.number] = node
        self.nodes |= {new.number: new for new in before}
        self.before.setdefault(node.number, []).extend(before)

    def _is_value(self, pin: Input) -> bool:
        return all(isinstance(self.nodes[w.node], Source | Sink) for w in pin.wires)

    def _cone(self, pin: Input) -> list[int]:
        """Give the contacts that lead to a pin and nowhere else, by number."""
        found: list[int] = []
        waiting = [w.node for w in pin.wires]
        while waiting:
            node = self.nodes[waiting.pop()]
            if isinstance(node, Contact) and node.number not in found:
                found.append(node.number)
                waiting += [w.node for w in node.input.wires]
        return found

    def _value(self, pin: Input) -> Expression | None:
        """Give what reaches a pin as an expression; None if it is more than contacts that lead here alone."""
        cone = self._cone(pin)
        inside = Counter(w.node for n in cone for w in self._wires(n)) + Counter(w.node for w in pin.wires)
        if any(self.uses[number] != inside[number] for number in cone) or len(cone) != sum(inside[n] for n in cone):
            return None
        return self._along(pin)

    def _wires(self, number: int) -> Iterator[Wire]:
        for pin in inputs_of(self.nodes[number]):
            yield from pin.wires

    def _along(self, pin: Input) -> Expression | None:
        values: list[Expression] = []
        for wire in pin.wires:
            node = self.nodes[wire.node]
            match node:
                case Rail():
                    values.append(truth(node.place, value=True))
                case Contact() if node.sense in (Sense.OPEN, Sense.CLOSED):
                    power = self._along(node.input)
                    if power is None:
                        return None
                    own = node.operand if node.sense is Sense.OPEN else negation(node.operand, node.place)
                    values.append(conjunction(power, own, node.place))
                case _:
                    return None
        return disjunction(values, self.graph.place) if values else None

    # out of a block

    def _out_of(self, block: Block, ends: list[tuple[int, str]]) -> None:
        """Lead what hangs on a second output below, behind a contact of its own; `ends`: what hangs on which."""
        pins = list(dict.fromkeys(pin for _, pin in ends if pin.upper() != "ENO"))
        for pin in pins[1:]:
            nodes, before = dict(self.nodes), {number: list(new) for number, new in self.before.items()}
            readers = [number for number, name in ends if name == pin]
            for number in readers:
                self._behind_contact(block, Wire(block.number, pin), self.nodes[number])
            roots = joined_to([n for n in self.nodes.values() if not isinstance(n, Rail | RightRail)])
            if any(roots[number] == roots[block.number] for number in readers):
                self.nodes, self.before = nodes, before

    def _behind_contact(self, block: Block, wire: Wire, reader: Node) -> None:
        output = next(out for out in block.outputs if out.name == wire.pin)
        instance = access_of(block.instance, block.place)
        operand = replace(instance, selectors=(*instance.selectors, Field(block.place, wire.pin)))
        rail = Rail(self.new(), block.place)
        sense = Sense.CLOSED if output.negated else Sense.OPEN
        contact = Contact(self.new(), block.place, sense, operand, Input("", (Wire(rail.number),)))
        self._put(with_inputs(reader, {wire: (Wire(contact.number),)}), [rail, contact])


__all__ = ["rungs_of"]
