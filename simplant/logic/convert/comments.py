"""Comments of a source of the standard's languages, with what they stand beside.

The tree that is read has none but those of rungs. Rule: the head of a file and what stands in a declaration's row are
kept; comments among statements belong to nothing that another face could show them at.
"""

import re
from collections.abc import Iterable
from typing import Final

from simplant.errors import Place
from simplant.logic.st.declared import Variable

_PIECE: Final = re.compile(r"'(?:\$.|[^'$\n])*'|\"(?:\$.|[^\"$\n])*\"|\(\*(.*?)\*\)|/\*(.*?)\*/|//([^\n]*)", re.DOTALL)


def head_of(text: str) -> str:
    """Give the comment at the very top of a source."""
    match = _PIECE.match(text.lstrip("\ufeff \t\r\n"))
    return _plain(match) if match else ""


def beside(text: str, variables: Iterable[Variable]) -> dict[Place, str]:
    """Give the comments in the rows of declarations, by the place of the variable."""
    rows: dict[int, str] = {}
    for match in _PIECE.finditer(text):
        if match.lastindex:
            rows.setdefault(text.count("\n", 0, match.start()) + 1, _plain(match))
    return {v.place: rows[v.place.line] for v in variables if v.place.line in rows}


def _plain(match: re.Match[str]) -> str:
    """Give the words of a comment, with empty rows between its paragraphs."""
    words = str(match[match.lastindex or 0])
    parts = re.split(r"\n\s*\n", words) if match.lastindex else []
    return "\n\n".join(" ".join(part.split()) for part in parts).strip()
