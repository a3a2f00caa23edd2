"""The claim that looks back: something has lasted before something else happens.

Claims that look forward are in holds.py and until.py. Rule: the past begins at the start of the
run; before it nothing was true.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Expr
from simplant.rules.claim import Claim, Label, boolean, described, said, span
from simplant.rules.monitor import Monitor, View, time_text
from simplant.timebase import Ns, show


@dataclass(frozen=True, slots=True, eq=False)
class Lasted(Claim):
    """At each rise of `later`, `state` has been true for the last `least`, without a gap."""

    state: Expr
    later: Expr
    least: Ns

    def propositions(self) -> tuple[Expr, ...]:
        """Give state, later."""
        return self.state, self.later

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return LastedMonitor(self)


class LastedMonitor(Monitor):
    """Knows since when the state is true."""

    __slots__ = ("_later", "_since")

    claim: Lasted

    def __init__(self, claim: Lasted) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._since: Ns | None = None
        self._later = False

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take state, later."""
        state, later = values
        if later and not self._later:
            self.exercised += 1
            lasted = 0 if self._since is None else now - self._since
            self.note_time(lasted - self.claim.least, self.claim.least)
            if lasted < self.claim.least:
                self.broke(now, view)
        self._later = later
        if not state:
            self._since = None
        elif self._since is None:
            self._since = now

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False

    def amount_text(self, amount: float) -> str:
        """Write how much longer than needed it had lasted."""
        return time_text(amount, self.claim.least)


def lasted(claim: Expr, least: Ns, *, before: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that something has been true, without a gap, for at least `least` whenever something else happens.

    Args:
        claim: what must have lasted (a warning, a supply within its limits). It may end at that very instant.
        least: for how long; exactly that is enough.
        before: each rising edge is judged; true at the start counts as a rise.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the time not a duration above 0.
    """
    state, later, least = boolean("what lasts", claim), boolean("before", before), span("lasted", least, 1)
    text = f"{said(state)} for the last {show(least)} before each {later}"
    return Lasted(state, later, least, **described(text, label))
