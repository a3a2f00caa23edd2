"""A graph that gives one Boolean value and does nothing else: the condition of a transition, as an expression.

Rule: what would have to keep or do something is refused; it belongs into the body.
"""

from __future__ import annotations

from simplant.logic.fbd.lower import statements_of_graph
from simplant.logic.fbd.tree import Coil, Graph, Sink, inputs_of
from simplant.logic.st.declared import Unit
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Expression, Let


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
    if len(ends) != 1:
        fail(graph.place, f"{name or 'the condition'} is given a value {len(ends)} times", "once is wanted")
    known = {n.number: n for n in graph.nodes}
    kept, waiting = {ends[0].number}, [ends[0]]
    while waiting:
        for wire in (w for pin in inputs_of(waiting.pop()) for w in pin.wires):
            if wire.node in known and wire.node not in kept:
                kept.add(wire.node)
                waiting.append(known[wire.node])  # type: ignore[arg-type]
    own = Graph(graph.place, tuple(n for n in graph.nodes if n.number in kept))
    body = statements_of_graph(Unit(graph.place, "FUNCTION", "condition", None, (), ()), own).statements
    match body:
        case (Let() as only,):
            return only.value
        case _:
            what = "a condition is drawn that needs more than one expression"
            fail(ends[0].place, what, mend="do it in the body, and look at a variable here")


__all__ = ["value_of"]
