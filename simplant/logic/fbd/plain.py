"""A graph in its plain form: network below network, its nodes numbered in their order.

Rule: what it does stays the same; only what lay beside one another now lies below.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from simplant.logic.fbd.order import joined_to, with_inputs
from simplant.logic.fbd.tree import Graph, Label, Node, Remark, Wire, inputs_of


def plain_graph(graph: Graph) -> Graph:
    """Give a graph in its plain form."""
    nodes = list(in_networks(graph.nodes))
    numbers = {node.number: n for n, node in enumerate(nodes, 1)}
    change = {
        wire: (Wire(numbers[wire.node], wire.pin),)
        for node in nodes
        for pin in inputs_of(node)
        for wire in pin.wires
        if wire.node in numbers
    }
    return replace(graph, nodes=tuple(replace(with_inputs(n, change), number=numbers[n.number]) for n in nodes))


def in_networks(nodes: Sequence[Node]) -> Iterator[Node]:
    """Give nodes network by network; a label and comments stand before the network that is drawn below them."""
    roots = joined_to(list(nodes))
    groups: dict[int, list[Node]] = {}
    for node in nodes:
        groups.setdefault(roots[node.number], []).append(node)
    label: list[Node] = []
    remarks: list[Node] = []
    for group in groups.values():
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


__all__ = ["in_networks", "plain_graph"]
