"""What is said about a program in its XML file: the head, and words beside units, types, variables, steps.

Comments inside drawings are read with these. Rule: words only; nothing here says what a program does.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from simplant.errors import Place
from simplant.logic.st.comments_among import among
from simplant.logic.st.declared import File
from simplant.logic.st.report import Fault, Report
from simplant.logic.xml.chart_lines import lines_of
from simplant.logic.xml.drawn import At, position
from simplant.logic.xml.elements import Element, read_elements
from simplant.logic.xml.iec_names import UNITS
from simplant.logic.xml.inside import Inside, letters, plain
from simplant.logic.xml.read_types import SECTIONS

_IN_CHARTS: Final = ("step", "transition", "action", "SfcObject", "Action")
_NAMED: Final = ("pou", "dataType", "variable", *_IN_CHARTS, *UNITS, "DataTypeDecl", "Variable", "Member")
_WORDS: Final = ("documentation", "Documentation")


def remarks_of(report: Report, file: File) -> tuple[str, dict[Place, str]]:
    """Give the head of a file, and the words beside its parts and its statements by the place of each."""
    try:
        root = read_elements(report)
    except Fault:
        return "", {}
    found: dict[Place, str] = {}
    for place, words in _told(root):
        found[place] = "\n".join(part for part in (found.get(place), words) if part)
    for body in (e for e in root.within() if e.name == "ST"):
        found |= among(Inside(report, letters(body), body.place), file, whole=False)
    return _head(root), {place: words for place, words in found.items() if words}


def _told(root: Element) -> Iterator[tuple[Place, str]]:
    """Give words with the place of what they are said of; those of a body or a list go to what holds, or begins, it."""
    for element in root.within():
        if element.name in _NAMED:
            yield element.place, _words(element)
        if element.name == "pou":
            yield from ((element.place, _words(body)) for body in element.each("body"))
        elif element.name in SECTIONS and element.children:
            yield element.children[0].place, _words(element)
        elif element.name == "SFC":
            yield from _in_chart(element)


def _in_chart(chart: Element) -> Iterator[tuple[Place, str]]:
    """Give what is said in a chart: of action blocks and jumps to what they hang on, comments to what is nearest."""
    known = {e.get("localId"): e for e in chart.children}
    parts = chart.each("step", "transition")
    for element in chart.children:
        above = [known[c.get("refLocalId")] for c in lines_of(element) if c.get("refLocalId") in known]
        if element.name in ("actionBlock", "jumpStep") and above:
            inner = [e for e in element.each("action") if e.child("inline") is None]
            yield from ((above[0].place, _words(e)) for e in (element, *inner))
        elif element.name == "comment" and parts:
            at = _at(element)
            nearest = min(parts, key=lambda e: [abs(a - b) for a, b in zip(_at(e), at, strict=True)])
            yield nearest.place, plain(element.child("content"))


def _at(element: Element) -> At:
    try:
        return position(element)
    except Fault:  # nobody else needs it
        return 0.0, 0.0


def _head(root: Element) -> str:
    """Give what the headers say of the whole."""
    headers = root.each("fileHeader", "FileHeader", "contentHeader", "ContentHeader")
    rows = [e.get("contentDescription") for e in headers]
    rows += [plain(e) for header in headers for e in header.each("Comment")]
    return "\n\n".join(dict.fromkeys(row for row in (*rows, _words(root)) if row))


def _words(element: Element) -> str:
    return "\n".join(words for e in element.each(*_WORDS) if (words := plain(e)))


__all__ = ["remarks_of"]
