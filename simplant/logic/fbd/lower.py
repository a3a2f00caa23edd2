"""What a graph does, said in statements: network by network, in each of them what acts, in its order.

Values on the way are values.py, blocks blocks.py, jumps leaps.py. Rule: statements are in the order in which the
drawing is evaluated, each with the place of the node that it comes from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from simplant.logic.fbd.blocks import Blocks
from simplant.logic.fbd.hidden import Hidden, is_true, negation
from simplant.logic.fbd.kinds import Kinds
from simplant.logic.fbd.leaps import Leap, Mark, Part, arranged
from simplant.logic.fbd.order import Network, networks
from simplant.logic.fbd.tree import (
    Actor,
    Block,
    Coil,
    Contact,
    Graph,
    Jump,
    Label,
    Return,
    Sink,
    Source,
    Wire,
)
from simplant.logic.ladder.fragment import access_of
from simplant.logic.ladder.lower import names_in
from simplant.logic.ladder.tree import Action
from simplant.logic.st.built import truth
from simplant.logic.st.declared import File, Unit
from simplant.logic.st.report import fail
from simplant.logic.st.tree import If, Leave, Let


def statements_of_graph(unit: Unit, graph: Graph, file: File | None = None) -> Unit:
    """Give a unit with a graph as statements, and the hidden variables that they need.

    Args:
        unit: the program, function block or function.
        graph: its body.
        file: what else there is to call, and global variables.

    Raises:
        Fault: the graph has no meaning.
    """
    kinds = Kinds(unit, file)
    hidden = Hidden(unit, (*kinds.variables, *_names(graph)))
    parts: list[Part] = []
    for each in networks(graph):
        if isinstance(each, Label):
            parts.append(Mark(each.place, each.name))
        else:
            parts += _Lowering(each, hidden, kinds).all()
    body = arranged(parts, hidden, graph.place)
    return replace(unit, variables=(*unit.variables, *hidden.made), body=body)


def _names(graph: Graph) -> Iterator[str]:
    """Give the names of all variables in a graph."""
    for node in graph.nodes:
        match node:
            case Source():
                yield from names_in(node.value)
            case Sink() | Coil():
                yield from names_in(node.target)
            case Contact():
                yield from names_in(node.operand)
            case Block() if node.instance:
                yield access_of(node.instance, node.place).name
            case _:
                pass


class _Lowering(Blocks):
    """Lowers one network."""

    def __init__(self, network: Network, hidden: Hidden, kinds: Kinds) -> None:
        super().__init__(network, hidden, kinds)
        self._once()

    def _once(self) -> None:
        """Refuse an instance that is called twice in one network: whose outputs are meant could not be told."""
        seen: dict[str, Block] = {}
        for node in self.order:
            if isinstance(node, Block) and node.instance:
                if node.instance.upper() in seen:
                    first = seen[node.instance.upper()].place.line
                    fail(node.place, f"{node.instance} is called twice in one network", f"first at line {first}")
                seen[node.instance.upper()] = node

    def all(self) -> list[Part]:
        """Lower everything that acts."""
        for node in self.order:
            if node.number not in self.done:
                self._act(node)
                self.done.add(node.number)
        return self.out

    def _act(self, node: Actor) -> None:
        match node:
            case Sink():
                value = self.value(node.input, node)
                self.measure(node)
                self.out.append(Let(node.place, node.target, value))
            case Coil():
                self._coil(node)
            case Block() if node.instance:
                self.instance(node)
            case Block():
                self.function(node)
            case Jump():
                self.out.append(Leap(node.place, self.value(node.input, node), node.label))
            case Return():
                power, leave = self.value(node.input, node), Leave(node.place, "RETURN")
                self.out.append(leave if is_true(power) else If(node.place, ((power, (leave,)),), ()))

    def _coil(self, node: Coil) -> None:
        place, power = node.place, self.value(node.input, node)
        if self.uses[node.number]:
            power = self.kept(power, node, None)
        self.measure(node)
        match node.action:
            case Action.PLAIN:
                self.out.append(Let(place, node.target, power))
            case Action.NEGATED:
                self.out.append(Let(place, node.target, negation(power, place)))
            case Action.SET | Action.RESET:
                change = Let(place, node.target, truth(place, value=node.action is Action.SET))
                self.out.append(change if is_true(power) else If(place, ((power, (change,)),), ()))
            case Action.RISING | Action.FALLING:
                edge = self.edge(power, place, rising=node.action is Action.RISING)
                self.out.append(Let(place, node.target, edge))
        if self.uses[node.number]:
            self.give(Wire(node.number), power, place)


__all__ = ["statements_of_graph"]
