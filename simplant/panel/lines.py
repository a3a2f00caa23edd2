"""Lines of text with words for how they look: what every pane gives, and the screen draws.

Which colour a word is stands in screen/looks.py. Rule: a line says in its text whatever its look says.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

Span = tuple[str, str]
"""Text, and the word for its look: one of `LOOKS`."""

LOOKS: Final = (
    "", "strong", "faint", "head", "warn", "bad", "forced", "flow",
    "red", "yellow", "green", "blue", "white", "dark",
)  # fmt: skip
"""Plain, and how else text looks; colours are those of lamps (IEC 60204-1), `dark` is a lamp that is off."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a pane; `key` names what it stands for, if one can act on that."""

    spans: tuple[Span, ...]
    key: str = ""

    @property
    def text(self) -> str:
        """Give its text alone."""
        return "".join(text for text, _ in self.spans)


def line(*spans: str | Span, key: str = "") -> Line:
    """Make a line of plain texts and of texts with a look."""
    return Line(tuple((span, "") if isinstance(span, str) else span for span in spans if span), key)


def head(text: str) -> Line:
    """Make a heading within a pane."""
    return Line(((text, "head"),))


def fit(text: str, width: int) -> str:
    """Give a text in exactly so many columns; what is cut ends in a dot of its own."""
    if len(text) > width:
        return text[: max(0, width - 1)] + "…" if width else ""
    return text.ljust(width)


def wrapped(spans: Iterable[Span], width: int, indent: int) -> list[tuple[Span, ...]]:
    """Break spans at blanks into lines of a width; those after the first are indented."""
    lines: list[list[Span]] = [[]]
    used = 0
    for text, look in spans:
        for found in _words(text):
            word = found
            if used + len(word.rstrip()) > width and used > indent:
                lines.append([(" " * indent, "")])
                used = indent
                word = word.lstrip()
            lines[-1].append((word, look))
            used += len(word)
    return [tuple(merged(spans)) for spans in lines]


def _words(text: str) -> list[str]:
    words, start = [], 0
    for at, letter in enumerate(text):
        if letter == " " and at + 1 < len(text) and text[at + 1] != " ":
            words.append(text[start : at + 1])
            start = at + 1
    return [*words, text[start:]]


def merged(spans: list[Span]) -> list[Span]:
    """Join spans of one look that stand beside one another."""
    joined: list[Span] = []
    for text, look in spans:
        if joined and joined[-1][1] == look:
            joined[-1] = (joined[-1][0] + text, look)
        else:
            joined.append((text, look))
    return joined
