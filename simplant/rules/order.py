"""Claims on order: one thing before another, and no coming back without the right edges.

Rule: within one instant a thing may come together with what must precede it, and a reset that
comes with a judged edge counts from the next instant on.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Unpack

from simplant.expr import Const, Expr
from simplant.rules.claim import Claim, Label, boolean, described, span
from simplant.rules.monitor import Monitor, View, time_text
from simplant.timebase import NEVER, Ns, show
from simplant.values import BOOL

AT_ONCE: Final = Ns(0)
"""No time at all."""


@dataclass(frozen=True, slots=True, eq=False)
class Before(Claim):
    """At each rise of `later`, `earlier` has been true since the last rise of `since` (or the start)."""

    earlier: Expr
    later: Expr
    since: Expr

    def propositions(self) -> tuple[Expr, ...]:
        """Give earlier, later, since."""
        return self.earlier, self.later, self.since

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return BeforeMonitor(self)


@dataclass(frozen=True, slots=True, eq=False)
class Latched(Claim):
    """After each rise of `loss`, `driven` stays off until the `edges` have risen one after the other.

    Args:
        loss: what takes the permission away; true at the start counts as a rise.
        driven: what must stay off.
        edges: rising edges that give it back, in this order, one an instant.
        stop_within: how long `driven` may go on after the loss; None: as long as it stays on by itself.
        gone: edges count only while `loss` is false.
        lag: what rises less than this after the loss was on its way, and is as if it had been on before.
    """

    loss: Expr
    driven: Expr
    edges: tuple[Expr, ...]
    stop_within: Ns | None
    gone: bool
    lag: Ns = AT_ONCE

    def propositions(self) -> tuple[Expr, ...]:
        """Give loss, driven, then the edges."""
        return self.loss, self.driven, *self.edges

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return LatchedMonitor(self)


class BeforeMonitor(Monitor):
    """Remembers whether the earlier thing has been true."""

    __slots__ = ("_known", "_later", "_since")

    def __init__(self, claim: Before) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._known = self._later = self._since = False

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take earlier, later, since."""
        earlier, later, since = values
        known = self._known or earlier
        if later and not self._later:
            self.exercised += 1
            if not known:
                self.broke(now, view)
        self._known = earlier if since and not self._since else known
        self._later, self._since = later, since

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False


class LatchedMonitor(Monitor):
    """Follows the edges that give the permission back; `_left` of them are still missing."""

    __slots__ = ("_bad", "_deadline", "_driven", "_edges", "_free", "_left", "_loss")

    claim: Latched

    def __init__(self, claim: Latched) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._loss = self._driven = self._bad = False
        self._edges: Sequence[bool] = (False,) * len(claim.edges)
        self._left = 0
        self._deadline: Ns = NEVER
        self._free = 0

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take loss, driven, edges."""
        if self.due < now:
            self._judge(self.due, view, risen=False)
        loss, driven, *edges = values
        if loss and not self._loss:
            self.exercised += 1
            if not self._left and self.claim.stop_within is not None:  # a chattering loss does not put the stop off
                self._deadline = Ns(now + self.claim.stop_within)
            if not self._left:  # what had no permission before has none now either
                self._free = now + self.claim.lag
            self._left = len(edges)
        elif self._left and not (loss and self.claim.gone):
            index = len(edges) - self._left
            self._left -= edges[index] and not self._edges[index]
        if self._driven and not driven and self._left:
            self._slack(now)
        risen = driven and not self._driven and now >= self._free
        self._loss, self._driven, self._edges = loss, driven, edges
        self._judge(now, view, risen=risen)

    def close(self, now: Ns, view: View) -> bool:
        """Judge what is due, and say whether the time to stop is still running."""
        if self.due <= now:
            self._judge(self.due, view, risen=False)
        if self._bad:
            self._slack(now)
        return self.due != NEVER

    def amount_text(self, amount: float) -> str:
        """Write how much time was left to stop."""
        return time_text(amount, self.claim.stop_within or 0)

    def _slack(self, off: Ns) -> None:
        """Note how long before its deadline the drive went off (a drive that starts again later goes off late)."""
        if self._deadline != NEVER:
            self.note_time(self._deadline - off, self.claim.stop_within or 0)

    def _judge(self, now: Ns, view: View, *, risen: bool) -> None:
        locked = self._left > 0 and self._driven
        stop = self.claim.stop_within
        allowed = now < self._deadline if stop is not None else not (self._bad or risen)
        bad = locked and not allowed
        if bad and not self._bad:
            self.broke(now, view)
            self._slack(now)
        self._bad = bad
        self.due = self._deadline if locked and not bad else NEVER


def before(earlier: Expr, later: Expr, *, since: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand an order: `later` does not rise unless `earlier` has been true since the last rise of `since`.

    Args:
        earlier: true at some instant of the span, the first and the instant of `later` included.
        later: each of its rises is judged; true at the start counts as a rise.
        since: its rise begins a new span; a `later` at that same instant still belongs to the old one. None: the
            span begins at the start. Name `later` itself to ask for a fresh `earlier` each time.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false.
    """
    one, other = boolean("what comes first", earlier), boolean("what comes later", later)
    text = f"{one} before {other}" + (f", since {since}" if since is not None else "")
    reset = Const(False, BOOL) if since is None else boolean("since", since)  # noqa: FBT003 - a signal that never comes
    return Before(one, other, reset, **described(text, label))


def trip_latched(
    trip: Expr, driven: Expr, *, reset: Expr, start: Expr, stop_within: Ns, **label: Unpack[Label]
) -> Claim:
    """Demand that a trip stops the drives and latches until a reset edge and then a start edge.

    Args:
        trip: the trip; edges that come while it lasts count for nothing.
        driven: any drive energised, on the truth of the plant rather than on commands.
        reset: its rising edge resets; held or tied down it does nothing.
        start: its rising edge, at a later instant than the reset's, starts.
        stop_within: by then after the trip everything is off.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the time not a duration.
    """
    edges = (boolean("reset", reset), boolean("start", start))
    loss, on, stop = boolean("trip", trip), boolean("driven", driven), span("stop_within", stop_within)
    text = f"after {loss} NOT {on} within {show(stop)}, latched until {reset} and then {start}"
    return Latched(loss, on, edges, stop, gone=True, **described(text, label))


def no_restart_by_itself(
    driven: Expr, *, start: Expr, after: Expr | None = None, lag: Ns = AT_ONCE, **label: Unpack[Label]
) -> Claim:
    """Demand that nothing starts without a rising edge of `start`.

    Args:
        driven: what must not start by itself.
        start: the start command; tied down it does not start.
        after: what ends the last permission: each of its rises asks for a new edge. None: `driven` going off.
        lag: what comes on less than this after `after` was on its way already (a contactor pulling in), and no start.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false.
    """
    on, edge = boolean("driven", driven), boolean("start", start)
    loss = ~on if after is None else boolean("after", after)
    lag = span("lag", lag)
    text = f"{on} does not start without {edge}" + (f" after {after}" if after is not None else "")
    text += f", but for {show(lag)}" if lag else ""
    return Latched(loss, on, (edge,), None, gone=False, lag=lag, **described(text, label))
