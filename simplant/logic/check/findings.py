"""What a check of a program says: one finding, how grave it is, what to do about it.

The checks are the other files of this package. Rule: a finding names what it is about by the words the
author wrote, and the place, and says how to mend it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from simplant.errors import Place, sentences

Severity = Literal["error", "warning", "note"]

SEVERITIES: Final[tuple[Severity, ...]] = ("error", "warning", "note")
"""Gravest first: surely wrong; likely wrong; worth knowing."""

MOST_NAMED: Final = 8
"""Names that a finding lists; of more it gives the number."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to look at.

    Args:
        severity: `error` surely wrong, `warning` likely wrong, `note` worth knowing.
        kind: short name of the check, the same for all findings of its sort.
        what: what was found, as a full clause.
        why: why it matters; may be empty.
        mend: what to do about it; may be empty.
        place: where it was written, if that is known.
    """

    severity: Severity
    kind: str
    what: str
    why: str = ""
    mend: str = ""
    place: Place | None = None

    def __str__(self) -> str:
        """Give *place: severity: what. Why. Mend.* on one line."""
        head = f"{self.place}: " if self.place else ""
        return f"{head}{self.severity}: {sentences(self.what, self.why, self.mend)}"


def in_order(found: Iterable[Finding]) -> list[Finding]:
    """Sort findings: gravest first, then as they stand in the program; each once."""

    def key(finding: Finding) -> tuple[int, str, int]:
        place = finding.place or Place("")
        return SEVERITIES.index(finding.severity), place.file, place.line

    return sorted(dict.fromkeys(found), key=key)


def listed(names: Sequence[str]) -> str:
    """Write names for people: `a`, `a and b`, `a, b and c`; of many only the first."""
    names = list(dict.fromkeys(names))
    if len(names) > MOST_NAMED:
        return f"{', '.join(names[:MOST_NAMED])} and {len(names) - MOST_NAMED} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
