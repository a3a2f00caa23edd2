"""The claim of reversing drives: direction never changes while the axis runs or within the dead time.

Rule: both ways count: from stop to change, and from change to start.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Expr
from simplant.rules.claim import Claim, Label, boolean, described, span
from simplant.rules.monitor import Monitor, View, time_text
from simplant.timebase import Ns, show


@dataclass(frozen=True, slots=True, eq=False)
class DeadTime(Claim):
    """`direction` changes only while `running` is off, at least `least` after it went off and before it comes on."""

    running: Expr
    direction: Expr
    least: Ns

    def propositions(self) -> tuple[Expr, ...]:
        """Give running, direction."""
        return self.running, self.direction

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return DeadTimeMonitor(self)


class DeadTimeMonitor(Monitor):
    """Keeps the instants of the last stop and of the last change."""

    __slots__ = ("_changed", "_direction", "_running", "_stopped")

    claim: DeadTime

    def __init__(self, claim: DeadTime) -> None:
        """Start before the first instant; the direction at the start is no change."""
        super().__init__(claim)
        self._running = False
        self._direction: bool | None = None
        self._stopped: Ns | None = None
        self._changed: Ns | None = None

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take running, direction."""
        running, direction = values
        if self._running and not running:
            self._stopped = now
        if self._direction is not None and direction != self._direction:
            self.exercised += 1
            if self._running and running:
                self.note_time(-self.claim.least, self.claim.least)
                self.broke(now, view)
            elif self._stopped is not None:
                self._gap(now - self._stopped, now, view)
            self._changed = now
        if running and not self._running and self._changed is not None:
            self._gap(now - self._changed, now, view)
        self._running, self._direction = running, direction

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False

    def amount_text(self, amount: float) -> str:
        """Write how much more than the dead time it was."""
        return time_text(amount, self.claim.least)

    def _gap(self, gap: int, now: Ns, view: View) -> None:
        self.note_time(gap - self.claim.least, self.claim.least)
        if gap < self.claim.least:
            self.broke(now, view)


def dead_time(running: Expr, direction: Expr, least: Ns, **label: Unpack[Label]) -> Claim:
    """Demand that a direction never changes while its axis runs, nor within the dead time after or before.

    Args:
        running: the axis is energised.
        direction: one way or the other; exercised by its changes.
        least: the dead time; exactly that is enough.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the time not a duration.
    """
    runs, way, least = boolean("running", running), boolean("direction", direction), span("dead_time", least)
    text = f"{way} changes only with {runs} off, {show(least)} after and before"
    return DeadTime(runs, way, least, **described(text, label))
