"""Comments of a source of the standard's languages, with what they stand beside.

The tree that is read has none but those of rungs; comments among statements are comments_among.py. Rule: the head of a
file and what stands in a declaration's row are kept.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from simplant.errors import Place
from simplant.logic.st.declared import TypeName, Variable

TEXT: Final = r"'(?:\$.|[^'$\n])*'|\"(?:\$.|[^\"$\n])*\""
"""A text in quotes, where no comment begins."""
COMMENT: Final = r"\(\*(.*?)\*\)|/\*(.*?)\*/|//([^\n]*)"


@dataclass(frozen=True, slots=True)
class Behind(Place):
    """Where a comment stands in the last row of what has this place: behind its `;` or END."""


@dataclass(frozen=True, slots=True)
class Below(Place):
    """Where a comment stands in rows of its own below what has this place, and above nothing else."""


@dataclass(frozen=True, slots=True)
class Headed(Place):
    """Where a comment stands behind the THEN, ELSE, DO or REPEAT of the body that begins at this place."""


def marked(kind: type[Place], place: Place) -> Place:
    """Give a place with what a comment has to do with it."""
    return kind(place.file, place.line, place.column)


_PIECE: Final = re.compile(f"{TEXT}|{COMMENT}", re.DOTALL)


def head_of(text: str) -> str:
    """Give the comment at the very top of a source."""
    match = _PIECE.match(text.lstrip("\ufeff \t\r\n"))
    return words_of(match) if match else ""


def beside(text: str, variables: Iterable[Variable | TypeName]) -> dict[Place, str]:
    """Give the comments of declarations by the place of the variable: in its row, or between it and the one above."""
    rows: dict[int, str] = {}
    between: dict[int, str] = {}
    lines = text.splitlines()
    for match in _PIECE.finditer(text):
        if match.lastindex:
            first, last = (text.count("\n", 0, at) + 1 for at in match.span())
            rows.setdefault(first, words_of(match))
            alone = lines[first - 1].lstrip().startswith(match[0][:2]) and lines[last - 1].endswith(match[0][-2:])
            if alone and first > 1 and ";" in lines[first - 2]:
                between[last + 1] = words_of(match)
    wanted = {v.place: rows.get(v.place.line) or between.get(v.place.line, "") for v in variables}
    return {place: words for place, words in wanted.items() if words}


def words_of(match: re.Match[str]) -> str:
    """Give the words of a comment, with empty rows between its paragraphs."""
    words = str(match[match.lastindex or 0])
    parts = re.split(r"\n\s*\n", words) if match.lastindex else []
    return "\n\n".join(" ".join(part.split()) for part in parts).strip()
