"""Faults as pure data: what breaks, in which way, from when and for how long.

Described here, applied by the parts and points themselves (`Part.faults`). The catalogue of a
machine is derived from the `FAILURES` of its parts and points, never written by hand.
Rule: a fault is a physical cause; what a program sees of it follows from the wiring.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from simplant.errors import ScenarioError, nearest
from simplant.timebase import NEVER, Ns, show


@dataclass(frozen=True, slots=True)
class FailureMode:
    """One way in which a part or point fails, as a physical cause.

    Args:
        kind: its name in scenarios, unique within the part (`stuck_on`, `jammed`).
        cause: what breaks, in the trade's words.
        effect: what it does to the part.
        value: default severity, in `unit`; None if the mode has none.
        unit: unit of `value`.
    """

    kind: str
    cause: str
    effect: str
    value: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of one run.

    Args:
        target: name of the part or of the point's tag.
        kind: which of its failure modes.
        onset: instant at which it begins, ns.
        duration: how long it lasts, ns; `NEVER` = for good.
        value: severity in the unit of the mode; None = the mode's default, 1.0 if it has none.
        other: the second point of a fault between two (`swapped`), else "".

    Raises:
        ScenarioError: it begins before the run or lasts no time.
    """

    target: str
    kind: str
    onset: Ns
    duration: Ns = NEVER
    value: float | None = None
    other: str = ""

    def __post_init__(self) -> None:
        """Refuse an impossible span."""
        if self.onset < 0:
            raise ScenarioError(f"fault {self} begins at {show(self.onset)}", "a run begins at 0 s")
        if self.duration <= 0:
            raise ScenarioError(f"fault {self} lasts {show(self.duration)}", "it must last longer than that")

    def __str__(self) -> str:
        """Give `target.kind`, as reports and hazard lists write it."""
        return f"{self.target}.{self.kind}"

    @property
    def ends(self) -> Ns:
        """The instant at which it is gone; `NEVER` if it stays."""
        return NEVER if self.duration == NEVER else Ns(self.onset + self.duration)


@dataclass(frozen=True, slots=True)
class CatalogueEntry:
    """One failure mode of one part or point of a machine."""

    target: str
    mode: FailureMode

    def __str__(self) -> str:
        """Give `target.kind`."""
        return f"{self.target}.{self.mode.kind}"

    def fault(self, onset: Ns, duration: Ns = NEVER, value: float | None = None) -> Fault:
        """Make a fault of it, with the mode's own severity unless one is given."""
        return Fault(self.target, self.mode.kind, onset, duration, self.mode.value if value is None else value)


def catalogue(targets: Mapping[str, Iterable[FailureMode]]) -> tuple[CatalogueEntry, ...]:
    """Derive the catalogue of a machine.

    Args:
        targets: name of each part and point -> its failure modes.

    Returns:
        One entry per target and mode, in the order given.
    """
    return tuple(CatalogueEntry(name, mode) for name, modes in targets.items() for mode in modes)


def find(entries: Iterable[CatalogueEntry], target: str, kind: str) -> CatalogueEntry:
    """Give the entry of that target and kind; raises `ScenarioError` with the nearest names if there is none."""
    modes = {str(entry): entry for entry in entries}
    wanted = f"{target}.{kind}"
    if wanted in modes:
        return modes[wanted]
    of_target = [entry.mode.kind for entry in modes.values() if entry.target == target]
    if of_target:
        raise ScenarioError(f"{target!r} has no failure mode {kind!r}", mend=nearest(kind, of_target))
    raise ScenarioError(
        f"no part or point is named {target!r}", mend=nearest(target, (e.target for e in modes.values()))
    )
