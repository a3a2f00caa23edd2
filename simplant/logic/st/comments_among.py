"""Comments among statements, each with what it stands beside: a statement, a label of a CASE, a unit, a step.

Those of declarations are comments.py. Rule: a comment behind something on its line belongs to that, any other to what
follows; none is lost.
"""

import re
import sys
from bisect import bisect_right
from collections.abc import Iterator
from typing import Final

from simplant.errors import Place
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.comments import COMMENT, TEXT, Behind, Below, Headed, marked, words_of
from simplant.logic.st.declared import File, Unit
from simplant.logic.st.parts import bodies_of, every
from simplant.logic.st.report import Report
from simplant.logic.st.tree import Case, Statement

_PIECE: Final = re.compile(
    rf"{TEXT}|{COMMENT}|(?P<begin>\b(?:VAR(?:_[A-Z_]+)?|TYPE)\b)|(?P<over>\bEND_(?:VAR|TYPE)\b)"
    r"|(?P<word>\b(?:END_(?:IF|CASE|FOR|WHILE|REPEAT|STEP|TRANSITION|ACTION)|ELSE|ELSIF)\b)"
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
        self.around: dict[Place, tuple[Statement, ...]] = {}
        self.beside: dict[Place, int] = {}
        for unit in file.units:
            for body in _bodies(unit):
                self._within(body, ())
        self.words: list[tuple[tuple[int, int], str]] = []
        statements = [node for unit in file.units for body in _bodies(unit) for node in every(body)]
        self.labels = {labels[0][0].place for n in statements if isinstance(n, Case) for labels, _ in n.groups}
        self.found: dict[Place, str] = {}
        self._go()

    def _within(self, body: tuple[Statement, ...], around: tuple[Statement, ...]) -> None:
        """Note what statements stand in, from the innermost on, and which of them stand in one body."""
        number = len(self.beside)
        for node in body:
            inner = bodies_of(node)
            self.around[node.place] = (node, *around) if inner else around
            self.beside[node.place] = number
            for each in inner:
                self._within(tuple(each), (node, *around))

    def _go(self) -> None:
        declares = ended = False
        comments: list[tuple[re.Match[str], bool]] = []
        for match in _PIECE.finditer(self.report.text):
            if match["begin"] or match["over"]:
                declares, ended = match["begin"] is not None, False
            elif match["end"]:
                ended = True
            elif match["word"]:
                self.words.append((_order(self.report.place(match.start())), match["word"].upper()))
            elif match.lastindex and not declares and match.start() != self.begin:
                comments.append((match, ended))
        for match, behind in comments:
            self._comment(match, ended=behind)

    def _comment(self, match: re.Match[str], *, ended: bool) -> None:
        """Give a comment to what it belongs to; those of drawings belong to their rungs."""
        place = self.report.place(match.start())
        number = bisect_right(self.keys, _order(place))
        before = self.marks[number - 1] if number else None
        after = self.marks[number] if number < len(self.marks) else None
        if before is not None and not ended and not self.units.get(before, True):
            return
        start = self.report.text.rfind("\n", 0, match.start()) + 1
        in_row = bool(self.report.text[start : match.start()].strip())
        if before is None or ended:
            last = max((unit for unit in self.units if _order(unit) < _order(place)), key=_order, default=None)
            own = after or (marked(Below, last) if last is not None else None)
        elif before in self.beside:
            own = self._among(_order(place), before, after, in_row=in_row)
        elif after is None or after in self.units:
            own = before
        else:
            own = before if self._inside(_order(place), before, after, in_row=in_row) else after
        if own is not None:
            known = self.found.get(own)
            self.found[own] = "\n".join(part for part in (known, words_of(match)) if part)

    def _inside(self, at: tuple[int, int], before: Place, after: Place, *, in_row: bool) -> bool:
        """Say whether a comment behind a unit's head, a label, a step, a transition or an action stands there."""
        passed = [word for key, word in self.words if _order(before) < key < at]
        ahead = any(at < key < _order(after) for key, _ in self.words)
        if before in self.units:
            return in_row
        closed = any(word.startswith("END_") for word in passed)
        return not closed and (in_row or ahead or after not in self.beside)

    def _among(self, at: tuple[int, int], before: Place, after: Place | None, *, in_row: bool) -> Place:
        """Give where a comment stands that follows the beginning of a statement."""
        passed = [word for key, word in self.words if _order(before) < key < at]
        until = _order(after) if after is not None else (sys.maxsize, 0)
        ahead = any(at < key < until for key, _ in self.words) or after is None
        ends = [number for number, word in enumerate(passed) if word.startswith("END_")]
        around = self.around[before]
        if "END_ACTION" in passed:
            return after or marked(Below, before)
        own = around[min(len(ends), len(around)) - 1].place if ends and around else before
        opens = around[:1] and around[0].place == before and not ends  # it is the head of what comes next
        if opens or any(not word.startswith("END_") for word in passed[ends[-1] + 1 if ends else 0 :]):
            if ahead or after is None:  # nothing stands in there
                return marked(Behind, own if opens or not around else around[min(len(ends), len(around) - 1)].place)
            return marked(Headed, after) if in_row and after in self.beside else after
        if in_row:
            return marked(Behind, own)
        if after is not None and not ahead and (self.beside.get(after) == self.beside[own] or after in self.labels):
            return after
        return marked(Below, own)


def _order(place: Place) -> tuple[int, int]:
    return place.line, place.column


def _bodies(unit: Unit) -> Iterator[tuple[Statement, ...]]:
    actions = unit.body.actions if isinstance(unit.body, Chart) else ()
    yield from (body for body in (unit.body, *(a.body for a in actions)) if isinstance(body, tuple))


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
