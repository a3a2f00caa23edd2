"""Print an expression the way the standard writes it, with no parenthesis too many.

Rule: what is printed reads back as the same tree (left to right at equal strength).
"""

from simplant.expr.base import Expr
from simplant.expr.nodes import (
    Address,
    Binary,
    Checked,
    Const,
    Elapsed,
    Element,
    Function,
    Pointed,
    Ref,
    StepActive,
    TimerElapsed,
    Truth,
    Unary,
)
from simplant.expr.operators import Op
from simplant.expr.rows import row_signs, shown_row
from simplant.values import show_value

_ATOM = 10


def _strength(node: Expr) -> int:
    match node:
        case Binary() | Unary():
            return node.op.strength
        case StepActive() if len(node.steps) > 1:
            return 1
        case _:
            return _ATOM


def _inside(node: Expr, least: int) -> str:
    text = show(node)
    return f"({text})" if _strength(node) < least else text


def show(node: Expr) -> str:
    """Give the text of an expression."""
    match node:
        case Const():
            return show_value(node.value, node.type)
        case Ref() | Truth():
            return node.name
        case Unary():
            if isinstance(node.operand, Const) and node.operand.type.is_number:
                return f"{node.op.spelling}({show(node.operand)})"  # -2 is the literal
            gap = " " if node.op.spelling.isalpha() else ""
            return f"{node.op.spelling}{gap}{_inside(node.operand, node.op.strength)}"
        case Binary():
            strength = node.op.strength
            return f"{_inside(node.left, strength)} {node.op.spelling} {_inside(node.right, strength + 1)}"
        case Function() if signs := row_signs(node):
            return f"({shown_row(signs, [_inside(a, Op.MUL.strength + 1) for a in node.arguments])})"
        case Function():
            return f"{node.name}({', '.join(show(a) for a in node.arguments)})"
        case Checked():
            return show(node.value)
        case Element():
            return node.row if node.cell else f"{node.row}[{show(node.index)}]"
        case Pointed():
            plain = isinstance(node.index, Const) and node.index.value == 0
            return f"{node.label}^{node.suffix}{'' if plain else f'[{show(node.index)}]'}"
        case Address():
            return f"REF({node.row})"
        case Elapsed():
            return node.label
        case TimerElapsed():
            return f"{node.instance}.ET"
        case StepActive():
            return " OR ".join(f"{node.chart}.{step}" for step in node.steps)
        case _:
            return f"<{type(node).__name__}>"
