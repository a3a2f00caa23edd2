"""The claim that a count of the program goes along with a count of the plant.

Other claims on counts are in amounts.py. Rule: both count from where they stood when the run began, or when the claim
last came into force; a retained count does not begin at 0.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Expr
from simplant.rules.claim import TRUE, Claim, Label, boolean, described, fail, names_in, span
from simplant.rules.monitor import Monitor, View
from simplant.rules.until import Until, UntilMonitor
from simplant.timebase import Ns, show


@dataclass(frozen=True, slots=True, eq=False)
class CountsEqual(Until):
    """`counted` and `truth` go up alike while `while_` holds, but for at most `last` at a stretch."""

    counted: Expr
    truth: Expr
    while_: Expr

    def propositions(self) -> tuple[Expr, ...]:
        """Give what it is in force by."""
        return (self.while_,)

    def looked_at(self) -> tuple[Expr, ...]:
        """Give both counts."""
        return self.counted, self.truth

    def measured(self) -> tuple[str, ...]:
        """Give what both counts speak of."""
        return names_in(self.counted, self.truth)

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return CountsMonitor(self)


class CountsMonitor(UntilMonitor):
    """Knows how far apart the counts were when the claim came into force."""

    __slots__ = ("_apart",)

    claim: CountsEqual

    def __init__(self, claim: CountsEqual) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._apart: float | None = None

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take whether the claim is in force; compare."""
        alike = True
        if values[0]:
            counted, truth = view.value(self.claim.counted), view.value(self.claim.truth)
            apart = float(counted) - float(truth)
            self._apart = apart if self._apart is None else self._apart
            alike = apart == self._apart
        else:
            self._apart = None
        super().update(now, (not alike, True, alike), view)


def count_equals(
    counted: Expr, truth: Expr, *, settle: Ns, while_: Expr | None = None, **label: Unpack[Label]
) -> Claim:
    """Demand that a count of the program equals the truth, but for at most `settle` at a stretch.

    What each stood at when the run began does not matter: a retained count goes on from its last value.

    Args:
        counted: the program's number.
        truth: the plant's number.
        settle: how long they may differ (the count is late by filter and scan).
        while_: judged only as long as this holds (a count that is not yet at its end), by default always.
        label: `name`, `text`, `faults`.
    """
    for each in (counted, truth):
        if not isinstance(each, Expr) or not each.type.is_number:
            raise fail(f"count_equals compares numbers, not {each}", mend="give a counting tag and a counting truth")
    last = span("settle", settle)
    while_ = TRUE if while_ is None else boolean("while_", while_)
    words = described(f"{counted} equals {truth}, but for at most {show(last)}", label)
    return CountsEqual(TRUE, TRUE, TRUE, Ns(0), last, counted, truth, while_, standing=True, **words)
