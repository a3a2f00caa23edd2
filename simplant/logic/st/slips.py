"""Comparisons as they are written in mathematics and in speech: `1 < i < 5`, `i = 1 OR 2`.

Rule: what is meant is said, with the variables that stand there.
"""

from typing import Final

from simplant.logic.st.adapt import Val
from simplant.logic.st.printed_expressions import printed_expression
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Expression, Infix
from simplant.values import BOOL

_ORDERED: Final = ("<", ">", "<=", ">=")
_EQUAL: Final = ("=", "<>")


def told_slip(node: Infix, left: Val, right: Val) -> None:
    """Give up if an operator joins a comparison with a number.

    Raises:
        Fault: it does, and what is meant is clear.
    """
    if left.type.base is not BOOL or left.open or not (right.open or right.type.base.is_number):
        return
    before, other = _last(node), printed_expression(node.right)
    if not isinstance(before, Infix):
        return
    shown = printed_expression(before)
    if node.operator in _ORDERED and before.operator in _ORDERED:
        mend = f"write ({shown}) AND ({printed_expression(before.right)} {node.operator} {other})"
        fail(node.place, "two comparisons stand in a row", "the first one gives BOOL", mend, len(node.operator))
    if node.operator in ("AND", "OR", "XOR") and before.operator in (*_ORDERED, *_EQUAL):
        compared = f"{printed_expression(before.left)} {before.operator} {other}"
        mend = f"write {node.operator} {compared}" if right.open else f"compare it, for instance {other} <> 0"
        what = f"{node.operator} joins a comparison and {_named(right, other)}"
        fail(node.place, what, "it needs BOOL on both sides", mend, len(node.operator))


def _last(node: Infix) -> Expression:
    """Give what stands right before an operator, at the end of a row of the same."""
    before = node.left
    if isinstance(before, Infix) and before.operator == node.operator and node.operator in ("AND", "OR", "XOR"):
        return before.right
    return before


def _named(given: Val, shown: str) -> str:
    return f"the number {shown}" if given.open else f"{shown}, which is {given.type.name}"


__all__ = ["told_slip"]
