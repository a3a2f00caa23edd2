"""EN and ENO: a call that is done only where EN holds, and says by ENO whether it was.

A unit that declares them itself, or writes ENO in its body, gets and gives them as any other parameter. Rule: what
is not done changes nothing but ENO.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Sequence
from typing import TYPE_CHECKING

from simplant.expr import Const, Expr, Ref
from simplant.logic.core import Assign, Branch, Core
from simplant.logic.st.adapt import Val
from simplant.logic.st.tree import Argument, Call
from simplant.logic.st.types import elementary
from simplant.values import BOOL

if TYPE_CHECKING:
    from simplant.logic.st.moving import Moving

_CONTROLS = ("EN", "ENO")
Lower = Callable[[Call], tuple[Sequence[Core], Sequence[Core]]]
"""Lowers a call without EN and ENO: what it does, and what is done in its place."""


def is_gated(node: Call, own: Container[str]) -> bool:
    """Say whether a call has an EN or ENO that what it calls has not itself (`own`: its names in capitals)."""
    return any(a.name.upper() in _CONTROLS and a.name.upper() not in own for a in node.arguments)


def gated(lowering: Moving, node: Call, own: Container[str], lower: Lower) -> None:
    """Put what a call does, if its EN holds, before the present statement."""
    found = {a.name.upper(): a for a in node.arguments if a.name.upper() in _CONTROLS}
    outside = [a for name, a in found.items() if name not in own]
    origin, enable, done = lowering.origin(node.place), found.get("EN"), found.get("ENO")
    condition: Expr = Const(value=True, type=BOOL)
    if enable in outside and enable is not None and enable.value is not None:
        condition = lowering.condition(enable.value, "EN")
    outer, lowering.before = lowering.before, []
    body, otherwise = lower(Call(node.place, node.callee, tuple(a for a in node.arguments if a not in outside)))
    inside, lowering.before = [*lowering.before, *body], outer
    gate = lowering.frame.fresh("enable")
    lowering.frame.types[gate] = elementary(BOOL)
    if done is not None and done not in outside:
        otherwise = [*otherwise, *_said(lowering, done, Const(value=False, type=BOOL))]
    lowering.before += [
        Assign(gate, condition, origin), Branch(((Ref(gate, BOOL), tuple(inside)),), tuple(otherwise), origin),
    ]  # fmt: skip
    if done is not None and done in outside:
        lowering.before += _said(lowering, done, Ref(gate, BOOL))


def _said(lowering: Moving, argument: Argument, value: Expr) -> list[Core]:
    if argument.target is None:
        return []
    return lowering.store(argument.target, lowering.turned(argument, Val(value, elementary(BOOL))), argument.place)
