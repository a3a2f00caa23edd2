"""A name or value that stands somewhere in a drawing, read as Structured Text reads it.

Rule: whatever is wrong with it is told at its place in the drawing.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final, TypeVar

from simplant.errors import Place
from simplant.logic.st.cursor import KEYWORDS
from simplant.logic.st.parse_expressions import Expressions
from simplant.logic.st.report import Fault, Report
from simplant.logic.st.tree import Access, Expression

_PLAIN: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_]*\Z")
_T = TypeVar("_T")


class _Fragment(Report):
    """The text of one row of a drawing; places are counted from where it stands."""

    __slots__ = ("origin",)

    def __init__(self, text: str, origin: Place) -> None:
        super().__init__(origin.file, text)
        self.origin = origin

    def place(self, at: int) -> Place:
        """Give the place of a letter."""
        return Place(self.origin.file, self.origin.line, self.origin.column + at)


def _read(text: str, place: Place, read: Callable[[Expressions], _T]) -> _T:
    report = _Fragment(text, place)
    cursor = Expressions(report)
    if report.mistakes:
        raise Fault(report.mistakes[0])
    found = read(cursor)
    if cursor.token.kind != "end":
        cursor.unexpected("the end of this")
    return found


def access_of(text: str, place: Place) -> Access:
    """Read a variable; raises `Fault` at the place."""
    if _PLAIN.match(text) and text.upper() not in KEYWORDS:
        return Access(place, text)
    return _read(text, place, Expressions.target)


def value_of(text: str, place: Place) -> Expression:
    """Read a value; raises `Fault` at the place."""
    return _read(text, place, Expressions.expression)
