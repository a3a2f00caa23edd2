"""Mistakes in one expression of a text: a contact, a connective, a comparison, a time, a like input.

The same as expressions.py makes in Python programs. Rule: each gives the whole expression anew, with one node changed
and all others as they were.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.expr import Binary, Const, Expr, Op, Ref, Unary
from simplant.logic.mutate.expressions import times
from simplant.logic.mutate.text_kinds import COMPARED, LOGIC, Known
from simplant.logic.st.built import truth
from simplant.logic.st.parts import in_a_row
from simplant.logic.st.printed_expressions import printed_expression
from simplant.logic.st.tree import Access, Argument, Call, Expression, Infix, Literal, Prefix
from simplant.timebase import Ns
from simplant.values import BOOL, TIME, show_value

_CONNECTIVES: Final = {"AND": "OR", "OR": "AND", "XOR": "OR"}
_COMPARISONS: Final = {"<": "<=", "<=": "<", ">": ">=", ">=": ">", "=": "<>", "<>": "="}
_ARITHMETIC: Final = {"+": "-", "-": "+", "*": "/", "/": "*"}
_OPS: Final = {"AND": Op.AND, "OR": Op.OR, "XOR": Op.XOR}


@dataclass(frozen=True, slots=True)
class TextChange:
    """One changed expression: the kind of mistake, the whole expression, the node before and after."""

    kind: str
    expression: Expression
    before: str
    after: str


def text_changes(node: Expression, known: Known) -> Iterator[TextChange]:
    """Give every changed form of an expression."""
    contact = _contact(node, known)
    if contact is not None:
        yield from _of_contact(node, contact, known)
        return
    if isinstance(node, Infix):
        yield from _in_row(node, known)
        return
    yield from _own(node, known)
    match node:
        case Prefix():
            for change in text_changes(node.operand, known):
                yield replace(change, expression=replace(node, operand=change.expression))
        case Call():
            yield from _in_call(node, known)
        case _:
            pass


def _in_row(node: Infix, known: Known) -> Iterator[TextChange]:
    """Give the changes of a row of one operator: of its operators from the last to the first, and of its operands."""
    first, row = in_a_row(node)
    for number in range(len(row) - 1, -1, -1):
        for change in _own(row[number], known):
            yield replace(change, expression=_again(change.expression, row[number + 1 :]))
    for change in text_changes(first, known):
        yield replace(change, expression=_again(change.expression, row))
    for number, each in enumerate(row):
        for change in text_changes(each.right, known):
            whole = replace(each, right=change.expression)
            yield replace(change, expression=_again(whole, row[number + 1 :]))


def _again(left: Expression, row: Sequence[Infix]) -> Expression:
    """Give a row again behind another beginning."""
    for each in row:
        left = replace(each, left=left)
    return left


def _in_call(node: Call, known: Known) -> Iterator[TextChange]:
    for number, argument in enumerate(node.arguments):
        if argument.value is not None:
            for change in text_changes(argument.value, known):
                yield replace(change, expression=with_argument(node, number, change.expression))


def with_argument(node: Call, number: int, value: Expression) -> Call:
    """Give a call with another value of one argument."""
    given = node.arguments
    changed: Argument = replace(given[number], value=value)
    return replace(node, arguments=(*given[:number], changed, *given[number + 1 :]))


def _contact(node: Expression, known: Known) -> Access | None:
    """Give the variable of a contact, straight or inverted; None if it is none."""
    inner = node.operand if isinstance(node, Prefix) and node.operator == "NOT" else node
    return inner if isinstance(inner, Access) and known.is_bool(inner) else None


def _of_contact(node: Expression, inner: Access, known: Known) -> Iterator[TextChange]:
    inverted = isinstance(node, Prefix)
    yield _changed("negated", node, inner if inverted else Prefix(node.place, "NOT", node))
    like = known.like(inner)
    if like:
        other = Access(inner.place, like)
        yield _changed("input", node, Prefix(node.place, "NOT", other) if inverted else other)


def _own(node: Expression, known: Known) -> Iterator[TextChange]:
    match node:
        case Infix(operator=word) if word in LOGIC and known.is_bool(node):
            yield _changed("connective", node, replace(node, operator=_CONNECTIVES[word]))
            yield TextChange("dropped", node.left, printed_expression(node.right), "nothing")
            yield TextChange("dropped", node.right, printed_expression(node.left), "nothing")
        case Infix(operator=word) if word in COMPARED:
            yield _changed("comparison", node, replace(node, operator=_COMPARISONS[word]))
        case Infix(operator=word) if word in _ARITHMETIC:
            yield _changed("arithmetic", node, replace(node, operator=_ARITHMETIC[word]))
        case Literal():
            yield from _literal(node, known.scan)
        case Access() if like := known.like(node):
            yield _changed("input", node, Access(node.place, like))
        case _:
            pass


def _literal(node: Literal, scan: Ns) -> Iterator[TextChange]:
    if node.enum or isinstance(node.value, str):
        return
    if node.type is TIME:
        for time in times(Ns(int(node.value)), scan):
            yield _changed("preset", node, replace(node, value=time, text=show_value(time, TIME)))
    elif node.type is BOOL:
        yield _changed("constant", node, truth(node.place, value=not node.value))
    elif node.type is None or node.type.is_number:
        for value in (node.value + 1, node.value - 1):
            head = f"{node.type.name}#" if node.type else ""
            yield _changed("constant", node, _number(node, value, head))


def _number(node: Literal, value: float, head: str) -> Expression:
    if value < 0 and not head:
        return Prefix(node.place, "-", replace(node, value=-value, text=str(-value)))
    return replace(node, value=value, text=f"{head}{value}")


def _changed(kind: str, before: Expression, after: Expression) -> TextChange:
    return TextChange(kind, after, printed_expression(before), printed_expression(after))


def as_condition(node: Expression) -> Expr:
    """Give a condition as bits joined by logic: what is no logic is a bit, named by its text."""
    match node:
        case Infix(operator=word) if word in _OPS:
            first, row = in_a_row(node)
            return _joined(_OPS[word], [as_condition(each) for each in (first, *(n.right for n in row))])
        case Prefix(operator="NOT"):
            return Unary(Op.NOT, as_condition(node.operand), BOOL)
        case Literal(type=kind) if kind is BOOL:
            return Const(bool(node.value), BOOL)
        case _:
            return Ref(printed_expression(node), BOOL)


def _joined(op: Op, terms: Sequence[Expr]) -> Expr:
    """Join terms half and half, so that a long row is not deep."""
    if len(terms) == 1:
        return terms[0]
    middle = (len(terms) + 1) // 2
    return Binary(op, _joined(op, terms[:middle]), _joined(op, terms[middle:]), BOOL)
