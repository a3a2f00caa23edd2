"""When a value of a network is measured: where it is drawn, before anything drawn behind it changes it.

So are contacts; what stands at the pins of a block is measured with the block. Rule: what is about to change is kept in
a hidden variable for those that need it later; nothing else is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from simplant.logic.fbd.hidden import Hidden
from simplant.logic.fbd.kinds import Kinds
from simplant.logic.fbd.order import Network
from simplant.logic.fbd.tree import Block, Coil, Contact, Input, Node, Sink, Wire, inputs_of
from simplant.logic.fbd.values import Values
from simplant.logic.ladder.lower import names_in
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Expression, Let


class Measured(Values):
    """The values of one network, measured in time.

    Attributes:
        pending: functions whose value is computed only where it is needed, by their output, and what needs it.
    """

    def __init__(self, network: Network, hidden: Hidden, kinds: Kinds) -> None:
        super().__init__(network, hidden, kinds)
        self.pending: dict[Wire, int] = {}
        self._drawn = {node.number: at for at, node in enumerate(network.nodes)}
        self._looks: dict[str, list[Contact]] = {}
        for node in network.nodes:
            if isinstance(node, Contact):
                for name in names_in(node.operand):
                    self._looks.setdefault(name.upper(), []).append(node)
        self._numbered = set(self._feeding(n for n in network.order if n.order is not None))

    def _feeding(self, nodes: Iterable[Node]) -> Iterator[int]:
        """Give the contacts whose power reaches some nodes, by number."""
        waiting = [w.node for node in nodes for pin in inputs_of(node) for w in pin.wires]
        seen: set[int] = set()
        while waiting:
            node = self.nodes.get(waiting.pop())
            if isinstance(node, Contact) and node.number not in seen:
                seen.add(node.number)
                yield node.number
                waiting += [w.node for pin in inputs_of(node) for w in pin.wires]

    def measure(self, node: Node, *also: str) -> None:
        """Keep what is drawn before a node and needed later, if the node (or `also`) is about to change it."""
        names = {*self.changed(node), *(name.upper() for name in also)}
        for wire, end in list(self.pending.items()):
            value, over = self.results[wire], end in self.done or end == node.number
            if over or "*" in names or any(name.upper() in names for name in names_in(value)):
                del self.pending[wire]
                if not over:
                    self.hold(wire, value)
        looking = self._looks.values() if "*" in names else (self._looks.get(name, []) for name in sorted(names))
        for each in (c for row in looking for c in row):
            if self._drawn[each.number] < self._drawn[node.number] and self._is_open(each):
                self.ready(Input("", (Wire(each.number),)))
                self.given[each.number] = self.kept(self.given[each.number], each, None)

    def _is_open(self, node: Contact) -> bool:
        """Say whether a value is needed later and can be told now; numbers of evaluation say themselves when it is."""
        if node.number in self.given or not self.uses[node.number] or node.number in self._numbered:
            return False
        waiting = [w.node for pin in inputs_of(node) for w in pin.wires]
        seen: set[int] = set()
        while waiting:
            number = waiting.pop()
            above = self.nodes.get(number)
            if isinstance(above, Contact) and number not in self.given and number not in seen:
                waiting += [w.node for w in above.input.wires]
            elif isinstance(above, Block | Coil | Sink) and number not in self.done:
                return False
            seen.add(number)
        return True

    def hold(self, wire: Wire, value: Expression) -> None:
        """Keep what a function gives in a hidden variable."""
        node, spec = self.nodes[wire.node], self.needed(wire)
        if spec is None:
            what = "the type of what this function gives cannot be told here"
            fail(node.place, what, "it must be kept until it is needed", "give it to a variable, and read that")
        target = self.hidden.temporary("value", node.place, spec)
        self.out.append(Let(node.place, target, value))
        self.results[wire], self.specs[wire] = target, spec


__all__ = ["Measured"]
