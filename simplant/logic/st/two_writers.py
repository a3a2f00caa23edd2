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
    twice = {key: numbers for key, numbers in written.items() if len(numbers) > 1}
    row = _Row(body) if twice else None
    for key, numbers in twice.items():
        second = row.second(key, numbers) if row is not None else None
        if second is not None:
            lines = " and ".join(str(body[n].place.line) for n in numbers)
            why = "the last one wins, and the others are hard to see"
            name = next(printed_access(access) for access in targets(second) if key_of(access) == key)
            yield Mistake(second.place, f"the output {name} is written at lines {lines}", why, "write it once", 1,
                          "warning")  # fmt: skip


def targets(node: Statement) -> Iterator[Access]:
    """Give what a statement writes, and what those inside it do."""
    for each in every([node]):
        if isinstance(each, Let):
            yield each.target
        elif isinstance(each, Do):
            yield from (a.target for a in each.call.arguments if a.target is not None)


class _Row:
    """Statements in a row, with the names that each reads, and whether it may leave the row."""

    def __init__(self, body: Sequence[Statement]) -> None:
        self._body = body
        self._read = [_names_read(node) for node in body]
        self._left = [any(isinstance(each, Leave) for each in every([node])) for node in body]

    def second(self, key: str, numbers: Sequence[int]) -> Statement | None:
        """Give the statement that takes all sense from one before it, of those that write a variable."""
        for first, last in pairwise(numbers):
            if self._in_vain(first, last, key):
                return self._body[last]
        return self._body[numbers[1]] if len(numbers) == 2 and self._both(numbers[0], numbers[1], key) else None

    def _in_vain(self, first: int, last: int, key: str) -> bool:
        """Say whether what one statement writes is written anew by a later one before anybody reads it."""
        steady = "[" not in key or key[key.index("[") + 1 : -1].isdigit()
        return steady and _always(self._body[last], key) and not self._used(first, last, key)

    def _used(self, first: int, last: int, key: str) -> bool:
        """Say whether a variable is read behind the first statement up to the last one, or the row may be left."""
        name = key.partition(".")[0].partition("[")[0]
        return any(self._left[first : last + 1]) or any(name in names for names in self._read[first + 1 : last + 1])

    def _both(self, first: int, last: int, key: str) -> bool:
        """Say whether two IFs that have nothing to do with one another give a variable what they reckon."""
        one, other = self._body[first], self._body[last]
        values = [*_given(one, key), *_given(other, key)]
        free = isinstance(one, If) and isinstance(other, If) and not _asked(one) & _asked(other)
        reckoned = not any(isinstance(value, Literal) for value in values)
        name = key.partition(".")[0].partition("[")[0]
        return free and reckoned and name not in self._read[first] and not self._used(first, last, key)


def _always(node: Statement, key: str) -> bool:
    """Say whether a statement writes a variable in every case."""
    match node:
        case Let() | Do():
            return key in [key_of(access) for access in targets(node)]
        case If() | Case():
            return bool(node.otherwise) and all(any(_always(n, key) for n in body) for body in bodies_of(node))
        case _:
            return False


def _names_read(node: Statement) -> frozenset[str]:
    names: set[str] = set()
    for each in every([node]):
        own = each.target if isinstance(each, Let) else None
        inside = (e for expression in expressions_of(each) for e in within(expression) if isinstance(e, Access))
        names.update(e.name.upper() for e in inside if e is not own)
    return frozenset(names)


def _given(node: Statement, key: str) -> list[Expression]:
    return [each.value for each in every([node]) if isinstance(each, Let) and key_of(each.target) == key]


def _asked(node: Statement) -> set[str]:
    conditions = expressions_of(node)
    return {e.name.upper() for condition in conditions for e in within(condition) if isinstance(e, Access)}


__all__ = ["overwritten", "targets"]
