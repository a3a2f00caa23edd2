"""The levels at which a proposition may change though no signal jumps.

The plant schedules the crossing of each (plant/); nothing here knows how. Rule: every instant
at which a comparison of a continuous truth with a constant can change is among the levels.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from simplant.expr import COMPARISONS, Binary, Const, Expr, Function, Op, Truth, Unary

_MIRROR: Final = {Op.LT: Op.GT, Op.GT: Op.LT, Op.LE: Op.GE, Op.GE: Op.LE}


@dataclass(frozen=True, slots=True)
class Atom:
    """A comparison of a truth with a constant: `name op level`."""

    name: str
    op: Op
    level: float


def atoms(claim: Expr) -> tuple[Atom, ...]:
    """Give all comparisons of a truth with constants in an expression, each once.

    Sums, differences and products with constants, minus and ABS are solved for the truth: `ABS(a - 3) < 2`
    gives the levels 1 and 5, with the comparison as it stands.
    """
    found: dict[Atom, None] = {}
    for node in claim.walk():
        if isinstance(node, Binary) and node.op in COMPARISONS:
            found.update((Atom(name, op, level), None) for name, op, level in _solved(node))
    return tuple(found)


def moving(claim: Expr) -> tuple[Expr, ...]:
    """Give the comparisons that hold a truth but no fixed level (truth against tag, truth against truth).

    They are exact where every signal in them jumps; a continuous truth in one is only seen when looked at.
    """
    return tuple(
        node
        for node in claim.walk()
        if isinstance(node, Binary)
        and node.op in COMPARISONS
        and any(isinstance(each, Truth) for each in node.walk())
        and not any(True for _ in _solved(node))
    )


def _solved(node: Binary) -> Iterator[tuple[str, Op, float]]:
    for side, other, op in (
        (node.left, node.right, node.op),
        (node.right, node.left, _MIRROR.get(node.op, node.op)),
    ):
        if isinstance(other, Const) and isinstance(other.value, int | float):
            for name, level in _levels(side, float(other.value)):
                yield name, op, level


def _levels(side: Expr, level: float) -> Iterator[tuple[str, float]]:
    match side:
        case Truth():
            yield side.name, level
        case Unary(op=Op.NEG, operand=inner):
            yield from _levels(inner, -level)
        case Function(name="ABS", arguments=(inner,)):
            for each in (level, -level) if level else (0.0,):
                yield from _levels(inner, each)
        case Function(name=name, arguments=(inner,)) if name.endswith("_TO_LREAL"):
            yield from _levels(inner, level)
        case Binary(left=Const(value=int() | float() as fixed)):
            yield from _right(side, float(fixed), level)
        case Binary(right=Const(value=int() | float() as fixed)):
            yield from _left(side, float(fixed), level)
        case _:
            pass


def _right(side: Binary, fixed: float, level: float) -> Iterator[tuple[str, float]]:
    match side.op:
        case Op.ADD:
            yield from _levels(side.right, level - fixed)
        case Op.SUB:
            yield from _levels(side.right, fixed - level)
        case Op.MUL if fixed:
            yield from _levels(side.right, level / fixed)
        case _:
            pass


def _left(side: Binary, fixed: float, level: float) -> Iterator[tuple[str, float]]:
    match side.op:
        case Op.ADD:
            yield from _levels(side.left, level - fixed)
        case Op.SUB:
            yield from _levels(side.left, level + fixed)
        case Op.MUL if fixed:
            yield from _levels(side.left, level / fixed)
        case Op.DIV if fixed:
            yield from _levels(side.left, level * fixed)
        case _:
            pass
