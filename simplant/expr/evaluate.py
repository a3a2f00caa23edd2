"""Evaluate an expression plainly, node by node: the oracle for the compiled path.

The compiled path is logic/compile.py. Rule: exactly the standard's order and types; no shortcut
but that AND, OR and SEL do not look further once decided.
"""

from collections.abc import Callable, Mapping
from typing import Final

from simplant.errors import InternalError
from simplant.expr.base import Expr, now_of
from simplant.expr.functions import function_named
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
from simplant.expr.places import MEMORY, Memory
from simplant.values import BOOL, ElementaryType, Value, divide, modulo

_COMPARE: Final[dict[Op, Callable[..., bool]]] = {
    Op.EQ: lambda a, b: a == b,
    Op.NE: lambda a, b: a != b,
    Op.LT: lambda a, b: a < b,
    Op.LE: lambda a, b: a <= b,
    Op.GT: lambda a, b: a > b,
    Op.GE: lambda a, b: a >= b,
}
_ARITHMETIC: Final[dict[Op, Callable[..., Value]]] = {
    Op.ADD: lambda a, b: a + b,
    Op.SUB: lambda a, b: a - b,
    Op.MUL: lambda a, b: a * b,
    Op.AND: lambda a, b: a & b,
    Op.OR: lambda a, b: a | b,
    Op.XOR: lambda a, b: a ^ b,
}


def evaluate(node: Expr, env: Mapping[str, Value]) -> Value:
    """Evaluate on values by name; `env[NOW]` is the instant, `env["warn.ET"]` a timer's elapsed time.

    Raises:
        ProgramError: division by zero.
    """
    match node:
        case Const():
            return node.value
        case Ref() | Truth():
            return env[node.name]
        case Unary():
            return _unary(node.op, evaluate(node.operand, env), node.type)
        case Binary():
            return _binary(node, env)
        case Function():
            return _function(node, env)
        case Checked():
            return node.check(evaluate(node.value, env))
        case Element():
            return env[node.row][evaluate(node.index, env)]  # type: ignore[index]  # a row holds a list
        case Pointed() | Address():
            return _place(node, env)
        case Elapsed():
            return now_of(env) - int(env[node.since.name])
        case TimerElapsed():
            return env[f"{node.instance}.ET"]
        case StepActive():
            return env[node.chart] in node.steps
        case _:
            raise InternalError(f"an expression node of type {type(node).__name__} cannot be evaluated")


def _place(node: Pointed | Address, env: Mapping[str, Value]) -> Value:
    memory: Memory = env[MEMORY]  # type: ignore[assignment]  # what runs a program puts it there
    index = evaluate(node.index, env)
    if isinstance(node, Address):
        return memory.place(env[node.row], index, node.behind)  # type: ignore[arg-type]  # a row and a whole number
    reference = evaluate(node.reference, env)
    return memory.read(reference, node.label, node.suffix, index)  # type: ignore[arg-type]  # by their types


def _unary(op: Op, value: Value, kind: ElementaryType) -> Value:
    if op is Op.NOT:
        return not value if kind is BOOL else kind.wrap(~int(value))
    return kind.wrap(-value)  # type: ignore[operator]  # a number, checked when built


def _binary(node: Binary, env: Mapping[str, Value]) -> Value:
    left = evaluate(node.left, env)
    if node.type is BOOL and ((node.op is Op.AND and not left) or (node.op is Op.OR and left)):
        return left
    right = evaluate(node.right, env)
    if node.op in _COMPARE:
        return _COMPARE[node.op](left, right)
    if node.op is Op.DIV:
        return node.type.wrap(divide(left, right))  # type: ignore[arg-type]  # numbers, checked when built
    if node.op is Op.MOD:
        return modulo(left, right)  # type: ignore[arg-type]
    return node.type.wrap(_ARITHMETIC[node.op](left, right))


def _function(node: Function, env: Mapping[str, Value]) -> Value:
    if node.name == "SEL":
        choice, if_false, if_true = node.arguments
        return evaluate(if_true if evaluate(choice, env) else if_false, env)
    compute = function_named(node.name, node.type)
    return node.type.wrap(compute(*(evaluate(a, env) for a in node.arguments)))
