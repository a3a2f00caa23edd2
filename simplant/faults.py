"""Faults as pure data: what breaks, in which way, from when and for how long.

Described here, applied by the parts and points themselves (`Part.faults`). The catalogue of a
machine is derived from the `FAILURES` of its parts and points, never written by hand.
Rule: a fault is a physical cause; what a program sees of it follows from the wiring.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from simplant.errors import ScenarioError, nearest
from simplant.timebase import NEVER, Ns, minutes, ms, show


@dataclass(frozen=True, slots=True)
class FailureMode:
    """One way in which a part or point fails, as a physical cause.

    Args:
        kind: its name in scenarios, unique within the part (`stuck_on`, `jammed`).
        cause: what breaks, in the trade's words.
        effect: what it does to the part.
        value: default severity, in `unit`; None if the mode has none.
        unit: unit of `value`.
        lasts: how long it usually lasts, ns; `NEVER` = until it is mended.
        early: it is there from power-up on (a mistake in wiring or setting, or what shows only then), so that is its
            usual onset; else it may begin at any instant.
    """

    kind: str
    cause: str
    effect: str
    value: float | None = None
    unit: str = ""
    lasts: Ns = NEVER
    early: bool = False


SUN: Final = minutes(5)
"""How long low sun usually shines into a receiver."""

SWAPPED: Final = FailureMode(
    "swapped", "two conductors of one cable are mixed up", "it carries what the other point's wire carries", early=True
)
"""The one mode that needs two points; every point has it, a machine's I/O list says which pairs there can be."""

POWER_CUT: Final = FailureMode(
    "power_cut",
    "its own fuse, plug or power pack fails",
    "outputs safe, all but retained values lost; boots after",
    lasts=ms(500),
)
"""What every controller has; a scenario's `[[power]]` is such a fault, with its restart said."""


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
        """Give `target.kind`, and of a fault between two points also the other."""
        return _text(self.target, self.kind, self.other)

    @property
    def names(self) -> tuple[str, ...]:
        """What a hazard list may call it: `target.kind`; of a fault between two points, either's name."""
        return tuple(f"{point}.{self.kind}" for point in (self.target, self.other) if point)

    @property
    def ends(self) -> Ns:
        """The instant at which it is gone; `NEVER` if it stays."""
        return NEVER if self.duration == NEVER else Ns(self.onset + self.duration)


@dataclass(frozen=True, slots=True)
class CatalogueEntry:
    """One failure mode of one part or point of a machine, or of two points (`other`)."""

    target: str
    mode: FailureMode
    other: str = ""

    def __str__(self) -> str:
        """Give `target.kind`, and of a fault between two points also the other."""
        return _text(self.target, self.mode.kind, self.other)

    def fault(self, onset: Ns, duration: Ns | None = None, value: float | None = None) -> Fault:
        """Make a fault of it, with the mode's own duration and severity unless others are given."""
        lasts = self.mode.lasts if duration is None else duration
        severity = self.mode.value if value is None else value
        return Fault(self.target, self.mode.kind, onset, lasts, severity, self.other)


def _text(target: str, kind: str, other: str) -> str:
    return f"{target}.{kind} with {other}" if other else f"{target}.{kind}"


def catalogue(
    targets: Mapping[str, Iterable[FailureMode]], swaps: Iterable[tuple[str, str]] = ()
) -> tuple[CatalogueEntry, ...]:
    """Derive the catalogue of a machine.

    Args:
        targets: name of each part and point -> its failure modes.
        swaps: pairs of points whose wires can be mixed up.

    Returns:
        One entry per target and mode but `swapped`, in the order given; then one per pair.
    """
    singles = (CatalogueEntry(name, mode) for name, modes in targets.items() for mode in modes if mode is not SWAPPED)
    return (*singles, *(CatalogueEntry(one, SWAPPED, other) for one, other in swaps))


def find(entries: Iterable[CatalogueEntry], target: str, kind: str) -> CatalogueEntry:
    """Give the first entry of that target and kind; raises `ScenarioError` with the nearest names if there is none."""
    known = list(entries)
    of_target = {entry.mode.kind: entry for entry in reversed(known) if target in (entry.target, entry.other)}
    if kind in of_target:
        return of_target[kind]
    if of_target:
        raise ScenarioError(f"{target!r} has no failure mode {kind!r}", mend=nearest(kind, of_target))
    raise ScenarioError(f"no part or point is named {target!r}", mend=nearest(target, (e.target for e in known)))
