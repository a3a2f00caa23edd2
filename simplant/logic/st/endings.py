"""Loops that may never end: WHILE and REPEAT without a count towards a bound.

FOR always ends. Rule: a loop that counts in every pass is let be; of another one it is said whether anything in it
could end it.
"""

from collections.abc import Iterable, Iterator

from simplant.logic.st.parts import every, expressions_of, in_a_row, within
from simplant.logic.st.ranges import MIRRORED, key_of
from simplant.logic.st.report import Mistake
from simplant.logic.st.tree import Access, Call, Do, Expression, Infix, Leave, Let, Literal, Repeat, Statement, While


def endless(nodes: Iterable[Statement]) -> Iterator[Mistake]:
    """Find the loops of a unit that nothing shows the end of."""
    for node in every(nodes):
        if isinstance(node, While | Repeat) and not _ends(node):
            word = "WHILE" if isinstance(node, While) else "REPEAT"
            why = "the watchdog stops a scan that does not"
            what, mend = f"nothing shows that this {word} ends", "count in it, or use FOR"
            if _may_end(node):
                what, mend = f"this {word} is not proved to end", ""
            yield Mistake(node.place, what, why, mend, len(word), "warning")


def _ends(node: While | Repeat) -> bool:
    """Say whether a loop counts one variable towards a bound in every pass."""
    condition = node.condition if isinstance(node, While) else node.until
    for each in _joined(condition, "AND" if isinstance(node, While) else "OR"):
        if isinstance(each, Infix) and each.operator in ("<", ">", "<=", ">="):
            sides = ((each.left, each.operator), (each.right, MIRRORED[each.operator]))
            for counter, operator in sides:
                upward = (operator[0] == "<") is isinstance(node, While)
                if isinstance(counter, Access) and any(_counts(s, counter, upward=upward) for s in node.body):
                    return True
    return False


def _may_end(node: While | Repeat) -> bool:
    """Say whether a loop writes what its condition reads, towards no bound that is seen, or leaves by itself."""
    condition = node.condition if isinstance(node, While) else node.until
    read = {each.name.upper() for each in within(condition) if isinstance(each, Access)}
    changed = any(isinstance(each, Call) for each in within(condition))
    for inner in every(node.body):
        if isinstance(inner, Leave):
            return changed or inner.word != "CONTINUE"
        if isinstance(inner, Let):
            away = any(_counts(inner, a, upward=up) for a in _alone(condition) for up in (True, False))
            changed = changed or (inner.target.name.upper() in read and not away)
        if isinstance(inner, Do):
            named = {e.name.upper() for call in expressions_of(inner) for e in within(call) if isinstance(e, Access)}
            targets = {a.target.name.upper() for a in inner.call.arguments if a.target is not None}
            changed = changed or bool((named | targets | {inner.call.callee.name.upper()}) & read)
    return changed


def _alone(condition: Expression) -> list[Access]:
    """Give the variables that stand alone on a side of a comparison by size: which way they must go is seen."""
    rows = [each for each in within(condition) if isinstance(each, Infix) and each.operator in ("<", ">", "<=", ">=")]
    return [side for each in rows for side in (each.left, each.right) if isinstance(side, Access)]


def _joined(node: Expression, operator: str) -> Iterator[Expression]:
    if isinstance(node, Infix) and node.operator == operator:
        first, row = in_a_row(node)
        for each in (first, *(infix.right for infix in row)):
            yield from _joined(each, operator)
    else:
        yield node


def _counts(node: Statement, counter: Access, *, upward: bool) -> bool:
    if not isinstance(node, Let) or not _same(node.target, counter) or not isinstance(node.value, Infix):
        return False
    value = node.value
    by = value.right if _same(value.left, counter) else value.left if value.operator == "+" else None
    steady = isinstance(by, Literal) and isinstance(by.value, int | float) and by.value > 0
    return steady and value.operator == ("+" if upward else "-")


def _same(one: Expression, other: Expression) -> bool:
    plain = isinstance(one, Access) and isinstance(other, Access)
    return plain and key_of(one) == key_of(other) and "[" not in str(one)  # type: ignore[arg-type]  # both are


__all__ = ["endless"]
