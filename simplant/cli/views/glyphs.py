"""The characters of the timing chart, for terminals that draw blocks and for those that do not.

Rule: either every character of a set can be encoded, or plain ASCII is used.
"""

from dataclasses import astuple, dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Glyphs:
    """One set.

    Args:
        high, low: a point at 1, at 0.
        pulse, gap: 0-1-0, 1-0-1 within one column.
        busy: three or more changes within one column.
        tick: where a value or a mark of the time scale begins.
        event: where an event stands.
    """

    high: str
    low: str
    pulse: str
    gap: str
    busy: str
    tick: str
    event: str

    def legend(self, drawn: str) -> str:
        """Explain the marks that occur in the digital lines drawn."""
        meanings = {self.pulse: "short pulse", self.gap: "short gap", self.busy: "several changes"}
        return "   ".join(f"{mark} {meaning}" for mark, meaning in meanings.items() if mark in drawn)


BLOCKS: Final = Glyphs(high="▆", low="▁", pulse="│", gap="╎", busy="▒", tick="│", event="▼")
ASCII: Final = Glyphs(high="#", low="_", pulse="|", gap=".", busy="%", tick="|", event="!")


def glyphs_for(encoding: str, *, legacy: bool = False) -> Glyphs:
    """Choose the set that a terminal can show.

    Args:
        encoding: of the terminal.
        legacy: it is an old Windows console, whose fonts lack blocks whatever the encoding.
    """
    try:
        "".join(astuple(BLOCKS)).encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return ASCII
    return ASCII if legacy else BLOCKS
