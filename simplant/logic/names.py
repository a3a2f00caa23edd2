"""What core nodes and expressions speak of: the nodes below them, their expressions, the names these read.

Where a name lives is layout.py. Rule: looking only.
"""

from collections.abc import Iterable, Iterator

from simplant.expr import Elapsed, Expr, Ref, TimerElapsed
from simplant.logic.core import Assign, Branch, Core, Invoke, PythonCall, Stamp


def nodes(core: Iterable[Core]) -> Iterator[Core]:
    """Give every core node, outermost first."""
    for node in core:
        yield node
        if isinstance(node, Branch):
            for _, body in node.arms:
                yield from nodes(body)
            yield from nodes(node.otherwise)


def expressions(node: Core) -> tuple[Expr, ...]:
    """Give the expressions that a core node evaluates itself."""
    match node:
        case Assign():
            return (node.value,)
        case Invoke():
            return tuple(value for _, value in node.arguments)
        case Branch():
            return tuple(condition for condition, _ in node.arms)
        case Stamp() | PythonCall():
            return ()


def read_names(expression: Expr) -> Iterator[str]:
    """Give every stored name that an expression reads."""
    for node in expression.walk():
        match node:
            case Ref():
                yield node.name
            case Elapsed():
                yield node.since.name
            case TimerElapsed():
                yield f"{node.instance}.ET"
            case _:
                pass
