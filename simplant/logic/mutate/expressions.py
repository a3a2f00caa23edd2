"""Mistakes in one expression: a contact, a connective, a comparison, a time, a like input.

What holds expressions is statements.py and charts.py. Rule: each gives the whole expression anew, with one node
changed and all others as they were.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final

from simplant.errors import ProgramError, nearest
from simplant.expr import Binary, Checked, Const, Element, Expr, Function, Op, Ref, StepActive, Unary
from simplant.logic.program import Program
from simplant.tags import Direction
from simplant.timebase import Ns
from simplant.values import BOOL, TIME

_CONNECTIVES: Final = {Op.AND: Op.OR, Op.OR: Op.AND, Op.XOR: Op.OR}
_COMPARISONS: Final = {
    Op.LT: Op.LE, Op.LE: Op.LT, Op.GT: Op.GE, Op.GE: Op.GT, Op.EQ: Op.NE, Op.NE: Op.EQ,
}  # fmt: skip
_ARITHMETIC: Final = {Op.ADD: Op.SUB, Op.SUB: Op.ADD, Op.MUL: Op.DIV, Op.DIV: Op.MUL}


@dataclass(frozen=True, slots=True)
class Change:
    """One changed expression: the kind of mistake, the whole expression, the node before and after."""

    kind: str
    expression: Expr
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a mistake may take from the program: its inputs, and how long a scan is."""

    program: Program
    scan: Ns

    def like(self, name: str) -> Ref | None:
        """Give the input of the same type whose name is nearest in spelling, or in the list; None if it is no input."""
        tags = self.program.declared
        if name not in tags or tags[name].direction is not Direction.INPUT:
            return None
        alike = [t.name for t in tags.values() if t.direction is Direction.INPUT and t.type is tags[name].type]
        if len(alike) < 2:
            return None
        others = [other for other in alike if other != name]
        close = [other for other in others if other in nearest(name, others)]
        chosen = close[0] if close else alike[(alike.index(name) + 1) % len(alike)]
        return Ref(chosen, tags[name].type)


def changes(expression: Expr, around: Surroundings) -> Iterator[Change]:
    """Give every changed form of an expression."""
    yield from _own(expression, around)
    if _is_contact(expression):
        return
    for number, child in enumerate(expression.children()):
        for change in changes(child, around):
            yield replace(change, expression=_with_child(expression, number, change.expression))


def times(value: Ns, scan: Ns) -> list[Ns]:
    """Give the wrong forms of a time: a tenth, ten times, a scan more, a scan less; those that differ and are not 0."""
    wrong = [Ns(value // 10), Ns(value * 10), Ns(value + scan), Ns(value - scan)]
    return [time for time in dict.fromkeys(wrong) if time > 0 and time != value]


def _is_contact(expression: Expr) -> bool:
    """Say whether it is a contact, straight or inverted: something Boolean that is read, not made."""
    inner = expression.operand if isinstance(expression, Unary) and expression.op is Op.NOT else expression
    return isinstance(inner, Ref | StepActive) and inner.type is BOOL


def _own(node: Expr, around: Surroundings) -> Iterator[Change]:
    if _is_contact(node):
        yield from _contact(node, around)
    elif isinstance(node, Binary):
        yield from _binary(node)
    elif isinstance(node, Const):
        yield from _constant(node, around.scan)
    elif isinstance(node, Ref) and (like := around.like(node.name)) is not None:
        yield _changed("input", node, like)


def _binary(node: Binary) -> Iterator[Change]:
    if node.op in _CONNECTIVES and node.type is BOOL:
        yield _changed("connective", node, replace(node, op=_CONNECTIVES[node.op]))
        yield Change("dropped", node.left, str(node.right), "nothing")
        yield Change("dropped", node.right, str(node.left), "nothing")
    elif node.op in _COMPARISONS:
        yield _changed("comparison", node, replace(node, op=_COMPARISONS[node.op]))
    elif node.op in _ARITHMETIC and node.left.type is node.right.type is not TIME:
        yield _changed("arithmetic", node, replace(node, op=_ARITHMETIC[node.op]))


def _contact(node: Expr, around: Surroundings) -> Iterator[Change]:
    inverted = isinstance(node, Unary)
    inner = node.operand if isinstance(node, Unary) else node
    yield _changed("negated", node, inner if inverted else ~node)
    if isinstance(inner, Ref) and (like := around.like(inner.name)) is not None:
        yield _changed("input", node, ~like if inverted else like)


def _constant(node: Const, scan: Ns) -> Iterator[Change]:
    if isinstance(node.value, str):
        return
    if node.type is TIME:
        for time in times(Ns(int(node.value)), scan):
            yield _changed("preset", node, Const(time, TIME))
    elif node.type is BOOL:
        yield _changed("constant", node, Const(not node.value, BOOL))
    elif node.type.is_number:
        for by in (1, -1):
            with suppress(ProgramError):  # a number at the end of its range has no next one
                yield _changed("constant", node, Const(node.type.check(node.value + by), node.type))


def _changed(kind: str, before: Expr, after: Expr) -> Change:
    return Change(kind, after, str(before), str(after))


def _with_child(node: Expr, number: int, child: Expr) -> Expr:
    match node:
        case Unary():
            return replace(node, operand=child)
        case Binary():
            return replace(node, left=child) if number == 0 else replace(node, right=child)
        case Function(arguments=arguments):
            return replace(node, arguments=(*arguments[:number], child, *arguments[number + 1 :]))
        case Element():
            return replace(node, index=child)
        case Checked():
            return replace(node, value=child)
        case _:
            raise AssertionError(f"{type(node).__name__} has no children")
