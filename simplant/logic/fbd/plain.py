"""A graph in its plain form: network below network, its nodes numbered in their order; several graphs as one.

Rule: what it does stays the same; only what lay beside one another now lies below.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from simplant.logic.fbd.order import groups_of, with_inputs
from simplant.logic.fbd.tree import (
    Block,
    Coil,
    Graph,
    Input,
    Jump,
    Label,
    Node,
    Rail,
    Remark,
    Return,
    RightRail,
    Sink,
    Wire,
    inputs_of,
)


def plain_graph(graph: Graph) -> Graph:
    """Give a graph in its plain form."""
    return replace(graph, nodes=_numbered(list(in_networks(graph.nodes)), 1))


def one_below_the_other(graphs: Sequence[Graph]) -> Graph:
    """Give several graphs as one; each is drawn, and evaluated, below the one before it."""
    nodes: list[Node] = []
    for graph in graphs:
        last = max((getattr(node, "order", None) or 0 for node in nodes), default=0)
        nodes += [_later(node, last) for node in _numbered(graph.nodes, len(nodes) + 1)]
    return replace(graphs[0], nodes=tuple(nodes))


def _later(node: Node, last: int) -> Node:
    """Give a node with its number of evaluation, if it has one, behind a last one."""
    match node:
        case Sink() | Coil() | Block() | Jump() | Return() if node.order is not None:
            return replace(node, order=node.order + last)
        case _:
            return node


def _numbered(nodes: Sequence[Node], first: int) -> tuple[Node, ...]:
    numbers = {node.number: n for n, node in enumerate(nodes, first)}
    change = {
        wire: (Wire(numbers[wire.node], wire.pin),)
        for node in nodes
        for pin in inputs_of(node)
        for wire in pin.wires
        if wire.node in numbers
    }
    return tuple(replace(with_inputs(n, change), number=numbers[n.number]) for n in nodes)


def in_networks(nodes: Sequence[Node]) -> Iterator[Node]:
    """Give nodes network by network, each between rails of its own; labels and comments stand before what is below."""
    label: list[Node] = []
    remarks: list[Node] = []
    for group in _between_own_rails(nodes):
        match group[0]:
            case Remark():
                remarks += group
            case Label():
                yield from (*label, *(remarks if label else ()))
                remarks = [] if label else remarks
                label = group
            case _:
                yield from (*label, *remarks, *group)
                label, remarks = [], []
    yield from (*label, *remarks)


def _between_own_rails(nodes: Sequence[Node]) -> Iterator[list[Node]]:
    """Give networks (labels and comments alone), each with the rails that it is joined to as if they were its own."""
    last = max((node.number for node in nodes), default=0)
    ends = [wire for node in nodes if isinstance(node, RightRail) for wire in node.input.wires]
    for group in groups_of(nodes, remarks=True):
        change: dict[Wire, tuple[Wire, ...]] = {}
        rails: list[Node] = []
        for rail in [node for node in group if isinstance(node, Rail)]:
            last += 1
            change[Wire(rail.number)] = (Wire(last),)
            rails.append(replace(rail, number=last))
        own = {node.number for node in group if not isinstance(node, Rail)}
        led = tuple(wire for wire in ends if wire.node in own)
        if led:
            last += 1
            rails.append(RightRail(last, group[0].place, Input("", led)))
        left = [rail for rail in rails if isinstance(rail, Rail)]
        inner = [with_inputs(node, change) for node in group if not isinstance(node, Rail)]
        yield [*left, *inner, *rails[len(left) :]]


__all__ = ["in_networks", "one_below_the_other", "plain_graph"]
