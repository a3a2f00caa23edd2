"""Lowering CASE: a selector, and arms with labels.

Edition 3 lets a selector be of any elementary type (from memory: IEC 61131-3:2013, 7.3.3.3.3); taken are those whose
values lie apart: whole numbers, bit strings, BOOL, letters and enumerations, and texts, which is loose. Rule: the
selector is looked at once, and the first arm that fits is done.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from simplant.expr import Binary, Const, Expr, Op, Ref
from simplant.logic.core import Assign, Branch, Core
from simplant.logic.st.adapt import Val
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Case, Expression
from simplant.logic.st.types import elementary
from simplant.values import BOOL, DINT, Kind, Value, show_value

if TYPE_CHECKING:
    from simplant.logic.st.statements import Statements

Labels = Iterable[tuple[Expression, Expression | None]]
_FALSE: Final[Expr] = Const(value=False, type=BOOL)
_APART: Final = (Kind.INTEGER, Kind.BITS, Kind.BOOL, Kind.STRING)
_LETTERS: Final = ("CHAR", "WCHAR")


def lower_case(lowering: Statements, node: Case) -> list[Core]:
    """Lower a CASE."""
    made: list[Core] = []
    choice = _selector(lowering, node, made)
    seen: dict[Value, int] = {}
    arms = []
    for labels, body in node.groups:
        test = lowering.tried(lambda ls=labels: _labels(lowering, ls, choice, seen), _FALSE)  # type: ignore[misc]
        arms.append((test, lowering.body(body)))
    otherwise = lowering.body(node.otherwise)
    if not arms:
        return [*made, *otherwise]
    return [*made, Branch(tuple(arms), otherwise, lowering.origin(node.place))]


def _selector(lowering: Statements, node: Case, made: list[Core]) -> Val:
    """Give the selector as a variable; `made` gets the statement that sets one of its own."""
    given = lowering.value(node.selector, elementary(DINT))
    place, type_ = node.selector.place, given.type
    if type_.base.kind not in _APART:
        needs = "it needs a whole number, a bit string, a letter or an enumeration"
        fail(place, f"CASE selects by {type_.name}", needs, "write IF ... ELSIF ... END_IF")
    if type_.base.kind is Kind.STRING and type_.name not in _LETTERS:
        lowering.report.loose(place, f"CASE selects by {type_.name}", "write IF ... ELSIF ... END_IF")
    if isinstance(given.expr, Ref):
        return Val(given.expr, type_)
    name = lowering.frame.fresh("case")
    lowering.frame.types[name] = type_
    made.append(Assign(name, given.expr, lowering.origin(node.place)))
    return Val(Ref(name, type_.base), type_)


def _labels(lowering: Statements, labels: Labels, choice: Val, seen: dict[Value, int]) -> Expr:
    tests: list[Expr] = []
    base = choice.type.base
    plain = choice.type.is_enum or base.kind is Kind.STRING
    wanted = choice.type if plain else elementary(base)  # a label may lie outside a subrange
    for low, high in labels:
        first = lowering.constant(low, wanted, "a label")
        if high is None:
            _once(lowering, low, Const(first, base), seen)
            tests.append(Binary(Op.EQ, choice.expr, Const(first, base), BOOL))
            continue
        last = lowering.constant(high, wanted, "a label")
        if base is BOOL or (base.kind is Kind.STRING and choice.type.name not in _LETTERS):
            fail(low.place, f"a range of {choice.type.name}", "its values have no order", "write each label")
        if last < first:  # type: ignore[operator]  # of one kind
            shown = f"{show_value(first, base)}..{show_value(last, base)}"
            lowering.report.warn(low.place, f"the range {shown} is empty")
        at_least = Binary(Op.GE, choice.expr, Const(first, base), BOOL)
        tests.append(Binary(Op.AND, at_least, Binary(Op.LE, choice.expr, Const(last, base), BOOL), BOOL))
    while len(tests) > 1:  # a tree that is as deep as it must be, however many labels there are
        pairs = zip(tests[::2], tests[1::2], strict=False)
        tests = [Binary(Op.OR, a, b, BOOL) for a, b in pairs] + (tests[-1:] if len(tests) % 2 else [])
    return tests[0]


def _once(lowering: Statements, node: Expression, label: Const, seen: dict[Value, int]) -> None:
    if label.value in seen:
        shown = label.value if label.type.kind is Kind.BITS else show_value(label.value, label.type)
        what = f"the label {shown} stands at line {seen[label.value]} already"
        lowering.report.warn(node.place, what, "the first one is taken")
    seen.setdefault(label.value, node.place.line)
