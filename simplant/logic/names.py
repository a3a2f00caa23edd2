"""What core nodes and expressions speak of: the nodes below them, their expressions, the names these read.

Where a name lives is layout.py. Rule: looking only.
"""

from collections.abc import Iterable, Iterator

from simplant.expr import Address, Elapsed, Element, Expr, Ref, TimerElapsed
from simplant.logic.core import (
    Assign,
    Branch,
    Copy,
    Core,
    Invoke,
    Leave,
    Locate,
    Loop,
    Perform,
    PythonCall,
    Stamp,
    Store,
)


def nodes(core: Iterable[Core]) -> Iterator[Core]:
    """Give every core node, outermost first."""
    for node in core:
        yield node
        match node:
            case Branch():
                for _, body in node.arms:
                    yield from nodes(body)
                yield from nodes(node.otherwise)
            case Loop():
                yield from nodes((*node.head, *node.body, *node.step))
            case _:
                pass


def expressions(node: Core) -> tuple[Expr, ...]:
    """Give the expressions that a core node evaluates itself."""
    match node:
        case Assign():
            return (node.value,)
        case Invoke():
            return tuple(value for _, value in node.arguments)
        case Branch():
            return tuple(condition for condition, _ in node.arms)
        case Loop() | Store() | Copy() | Perform() | Locate():
            return _structured(node)
        case Stamp() | PythonCall() | Leave():
            return ()


def _structured(node: Loop | Store | Copy | Perform | Locate) -> tuple[Expr, ...]:
    match node:
        case Loop():
            return () if node.condition is None else (node.condition,)
        case Store():
            return (node.index, node.value)
        case Copy():
            return (node.offset, node.source_offset)
        case Locate():
            return (node.reference,)
        case Perform():
            return tuple(a for a in node.arguments if isinstance(a, Expr))


def read_names(expression: Expr) -> Iterator[str]:
    """Give every stored name that an expression reads."""
    for node in expression.walk():
        match node:
            case Ref():
                yield node.name
            case Elapsed():
                yield node.since.name
            case Element() | Address():
                yield node.row
            case TimerElapsed():
                yield f"{node.instance}.ET"
            case _:
                pass
