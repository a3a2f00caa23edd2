"""Comments among statements, each with what it stands beside: a statement, a label of a CASE, a unit, a step.

Those of declarations are comments.py. Rule: a comment behind something on its line belongs to that, any other to what
follows; none is lost.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator
from typing import Final

from simplant.errors import Place
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.comments import COMMENT, TEXT, words_of
from simplant.logic.st.declared import File, Unit
from simplant.logic.st.parts import every
from simplant.logic.st.report import Report
from simplant.logic.st.tree import Case, Statement

_PIECE: Final = re.compile(
    rf"{TEXT}|{COMMENT}|(?P<begin>\b(?:VAR(?:_[A-Z_]+)?|TYPE)\b)|(?P<over>\bEND_(?:VAR|TYPE)\b)"
    r"|(?P<end>\bEND_(?:PROGRAM|FUNCTION|FUNCTION_BLOCK)\b)",
    re.DOTALL | re.IGNORECASE,
)


def among(report: Report, file: File, *, whole: bool) -> dict[Place, str]:
    """Give the comments among the statements of a text by the place of what they belong to.

    Args:
        report: the text.
        whole: it is a whole source, with a head, and not one body inside another file.
        file: what was read from it.
    """
    return _Finder(report, file, whole=whole).found


class _Finder:
    """Goes through a text once."""

    def __init__(self, report: Report, file: File, *, whole: bool) -> None:
        self.report = report
        text = report.text
        self.begin = len(text) - len(text.lstrip("\ufeff \t\r\n")) if whole else -1
        first, last = _order(report.place(0)), _order(report.place(len(report.text)))
        marks = [mark for unit in file.units for mark in _marks(unit)]
        self.marks = sorted((m for m in marks if first <= _order(m) <= last), key=_order)
        self.keys = [_order(mark) for mark in self.marks]
        self.units = {unit.place: isinstance(unit.body, tuple | Chart) for unit in file.units}
        self.found: dict[Place, str] = {}
        self._go()

    def _go(self) -> None:
        declares = ended = False
        for match in _PIECE.finditer(self.report.text):
            if match["begin"] or match["over"]:
                declares, ended = match["begin"] is not None, False
            elif match["end"]:
                ended = True
            elif match.lastindex and not declares and match.start() != self.begin:
                self._comment(match, ended=ended)

    def _comment(self, match: re.Match[str], *, ended: bool) -> None:
        """Give a comment to what it belongs to; those of drawings belong to their rungs."""
        place = self.report.place(match.start())
        number = bisect_right(self.keys, _order(place))
        before = self.marks[number - 1] if number else None
        after = self.marks[number] if number < len(self.marks) else None
        if before is not None and not ended and not self.units.get(before, True):
            return
        start = self.report.text.rfind("\n", 0, match.start()) + 1
        ends = after is None or after in self.units
        behind = bool(self.report.text[start : match.start()].strip()) or ends
        own = before if behind and not ended and before is not None else after
        if own is not None:
            known = self.found.get(own)
            self.found[own] = "\n".join(part for part in (known, words_of(match)) if part)


def _order(place: Place) -> tuple[int, int]:
    return place.line, place.column


def _marks(unit: Unit) -> Iterator[Place]:
    """Give the places in a unit that a comment may belong to."""
    yield unit.place
    match unit.body:
        case tuple():
            yield from _of_statements(unit.body)
        case Chart():
            for part in (unit.body.steps, unit.body.transitions, unit.body.actions):
                yield from (each.place for each in part)
            for action in unit.body.actions:
                if isinstance(action.body, tuple):
                    yield from _of_statements(action.body)
        case _:
            pass


def _of_statements(nodes: tuple[Statement, ...]) -> Iterator[Place]:
    for node in every(nodes):
        yield node.place
        if isinstance(node, Case):
            yield from (labels[0][0].place for labels, _ in node.groups)


__all__ = ["among"]
