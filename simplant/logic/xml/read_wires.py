"""Leading every wire of a drawing that was read from XML to an output that is there.

The objects themselves are read_graph.py. Rule: what hangs on an object that was refused is left out with it, so that
one mistake is told once.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from simplant.errors import Place
from simplant.logic.fbd.order import with_inputs
from simplant.logic.fbd.tree import Node, Wire, inputs_of
from simplant.logic.st.report import Report


def joined(
    report: Report, nodes: Sequence[Node], seen: Mapping[int, Place], pins: Mapping[int, Sequence[str]]
) -> tuple[Node, ...]:
    """Give the nodes with every wire led to an output that is there.

    Args:
        report: wires to nowhere are noted there.
        nodes: what was read.
        seen: every object by its number, those that were refused too.
        pins: the outputs of each block, by its number.
    """
    kept = _without_refused(nodes, seen)
    made = {node.number for node in kept}
    found: list[Node] = []
    for node in kept:
        change: dict[Wire, tuple[Wire, ...]] = {}
        for wire in (w for pin in inputs_of(node) for w in pin.wires):
            if wire.node in made:
                change[wire] = (_to_output(report, wire, node, pins),)
            else:
                report.error(node.place, f"it is joined to the localId {wire.node}, which nothing has")
                change[wire] = ()
        found.append(with_inputs(node, change))
    return tuple(found)


def _without_refused(nodes: Sequence[Node], seen: Collection[int]) -> list[Node]:
    refused = set(seen) - {node.number for node in nodes}
    kept = list(nodes)
    while refused:
        hanging = [n for n in kept if any(w.node in refused for pin in inputs_of(n) for w in pin.wires)]
        if not hanging:
            break
        refused |= {node.number for node in hanging}
        kept = [node for node in kept if node.number not in refused]
    return kept


def _to_output(report: Report, wire: Wire, node: Node, pins: Mapping[int, Sequence[str]]) -> Wire:
    if wire.node not in pins:
        return Wire(wire.node)
    own = pins[wire.node]
    known = {name.upper(): name for name in own}
    if not wire.pin and own and "" not in known:
        return Wire(wire.node, next((name for name in own if name.upper() != "ENO"), own[0]))
    if wire.pin.upper() not in known:
        report.error(node.place, f"it is joined to {wire.pin!r} of a block that has no such output")
    return Wire(wire.node, known.get(wire.pin.upper(), wire.pin))


__all__ = ["joined"]
