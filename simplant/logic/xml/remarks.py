"""What is said about a program in its XML file: the head, and words beside units, types, variables, steps.

Comments inside drawings are read with these. Rule: words only; nothing here says what a program does.
"""

from __future__ import annotations

from typing import Final

from simplant.errors import Place
from simplant.logic.st.comments_among import among
from simplant.logic.st.declared import File
from simplant.logic.st.report import Fault, Report
from simplant.logic.xml.elements import Element, read_elements
from simplant.logic.xml.iec_names import UNITS
from simplant.logic.xml.inside import Inside, letters, plain

_IN_CHARTS: Final = ("step", "transition", "action", "SfcObject", "Action")
_NAMED: Final = ("pou", "dataType", "variable", *_IN_CHARTS, *UNITS, "DataTypeDecl", "Variable", "Member")
_WORDS: Final = ("documentation", "Documentation")


def remarks_of(report: Report, file: File) -> tuple[str, dict[Place, str]]:
    """Give the head of a file, and the words beside its parts and its statements by the place of each."""
    try:
        root = read_elements(report)
    except Fault:
        return "", {}
    found = {e.place: _words(e) for e in root.within() if e.name in _NAMED}
    for body in (e for e in root.within() if e.name == "ST"):
        found |= among(Inside(report, letters(body), body.place), file, whole=False)
    return _head(root), {place: words for place, words in found.items() if words}


def _head(root: Element) -> str:
    """Give what the headers say of the whole."""
    headers = root.each("fileHeader", "FileHeader", "contentHeader", "ContentHeader")
    rows = [e.get("contentDescription") for e in headers]
    rows += [plain(e) for header in headers for e in header.each("Comment")]
    return "\n\n".join(dict.fromkeys(row for row in (*rows, _words(root)) if row))


def _words(element: Element) -> str:
    return "\n".join(words for e in element.each(*_WORDS) if (words := plain(e)))


__all__ = ["remarks_of"]
