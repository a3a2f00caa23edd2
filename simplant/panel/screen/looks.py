"""What each look of a text is in a terminal.

Rule: colours are those of lamps and buttons only (IEC 60204-1), and what they say stands in the text too.
"""

from typing import Final

from rich.style import Style

STYLES: Final = {
    look: Style.parse(style)
    for look, style in {
        "": "none",
        "strong": "bold",
        "faint": "dim",
        "head": "bold underline",
        "flow": "bold",
        "warn": "bold italic",
        "bad": "bold reverse",
        "forced": "reverse",
        "red": "bold white on #b00020",
        "yellow": "bold black on #ffd400",
        "green": "bold black on #3cb043",
        "blue": "bold white on #1f4fd8",
        "white": "bold black on #ffffff",
        "dark": "dim",
    }.items()
}
CURSOR: Final = Style.parse("on #3a4654")
TITLE: Final = Style.parse("bold on #303840")
TITLE_AT: Final = Style.parse("bold black on #c8d0d8")
