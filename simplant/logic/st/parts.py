"""The expressions inside statements, and those inside expressions.

Rule: looking only.
"""

from collections.abc import Iterable, Iterator
from typing import Final

from simplant.logic.st.tree import (
    Access,
    Call,
    Case,
    Do,
    Expression,
    For,
    If,
    Index,
    Infix,
    Leave,
    Let,
    Prefix,
    Repeat,
    Statement,
    While,
)

_ALIKE: Final = (("+", "-"), ("*", "/", "MOD"))


def expressions_of(node: Statement) -> Iterator[Expression]:
    """Give the expressions of a statement itself, not of the statements inside it."""
    match node:
        case Let():
            yield node.value
            yield node.target
        case Do():
            yield node.call
        case If():
            yield from (condition for condition, _ in node.arms)
        case Case():
            yield node.selector
        case For():
            yield from (node.first, node.last, *([node.step] if node.step else []))
        case While():
            yield node.condition
        case Repeat():
            yield node.until
        case _:
            pass


def within(node: Expression) -> Iterator[Expression]:
    """Give an expression and all inside it."""
    waiting = [node]
    while waiting:
        each = waiting.pop()
        yield each
        waiting += reversed(_inside(each))


def first_of(node: Expression) -> Expression:
    """Give what stands first in an expression."""
    while isinstance(node, Infix):
        node = node.left
    return node


def in_a_row(node: Infix) -> tuple[Expression, list[Infix]]:
    """Give the first operand of a row of one operator (or of + and -, or of *, / and MOD), and each operator of it."""
    row: list[Infix] = [node]
    alike = next((words for words in _ALIKE if node.operator in words), (node.operator,))
    while isinstance(row[-1].left, Infix) and row[-1].left.operator in alike:
        row.append(row[-1].left)
    return row[-1].left, row[::-1]


def _inside(node: Expression) -> list[Expression]:
    match node:
        case Infix():
            return [node.left, node.right]
        case Prefix():
            return [node.operand]
        case Call():
            return [a.value for a in node.arguments if a.value is not None]
        case Access():
            return [value for s in node.selectors if isinstance(s, Index) for value in s.values]
        case _:
            return []


def bodies_of(node: Statement) -> list[tuple[Statement, ...]]:
    """Give the rows of statements inside a statement."""
    match node:
        case If():
            return [*(body for _, body in node.arms), node.otherwise]
        case Case():
            return [*(body for _, body in node.groups), node.otherwise]
        case For() | While() | Repeat():
            return [node.body]
        case _:
            return []


def returns(nodes: Iterable[Statement]) -> bool:
    """Say whether a RETURN stands anywhere among statements."""
    return any(isinstance(n, Leave) and n.word == "RETURN" for n in every(nodes))


def every(nodes: Iterable[Statement]) -> Iterator[Statement]:
    """Give all statements, those inside others too."""
    for node in nodes:
        yield node
        for body in bodies_of(node):
            yield from every(body)
