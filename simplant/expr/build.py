"""Joining operands into checked nodes: one type on both sides, an operator that fits it.

The nodes are nodes.py. A literal takes the type of the other side. Rule: what does not fit is
refused where it is written.
"""

from simplant.errors import ProgramError
from simplant.expr.base import Expr
from simplant.expr.nodes import Binary, Const, Unary, of_type
from simplant.expr.operators import ARITHMETIC, COMPARISONS, LOGIC, Op
from simplant.values import BOOL, INT, LREAL, STRING, TIME, ElementaryType


def natural(value: object) -> Expr:
    """Give a Python value as a constant of its natural type (bool BOOL, int INT, float LREAL, str STRING)."""
    if isinstance(value, Expr):
        return value
    for kind, wanted in ((bool, BOOL), (int, INT), (float, LREAL), (str, STRING)):
        if isinstance(value, kind):
            return Const(wanted.check(value), wanted)
    raise ProgramError(f"{value!r} cannot stand in an expression", f"it is of Python type {type(value).__name__}")


def _pair(left: object, right: object) -> tuple[Expr, Expr]:
    """Give both operands as expressions of one type; a literal takes the type of the other side."""
    if isinstance(left, Expr) and not isinstance(right, Expr):
        return left, of_type(right, left.type)
    if isinstance(right, Expr) and not isinstance(left, Expr):
        return of_type(left, right.type), right
    return natural(left), natural(right)


def _result(op: Op, left: Expr, right: Expr) -> ElementaryType:
    """Give the type of a binary node, or raise if the operands do not fit it."""
    if op in LOGIC and (left.type is BOOL or left.type.is_bits):
        return left.type
    if op in COMPARISONS and (left.type is not BOOL or op in {Op.EQ, Op.NE}):
        return BOOL
    if op in ARITHMETIC and (left.type.is_number or (left.type is TIME and op in {Op.ADD, Op.SUB})):
        if op is Op.MOD and not left.type.is_integer:
            raise ProgramError(f"MOD needs integers but {left} is {left.type.name}")
        return left.type
    raise ProgramError(f"{op.spelling} cannot join {left} and {right}", f"they are {left.type.name}")


def binary(op: Op, left: object, right: object) -> Expr:
    """Build a checked binary node.

    Raises:
        ProgramError: the operands do not fit each other or the operator.
    """
    a, b = _pair(left, right)
    if a.type is not b.type:
        raise ProgramError(
            f"{op.spelling} joins {a} ({a.type.name}) and {b} ({b.type.name})",
            "both sides must be of one type",
            f"convert one: to_type({b}, {a.type.name})",
        )
    return Binary(op, a, b, _result(op, a, b))


def unary(op: Op, operand: Expr) -> Expr:
    """Build NOT or minus; the base class has checked the operand."""
    return Unary(op, operand, operand.type)
