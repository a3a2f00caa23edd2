"""Long rows of arithmetic, `a + b - c + ...`, as one function of all their operands: so they are flat, not deep.

What joins operands two by two is build.py. Rule: a row is reckoned left to right, and every step is brought into the
type, as if it were joined two by two.
"""

from collections.abc import Callable
from typing import Any, Final

from simplant.expr.base import Expr
from simplant.expr.nodes import Binary, Function
from simplant.expr.operators import Op
from simplant.values import ElementaryType, Value, divide, modulo

ROW: Final = "ROW "
"""What the name of such a function begins with; a sign for each operator follows."""

_SIGNS: Final = {Op.ADD: "+", Op.SUB: "-", Op.MUL: "*", Op.DIV: "/", Op.MOD: "%"}
_STEPS: Final[dict[str, Callable[..., Any]]] = {
    "+": lambda a, b: a + b, "-": lambda a, b: a - b, "*": lambda a, b: a * b, "/": divide, "%": modulo,
}  # fmt: skip


def row_signs(expr: Expr) -> str:
    """Give the signs of a long row; empty if an expression is none."""
    return expr.name.removeprefix(ROW) if isinstance(expr, Function) and expr.name.startswith(ROW) else ""


def flattened(expr: Expr) -> Expr:
    """Give what one more operand is joined to, and it, as a row; what is no arithmetic stays as it is."""
    if not isinstance(expr, Binary) or expr.op not in _SIGNS:
        return expr
    signs = row_signs(expr.left) if expr.left.type is expr.type else ""
    terms = expr.left.children() if signs else (expr.left,)
    return Function(f"{ROW}{signs}{_SIGNS[expr.op]}", (*terms, expr.right), expr.type)


def row(signs: str, result: ElementaryType) -> Callable[..., Value]:
    """Give what computes a row."""
    steps = [_STEPS[sign] for sign in signs]

    def compute(first: Value, *others: Value) -> Value:
        for step, other in zip(steps, others, strict=True):
            first = result.wrap(step(first, other))
        return first

    return compute


def shown_row(signs: str, terms: list[str]) -> str:
    """Write a row as people do."""
    words = [" MOD " if sign == "%" else f" {sign} " for sign in signs]
    return terms[0] + "".join(word + term for word, term in zip(words, terms[1:], strict=True))
