"""In which order a graph is evaluated: its networks, and what acts in each of them.

A network is all that is joined by wires, the power rails apart. Source: IEC 61131-3, order of evaluation of networks
and within a network, from memory. Rule: nothing is evaluated before what gives it a value; where wires go round in a
circle, what is drawn first is evaluated first, with the values of the scan before; numbers in the drawing go before;
a variable at the output of a block takes its value with the block.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeVar

from simplant.logic.fbd.tree import (
    Actor,
    Block,
    Coil,
    Connector,
    Continuation,
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
    Source,
    Wire,
    inputs_of,
)
from simplant.logic.st.report import fail

ACTORS = (Sink, Coil, Block, Jump, Return)

_Name = TypeVar("_Name")


@dataclass(frozen=True, slots=True)
class Network:
    """What is evaluated together: its nodes as drawn, and the acting ones in order."""

    nodes: tuple[Node, ...]
    order: tuple[Actor, ...]


def with_inputs(node: Node, change: Mapping[Wire, tuple[Wire, ...]]) -> Node:
    """Give a node with some of its wires led elsewhere."""

    def led(pin: Input) -> Input:
        wires = [new for wire in pin.wires for new in change.get(wire, (wire,))]
        return replace(pin, wires=tuple(dict.fromkeys(wires)))

    match node:
        case Block():
            return replace(node, inputs=tuple(map(led, node.inputs)), in_outs=tuple(map(led, node.in_outs)))
        case Rail() | Remark() | Source() | Continuation() | Label():
            return node
        case _:
            return replace(node, input=led(node.input))


def straightened(graph: Graph) -> list[Node]:
    """Give the nodes without connectors and continuations: their wires lead straight through.

    Raises:
        Fault: a continuation has no connector, or there are two of one name.
    """
    ends: dict[str, Connector] = {}
    for node in graph.nodes:
        if isinstance(node, Connector):
            if node.name.upper() in ends:
                first = ends[node.name.upper()].place.line
                fail(node.place, f"there are two connectors {node.name}", f"the first is at line {first}")
            ends[node.name.upper()] = node
    begins = {n.number: n for n in graph.nodes if isinstance(n, Continuation)}
    change = {Wire(number): tuple(_traced(node, begins, ends)) for number, node in begins.items()}
    return [with_inputs(n, change) for n in graph.nodes if not isinstance(n, Connector | Continuation)]


def _traced(node: Continuation, begins: Mapping[int, Continuation], ends: Mapping[str, Connector]) -> Iterator[Wire]:
    """Follow a continuation back to what gives it a value, through further ones."""
    waiting, seen = [node], {node.number}
    while waiting:
        here = waiting.pop()
        if here.name.upper() not in ends:
            fail(here.place, f"there is no connector {here.name}", "nothing leads into its continuation")
        for wire in ends[here.name.upper()].input.wires:
            further = begins.get(wire.node)
            if further is None:
                yield wire
            elif further.number not in seen:
                seen.add(further.number)
                waiting.append(further)


def networks(graph: Graph) -> list[Network | Label]:
    """Give the networks in the order in which they are evaluated; a label stands before what is drawn below it.

    Raises:
        Fault: connectors are wrong.
    """
    nodes = straightened(graph)
    drawn = {node.number: at for at, node in enumerate(nodes)}
    groups = groups_of(nodes)
    against = _against_places(groups)
    if against is not None and any(isinstance(n, Label | Jump | Return) for n in nodes):
        what = f"the number of evaluation {getattr(against, 'order', 0)} stands below a greater one"
        fail(against.place, what, "where there are jumps, networks run from top to bottom", "take the numbers out")
    if against is not None:
        groups = [[n for n in nodes if not isinstance(n, Remark)]]  # numbers order the whole drawing
    return [
        group[0] if isinstance(group[0], Label) else Network(tuple(group), tuple(_sequence(group, drawn)))
        for group in groups
    ]


def _against_places(groups: Sequence[Sequence[Node]]) -> Node | None:
    """Give the first node whose number of evaluation would turn networks round; None if numbers follow places."""
    last = 0
    for node in (n for group in groups for n in sorted(group, key=lambda n: getattr(n, "order", None) or 0)):
        order = getattr(node, "order", None)
        if order is not None and order < last:
            return node
        last = order or last
    return None


def groups_of(nodes: Sequence[Node], *, remarks: bool = False) -> list[list[Node]]:
    """Give nodes by networks, each with the rails that it begins at; labels (and remarks) stand alone.

    Args:
        nodes: as drawn.
        remarks: give comments too.
    """
    rails = {node.number: node for node in nodes if isinstance(node, Rail)}
    root = joined_to([n for n in nodes if not isinstance(n, Rail | RightRail)])
    found: dict[int, list[Node]] = {}
    for node in nodes:
        if node.number in root and (remarks or not isinstance(node, Remark)):
            found.setdefault(root[node.number], []).append(node)
    for group in found.values():
        used = {w.node for node in group for pin in inputs_of(node) for w in pin.wires}
        group += [rails[number] for number in sorted(used & rails.keys())]
    return list(found.values())


def joined_to(nodes: list[Node]) -> dict[int, int]:
    """Give each node the number of one that it is joined to over wires, the same for all of them."""
    wires = ((node.number, wire.node) for node in nodes for pin in inputs_of(node) for wire in pin.wires)
    return joined_by((node.number for node in nodes), wires)


def joined_by(names: Iterable[_Name], wires: Iterable[tuple[_Name, _Name]]) -> dict[_Name, _Name]:
    """Give each name one that it is joined to over wires between two, the same for all of them."""
    parent = {name: name for name in names}

    def root(name: _Name) -> _Name:
        while parent[name] != name:
            parent[name] = parent[parent[name]]
            name = parent[name]
        return name

    for one, other in wires:
        if other in parent:
            parent[root(one)] = root(other)
    return {name: root(name) for name in parent}


def upstream(nodes: Iterable[Node]) -> dict[int, set[int]]:
    """Give for each acting node the acting ones whose values reach it, by number."""
    known = {node.number: node for node in nodes}
    found: dict[int, set[int]] = {}
    for node in known.values():
        if not isinstance(node, ACTORS):
            continue
        waiting = [w.node for pin in inputs_of(node) for w in pin.wires]
        seen: set[int] = set()
        found[node.number] = set()
        while waiting:
            number = waiting.pop()
            if number in seen or number not in known:
                continue
            seen.add(number)
            if isinstance(known[number], ACTORS):
                found[node.number].add(number)
            else:
                waiting += [w.node for pin in inputs_of(known[number]) for w in pin.wires]
    return found


def _sequence(nodes: Sequence[Node], drawn: Mapping[int, int]) -> Iterator[Actor]:
    """Give what acts, in order."""
    actors = {n.number: n for n in nodes if isinstance(n, ACTORS)}
    before = _needed(nodes, actors, drawn)
    after: dict[int, list[int]] = {number: [] for number in actors}
    for number, needed in before.items():
        for each in needed:
            after[each].append(number)
    blocks = {n.number for n in nodes if isinstance(n, Block)}
    rank = {n: (not _takes(node, blocks), drawn[n], n) for n, node in actors.items()}
    ready = [rank[n] for n, needed in before.items() if not needed]
    heapq.heapify(ready)
    waiting = iter(sorted(actors, key=drawn.__getitem__))
    done: set[int] = set()
    while len(done) < len(actors):
        # if nothing is ready, wires go round in a circle: what is drawn first sees the values of the scan before
        number = heapq.heappop(ready)[2] if ready else next(n for n in waiting if n not in done)
        if number in done:
            continue
        done.add(number)
        yield actors[number]
        for each in after[number]:
            before[each].discard(number)
            if not before[each] and each not in done:
                heapq.heappush(ready, rank[each])


def _takes(node: Actor, blocks: set[int]) -> bool:
    """Say whether a node is a variable at the output of a block: it takes its value as soon as that is there."""
    return isinstance(node, Sink) and bool(node.input.wires) and all(w.node in blocks for w in node.input.wires)


def _needed(nodes: Sequence[Node], actors: Mapping[int, Actor], drawn: Mapping[int, int]) -> dict[int, set[int]]:
    """Give for each acting node those that go before it."""
    before = upstream(nodes)
    ranked = sorted((n.order, drawn[n.number], n.number) for n in actors.values() if n.order is not None)
    numbered = {number for _, _, number in ranked}
    for number in numbered:
        before[number] -= numbered
    for (_, _, first), (_, _, second) in pairwise(ranked):
        before[second].add(first)
    for number, needed in before.items():
        needed.discard(number)
    return before


__all__ = ["ACTORS", "Network", "joined_by", "joined_to", "networks", "straightened", "upstream", "with_inputs"]
