"""A graph that gives one Boolean value and does nothing else: the condition of a transition, as an expression.

Where no coil or variable is drawn, its loose end is what is meant (IEC 61131-3, from memory: it meets the
vertical line of the chart). Rule: what would have to keep or do something is refused; it belongs into the body.
"""

from __future__ import annotations

from dataclasses import replace

from simplant.logic.fbd.lower import statements_of_graph
from simplant.logic.fbd.tree import (
    Block,
    Coil,
    Contact,
    Edge,
    Graph,
    Input,
    Node,
    RightRail,
    Sink,
    Source,
    Wire,
    inputs_of,
)
from simplant.logic.ladder.tree import Action, Sense
from simplant.logic.st.declared import Unit
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, Let


def value_of(graph: Graph, name: str) -> Expression:
    """Give what a graph gives a name.

    Args:
        graph: the drawing.
        name: the only one, if it is empty.

    Raises:
        Fault: it is given nothing, or more than an expression is needed.
    """
    ends = [n for n in graph.nodes if isinstance(n, Sink | Coil) and str(n.target).upper() in (name.upper(), "")]
    if not ends and not name:
        ends = [n for n in graph.nodes if isinstance(n, Sink | Coil)]
    if not ends:
        graph, ends = _with_end(graph)
    if len(ends) != 1:
        fail(graph.place, f"{name or 'the condition'} is given a value {len(ends)} times", "once is wanted")
    own = _leading_to(ends[0], graph)
    for node in own.nodes:
        if _looks_for_edge(node):
            fail(node.place, "a condition looks for an edge", "it keeps nothing from one scan to the next",
                 "find the edge in an action, and look at a variable here")  # fmt: skip
    body = statements_of_graph(Unit(graph.place, "FUNCTION", "condition", None, (), ()), own).statements
    match body:
        case (Let() as only,):
            return only.value
        case _:
            what = "a condition is drawn that needs more than one expression"
            fail(ends[0].place, what, mend="do it in the body, and look at a variable here")


def _leading_to(end: Node, graph: Graph) -> Graph:
    """Give the part of a graph whose values reach a node."""
    known = {n.number: n for n in graph.nodes}
    kept, waiting = {end.number}, [end]
    while waiting:
        for wire in (w for pin in inputs_of(waiting.pop()) for w in pin.wires):
            if wire.node in known and wire.node not in kept:
                kept.add(wire.node)
                waiting.append(known[wire.node])
    return replace(graph, nodes=tuple(n for n in graph.nodes if n.number in kept))


def _looks_for_edge(node: Node) -> bool:
    marked = isinstance(node, Contact) and node.sense in (Sense.RISING, Sense.FALLING)
    at_pin = any(pin.edge is not Edge.NONE for pin in inputs_of(node))
    return marked or at_pin or (isinstance(node, Source) and node.edge is not Edge.NONE)


def _with_end(graph: Graph) -> tuple[Graph, list[Sink | Coil]]:
    """Give a graph a coil behind what reaches its right rail or, if it has none, behind the only loose end."""
    power = [wire for n in graph.nodes if isinstance(n, RightRail) for wire in n.input.wires]
    if not power:
        read = {w.node for n in graph.nodes for pin in inputs_of(n) for w in pin.wires}
        loose = [n for n in graph.nodes if n.number not in read]
        power = [Wire(n.number) for n in loose if isinstance(n, Contact | Source)]
        power += [Wire(n.number, out.name) for n in loose if isinstance(n, Block) for out in n.outputs
                  if out.name.upper() != "ENO"]  # fmt: skip
        power = power if len(power) == 1 else []
    if not power:
        return graph, []
    number = 1 + max(n.number for n in graph.nodes)
    end = Coil(number, graph.place, Action.PLAIN, Access(graph.place, "condition"), Input("", tuple(power)))
    return replace(graph, nodes=(*graph.nodes, end)), [end]


__all__ = ["value_of"]
