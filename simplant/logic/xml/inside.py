"""Structured Text inside XML: read by the language's own reader, told at its place in the file.

Rule: mistakes inside go into the report of the file, with the line and the column where the letters truly stand.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable
from typing import Final, TypeVar

from simplant.errors import Place
from simplant.logic.st.declared import Init
from simplant.logic.st.parse_declarations import Declarations
from simplant.logic.st.report import Fault, Report, fail
from simplant.logic.st.tree import Access, Expression, Statement
from simplant.logic.xml.elements import Element, Piece

_T = TypeVar("_T")
_ROWS = ("p", "br", "div", "li")
_BARE: Final = re.compile(r"(?i:[\d.]+(?:d|h|m|s|ms|us|ns))+")
_SPAN: Final = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+(?:\.\d+)?)S)?)?")


class Inside(Report):
    """A text that stands in the text of another report.

    Args:
        outer: the report of the file; mistakes go there.
        pieces: the letters, with their places.
        place: where they stand if there are none.
    """

    def __init__(self, outer: Report, pieces: list[Piece], place: Place) -> None:
        super().__init__(outer.name, "".join(p.text for p in pieces), outer.strict, outer.mistakes)
        self._seen = outer._seen
        self._pieces = pieces or [Piece(place, "")]
        self._at = [0]
        for piece in self._pieces:
            self._at.append(self._at[-1] + len(piece.text))

    def place(self, at: int) -> Place:
        """Give the place of a letter in the file."""
        number = min(bisect_right(self._at, at), len(self._pieces)) - 1
        start = self._pieces[number].place
        return Place(start.file, start.line, start.column + at - self._at[number])


def letters(element: Element) -> list[Piece]:
    """Give the letters of an element; paragraphs in it end lines."""
    found: list[Piece] = []
    for each in element.content:
        if isinstance(each, Piece):
            found.append(each)
            continue
        if each.name in _ROWS and "".join(p.text for p in found).strip():
            found.append(Piece(each.place, "\n"))
        found += letters(each)
    return found


def plain(element: Element | None) -> str:
    """Give the letters of an element as one text without blanks around it."""
    return "" if element is None else "".join(p.text for p in letters(element)).strip()


def _whole(report: Report, pieces: list[Piece], place: Place, read: Callable[[Declarations], _T], what: str) -> _T:
    if not "".join(p.text for p in pieces).strip():
        fail(place, f"{what} is left out", mend="write it")
    reader = Declarations(Inside(report, pieces, place))
    found = read(reader)
    reader.taken(";")
    if reader.token.kind != "end":
        fail(reader.place(), f"{reader.token.text!r} stands behind {what}", length=len(reader.token.text))
    return found


def expression(report: Report, element: Element) -> Expression:
    """Read an element's letters as an expression; raises `Fault`."""
    return _whole(report, letters(element), element.place, lambda r: r.expression(), "the expression")


def access(report: Report, element: Element) -> Access:
    """Read an element's letters as a variable; raises `Fault`."""
    return _whole(report, letters(element), element.place, lambda r: r.target(), "the variable")


def attribute(report: Report, element: Element, name: str) -> Expression:
    """Read an attribute as an expression; raises `Fault`."""
    return _whole(report, _row(element, name), element.place, lambda r: r.expression(), "the value")


def attribute_time(report: Report, element: Element, name: str) -> Expression:
    """Read an attribute as a time, which may be written as ISO 8601 writes it, or without its T#; raises `Fault`."""
    given = element.get(name)
    bare, span = given.replace(" ", ""), _SPAN.fullmatch(given)
    if _BARE.fullmatch(bare):
        given = f"T#{bare}"
    elif span is not None and any(span.groups()):
        given = "T#" + "".join(f"{n}{unit}" for n, unit in zip(span.groups(), "dhms", strict=True) if n)
    noted = len(report.mistakes)
    try:
        return attribute(report, Element(element.name, {name: given}, [], element.place), name)
    except Fault:
        del report.mistakes[noted:]
        mend = "write T#20ms"
        fail(element.place, f"the {name} {element.get(name)!r} is no time", mend=mend, length=len(element.name) + 1)


def attribute_initial(report: Report, element: Element, name: str) -> Init:
    """Read an attribute as an initial value of any kind; raises `Fault`."""
    return _whole(report, _row(element, name), element.place, lambda r: r.initial(), "the value")


def attribute_access(report: Report, element: Element, name: str) -> Access:
    """Read an attribute as a variable; raises `Fault`."""
    return _whole(report, _row(element, name), element.place, lambda r: r.target(), "the variable")


def _row(element: Element, name: str) -> list[Piece]:
    """Give an attribute as letters; all are told at the element, since nobody knows where they stand in it."""
    return [Piece(element.place, letter) for letter in element.get(name)]


def statements(report: Report, element: Element) -> tuple[Statement, ...]:
    """Read an element's letters as statements; what is wrong goes into the report."""
    reader = Declarations(Inside(report, letters(element), element.place))
    found: list[Statement] = []
    while reader.token.kind != "end":
        start = reader.position
        reader.depth, reader.in_case = 0, False
        found += reader.guarded(reader.statements) or ()
        if reader.token.kind != "end" and reader.position == start:
            reader.guarded(lambda: reader.unexpected("a statement"))
    return tuple(found)


__all__ = [
    "Inside",
    "access",
    "attribute",
    "attribute_access",
    "attribute_initial",
    "expression",
    "letters",
    "plain",
    "statements",
]
