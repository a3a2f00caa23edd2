"""Between what whole numbers an expression lies, so that compiled programs need not bring back what cannot leave.

Who uses it is logic/emit.py. Rule: a span holds every value that can be; where nothing is known it is the type's own.
"""

from collections.abc import Callable
from typing import Final

from simplant.expr.base import Expr
from simplant.expr.checks import IndexCheck, RangeCheck
from simplant.expr.nodes import Binary, Checked, Const, Function
from simplant.expr.operators import Op
from simplant.values import TYPES, ElementaryType, Kind, divide

Span = tuple[int, int]
"""The least and the greatest value."""

WHOLE: Final = (Kind.INTEGER, Kind.BITS, Kind.TIME, Kind.DATE)
SUMS: Final[dict[Op, Callable[[int, int], int]]] = {
    Op.ADD: lambda a, b: a + b,
    Op.SUB: lambda a, b: a - b,
    Op.MUL: lambda a, b: a * b,
}
"""Operators that may be reckoned exactly and brought into their type at the end."""


def span_of_type(type_: ElementaryType) -> Span:
    """Give the span of a type of whole numbers."""
    return int(type_.least), int(type_.most)


def is_in(span: Span, outer: Span) -> bool:
    """Say whether one span lies in another."""
    return outer[0] <= span[0] and span[1] <= outer[1]


def joined(op: Op, left: Span, right: Span) -> Span:
    """Give the exact span of a sum, a difference or a product."""
    ends = [SUMS[op](a, b) for a in left for b in right]
    return min(ends), max(ends)


def span_of(node: Expr) -> Span:
    """Give the span of an expression of whole numbers, brought into its type."""
    own = span_of_type(node.type)
    match node:
        case Const(value=int() as value):
            return value, value
        case Checked(check=IndexCheck() as check):
            return 0, check.most - check.least
        case Checked(check=RangeCheck() as check):
            return check.least, check.most
        case Binary(op=op) if op in SUMS:
            exact = joined(op, span_of(node.left), span_of(node.right))
            return exact if is_in(exact, own) else own
        case Binary(op=Op.DIV | Op.MOD, right=Const(value=int() as divisor)) if divisor > 0:
            least, most = span_of(node.left)
            if node.op is Op.DIV:
                return int(divide(least, divisor)), int(divide(most, divisor))
            return max(least, 1 - divisor) if least < 0 else 0, min(most, divisor - 1) if most > 0 else 0
        case Function() if narrowed(node):
            inner = span_of(node.arguments[0])
            return inner if is_in(inner, own) else own
        case _:
            return own


def narrowed(node: Function) -> ElementaryType | None:
    """Give the type that a conversion takes low bits of; None if it is no such conversion."""
    name, mark, target = node.name.partition("_TO_")
    source = TYPES.get(name)
    if not mark or source is None or target != node.type.name:
        return None
    kinds = (Kind.INTEGER, Kind.BITS)
    return source if source.kind in kinds and node.type.kind in kinds else None
