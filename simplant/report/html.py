"""HTML as text: elements, tables, and how times and outcomes are said.

Rule: whatever comes from a run is escaped; a long table says what it leaves out.
"""

from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

from simplant.rules import Outcome

MOST: Final = 200
"""Rows of a table that are shown."""

OUTCOMES: Final = {
    Outcome.BROKEN: "✕ broken",
    Outcome.UNDECIDED: "? not decided",
    Outcome.NOT_EXERCISED: "○ not exercised",
    Outcome.HELD: "✓ held",
}
"""In the order of what needs attention."""


def tag(name: str, content: str, **attributes: str) -> str:
    """Give an element; its content is HTML already."""
    told = "".join(f' {key.rstrip("_").replace("_", "-")}="{escape(value)}"' for key, value in attributes.items())
    return f"<{name}{told}>{content}</{name}>"


def said(text: object) -> str:
    """Give text as HTML."""
    return escape(str(text), quote=False)


def table(heads: Sequence[str], rows: Iterable[Sequence[object]], *, caption: str = "", most: int = MOST) -> str:
    """Give a table.

    Args:
        heads: of the columns; one that begins with `>` holds numbers.
        rows: cells, as text.
        caption: stands above it.
        most: rows that are shown; the caption counts the others.
    """
    listed = list(rows)
    if len(listed) > most:
        caption = f"{caption} The first {most} of {len(listed)}; the trace has all.".strip()
    top = "".join(tag("th", said(head.lstrip(">")), scope="col") for head in heads)
    lines = "".join(tag("tr", "".join(map(_cell, heads, row))) for row in listed[:most])
    told = tag("caption", said(caption)) if caption else ""
    whole = tag("table", f"{told}<thead><tr>{top}</tr></thead><tbody>{lines}</tbody>")
    return tag("div", whole, class_="wide", tabindex="0", role="region", aria_label=caption or " ".join(heads))


def _cell(head: str, value: object) -> str:
    return tag("td", said(value), class_="number") if head.startswith(">") else tag("td", said(value))
