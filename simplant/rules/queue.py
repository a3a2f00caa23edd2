"""The claim of a queue: who called first is served first.

That each is served in time is `within`, one claim for each caller. Rule: only calls made while
the machine accepts them count.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Expr
from simplant.rules.claim import TRUE, Claim, Label, boolean, described, fail
from simplant.rules.monitor import Monitor, View
from simplant.timebase import Ns


@dataclass(frozen=True, slots=True, eq=False)
class ServedInOrder(Claim):
    """Service k never begins while another caller has been waiting for longer than k."""

    calls: tuple[Expr, ...]
    serves: tuple[Expr, ...]
    accepting: Expr

    def propositions(self) -> tuple[Expr, ...]:
        """Give accepting, then the calls, then the services."""
        return self.accepting, *self.calls, *self.serves

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return QueueMonitor(self)


class QueueMonitor(Monitor):
    """Keeps who waits since when; a second call of one who waits changes nothing."""

    __slots__ = ("_count", "_last", "_waiting")

    def __init__(self, claim: ServedInOrder) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._count = len(claim.calls)
        self._last: Sequence[bool] = (False,) * (1 + 2 * self._count)
        self._waiting: dict[int, Ns] = {}

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take accepting, calls, services."""
        last, count = self._last, self._count
        self._last = values
        if not values[0]:
            self._waiting.clear()
            return
        for caller in range(count):
            if values[1 + caller] and not last[1 + caller]:
                self._waiting.setdefault(caller, now)
        for caller in range(count):
            if values[1 + count + caller] and not last[1 + count + caller]:
                self._serve(caller, now, view)

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open: who still waits breaks no order."""
        return False

    def _serve(self, caller: int, now: Ns, view: View) -> None:
        since = self._waiting.pop(caller, None)
        if since is None:
            return
        self.exercised += 1
        if any(other < since for other in self._waiting.values()):
            self.broke(now, view)


def served_in_order(
    calls: Sequence[Expr], serves: Sequence[Expr], *, accepting: Expr | None = None, **label: Unpack[Label]
) -> Claim:
    """Demand that calls are served in the order in which they came (at the same instant: in any order).

    Args:
        calls: one for each caller; the rising edge calls, if the caller is not waiting already.
        serves: the service of each caller, in the same order; the rising edge begins it. One that no call asked
            for is not judged.
        accepting: calls count while this is true, and are forgotten when it is not; None: always.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the two lists are empty or of unlike length.
    """
    if not calls or len(calls) != len(serves):
        raise fail(
            f"{len(calls)} calls and {len(serves)} services make no queue",
            mend="give each caller one call and one service",
        )
    called = tuple(boolean(f"call {number}", call) for number, call in enumerate(calls, 1))
    served = tuple(boolean(f"service {number}", serve) for number, serve in enumerate(serves, 1))
    while_ = TRUE if accepting is None else boolean("accepting", accepting)
    text = f"{', '.join(map(str, called))} served in the order of their coming"
    return ServedInOrder(called, served, while_, **described(text, label))
