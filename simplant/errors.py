"""Every exception a user can meet, sorted by whose fault it is.

Nothing else lives here but the text of an error: place, what, why, how to mend it.
Rule: an exception keeps its fields (all of them reach `super().__init__`), so it survives
copying and being rebuilt from its arguments; the text is made only in `__str__`.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final


@dataclass(frozen=True, slots=True)
class Place:
    """Where something was written: a file, a line and a column (both from 1; 0 = not known)."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        """Give `file:line:column`, leaving out what is not known."""
        parts = [self.file, *(str(n) for n in (self.line, self.column) if n)]
        return ":".join(parts)


class SimplantError(Exception):
    """Base of every error that simplant raises on purpose.

    Args:
        what: what is wrong, as a full clause.
        why: why we think so; may be empty.
        mend: what to do about it; may be empty.
        place: where it was written, if that is known.
    """

    def __init__(self, what: str, why: str = "", mend: str = "", place: Place | None = None) -> None:
        """Keep the four fields."""
        super().__init__(what, why, mend, place)
        self.what, self.why, self.mend, self.place = what, why, mend, place

    def __str__(self) -> str:
        """Give *place: what. Why. Mend.* on one line."""
        return (f"{self.place}: " if self.place else "") + sentences(self.what, self.why, self.mend)


class ProgramError(SimplantError):
    """The control logic is at fault."""


class PlantError(SimplantError):
    """The model of the machine is at fault."""


class WiringError(SimplantError):
    """The I/O list or the wiring is at fault."""


class ScenarioError(SimplantError):
    """A scenario or trace file is at fault."""


class RuleError(SimplantError):
    """A rule or a hazard list is written wrongly (a rule that fails is `RuleBroken`)."""


class UsageError(SimplantError):
    """A command or a call was given something it cannot take."""


class RuleBroken(SimplantError, AssertionError):
    """A finding: a claim about the machine failed."""


class ReplayMismatch(SimplantError, AssertionError):
    """A finding: a run differs from its stored trace."""


class InternalError(SimplantError):
    """A bug in simplant itself; please report it."""


_FIRST_WORD: Final = re.compile(r"\A[a-z]+(?=[ ,:;]|\Z)")


def sentences(first: str, *more: str) -> str:
    """Join clauses to sentences, each with its stop; those after the first begin with a capital.

    Args:
        first: what may follow a place, so it begins as it is written.
        more: empty ones are left out; one that begins with a bare name puts it in quotes, so that it is left as it is.
    """
    clauses = [first, *(_FIRST_WORD.sub(lambda word: word[0].capitalize(), part) for part in more if part)]
    return " ".join(part if part.endswith(("?", "!")) else part.rstrip(".") + "." for part in clauses)


def nearest(name: str, known: Iterable[str], how_many: int = 3) -> str:
    """Say which known names are close to a misspelt one.

    Args:
        name: what was written.
        known: the names that would have been right.
        how_many: the most to name.

    Returns:
        A clause for an error's `mend`, never empty.
    """
    names = sorted(set(known))
    close = get_close_matches(name, names, how_many, cutoff=0.55)
    if close:
        return f"close in spelling: {', '.join(close)}"
    if not names:
        return "none is declared"
    more = f" and {len(names) - 8} more" if len(names) > 8 else ""
    return f"known: {', '.join(names[:8])}{more}"
