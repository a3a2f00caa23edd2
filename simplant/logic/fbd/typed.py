"""Of which type what flows along the wires of one network is.

Types of values and results are kinds.py. Rule: a type is told by what gives a value; only where that has none (numbers
alone, in a circle) by the variable that it goes to.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from simplant.errors import Place
from simplant.logic.fbd.kinds import Kinds
from simplant.logic.fbd.order import Network
from simplant.logic.fbd.tree import Block, Node, Sink, Source, Wire, inputs_of
from simplant.logic.ladder.fragment import access_of
from simplant.logic.st.declared import Named, TypeSpec
from simplant.logic.st.tree import Access, Field

_FARTHEST: Final = 24
"""Blocks that a type is looked for through."""


class Typed:
    """The types of one network.

    Attributes:
        nodes: its nodes by number.
        kinds: types of variables and functions.
        specs: types of what is kept, by output.
    """

    def __init__(self, network: Network, kinds: Kinds) -> None:
        self.kinds = kinds
        self.nodes: dict[int, Node] = {node.number: node for node in network.nodes}
        self.specs: dict[Wire, TypeSpec] = {}

    def is_enable(self, node: Block, pin: str) -> bool:
        """Say whether a pin is an ENO that the block does not declare itself."""
        own = self.kinds.units.get(node.type.upper())
        return pin.upper() == "ENO" and not (own and any(v.name.upper() == "ENO" for v in own.variables))

    @staticmethod
    def field(node: Block, pin: str, place: Place) -> Access:
        """Give an output of an instance, as a variable."""
        instance = access_of(node.instance, place)
        return replace(instance, selectors=(*instance.selectors, Field(place, pin)))

    def needed(self, wire: Wire) -> TypeSpec | None:
        """Give the type of what comes out of a node; if that cannot be told, of what it goes to."""
        return self.spec_of(wire) or self._ahead(wire, frozenset())

    def _ahead(self, wire: Wire, seen: frozenset[Wire]) -> TypeSpec | None:
        """Give the type of the first variable that a value reaches as it is, or through calculations."""
        if wire in seen or len(seen) > _FARTHEST:
            return None
        for node in self.nodes.values():
            if not any(wire in pin.wires for pin in inputs_of(node)):
                continue
            found = self.kinds.of(node.target) if isinstance(node, Sink) else None
            if isinstance(node, Block) and not node.instance and self.kinds.keeps(node.type):
                outs = [Wire(node.number, out.name) for out in node.outputs if not self.is_enable(node, out.name)]
                found = next((spec for out in outs if (spec := self._ahead(out, seen | {wire})) is not None), None)
            if found is not None:
                return found
        return None

    def spec_of(self, wire: Wire, seen: frozenset[Wire] = frozenset()) -> TypeSpec | None:
        """Give the type of what comes out of a node; None if it cannot be told."""
        node = self.nodes.get(wire.node)
        if wire in self.specs:
            return self.specs[wire]
        if wire in seen or node is None or len(seen) > _FARTHEST:
            return None
        match node:
            case Source():
                return self.kinds.of(node.value)
            case Sink():
                return self.kinds.of(node.target)
            case Block() if node.instance and not self.is_enable(node, wire.pin):
                return self.kinds.of(self.field(node, wire.pin, node.place))
            case Block() if not self.is_enable(node, wire.pin):
                pins = [p for p in node.inputs if p.wires and p.name.upper() != "EN"]
                specs = [self.spec_of(p.wires[0], seen | {wire}) for p in pins]
                return self.kinds.result(node.type, specs, node.place)
            case _:
                return Named(node.place, "BOOL")


__all__ = ["Typed"]
