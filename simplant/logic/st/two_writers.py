"""Outputs that are written twice in a scan where only one writing counts.

Those of a chart are sfc/writers.py, those of other units lints.py. Rule: counting on, a default with exceptions, and a
value that is read between are no mistakes.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from simplant.logic.st.parts import bodies_of, every, expressions_of, within
from simplant.logic.st.printed_expressions import printed_access
from simplant.logic.st.ranges import key_of
from simplant.logic.st.report import Mistake
from simplant.logic.st.tree import Access, Case, Do, Expression, If, Leave, Let, Literal, Statement


def overwritten(body: Sequence[Statement], outputs: set[str]) -> Iterator[Mistake]:
    """Find outputs that two statements of one row write: the first in vain, or both by conditions of their own."""
    written: dict[str, list[int]] = {}
    for number, node in enumerate(body):
        for key in sorted({key_of(access) for access in targets(node) if access.name.upper() in outputs}):
            written.setdefault(key, []).append(number)
        for inner in bodies_of(node):
            yield from overwritten(inner, outputs)
    for key, numbers in written.items():
        vain = [a for a, b in pairwise(numbers) if _in_vain(body[a : b + 1], key)]
        if vain or _both(body, numbers, key):
            nodes = [body[n] for n in numbers]
            last = body[numbers[numbers.index(vain[0]) + 1]] if vain else nodes[1]
            lines = " and ".join(str(n.place.line) for n in nodes)
            why = "the last one wins, and the others are hard to see"
            name = next(printed_access(access) for access in targets(nodes[0]) if key_of(access) == key)
            what = f"the output {name} is written at lines {lines}"
            yield Mistake(last.place, what, why, "write it once", 1, "warning")


def targets(node: Statement) -> Iterator[Access]:
    """Give what a statement writes, and what those inside it do."""
    for each in every([node]):
        if isinstance(each, Let):
            yield each.target
        elif isinstance(each, Do):
            yield from (a.target for a in each.call.arguments if a.target is not None)


def _in_vain(row: Sequence[Statement], key: str) -> bool:
    """Say whether what the first statement of a row writes is written anew by the last before anybody reads it."""
    steady = "[" not in key or key[key.index("[") + 1 : -1].isdigit()
    left = any(isinstance(each, Leave) for each in every(row))
    return steady and not left and _always(row[-1], key) and not any(_reads(node, key) for node in row[1:])


def _always(node: Statement, key: str) -> bool:
    """Say whether a statement writes a variable in every case."""
    match node:
        case Let() | Do():
            return key in [key_of(access) for access in targets(node)]
        case If() | Case():
            return bool(node.otherwise) and all(any(_always(n, key) for n in body) for body in bodies_of(node))
        case _:
            return False


def _reads(node: Statement, key: str) -> bool:
    name = key.partition(".")[0].partition("[")[0]
    for each in every([node]):
        for expression in expressions_of(each):
            own = each.target if isinstance(each, Let) else None
            if any(isinstance(e, Access) and e is not own and e.name.upper() == name for e in within(expression)):
                return True
    return False


def _both(body: Sequence[Statement], numbers: Sequence[int], key: str) -> bool:
    """Say whether just two IFs that have nothing to do with one another give a variable what they reckon."""
    if len(numbers) != 2:
        return False
    first, second = (body[n] for n in numbers)
    values = [v for node in (first, second) for v in _given(node, key)]
    free = isinstance(first, If) and isinstance(second, If) and not _asked(first) & _asked(second)
    alone = not any(_reads(node, key) or isinstance(node, Leave) for node in every(body[numbers[0] : numbers[1] + 1]))
    return free and alone and not any(isinstance(value, Literal) for value in values)


def _given(node: Statement, key: str) -> list[Expression]:
    return [each.value for each in every([node]) if isinstance(each, Let) and key_of(each.target) == key]


def _asked(node: Statement) -> set[str]:
    conditions = expressions_of(node)
    return {e.name.upper() for condition in conditions for e in within(condition) if isinstance(e, Access)}


__all__ = ["overwritten", "targets"]
