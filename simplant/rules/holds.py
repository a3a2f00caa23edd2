"""Claims that something lasts: holds, always in an interval, holds for at least.

Claims that something comes in time are in until.py. Rule: the interval is closed; only a least
duration is reached by a period of exactly that length.
"""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Unpack

from simplant.expr import Const, Expr
from simplant.rules.claim import Claim, Label, boolean, described, interval, said, span, triggered
from simplant.rules.measure import Measure, measure_of, numbers_in
from simplant.rules.monitor import Monitor, View, time_text
from simplant.timebase import NEVER, Ns, show
from simplant.values import BOOL, Value

NEVER_SO: Final = Const(False, BOOL)  # noqa: FBT003 - a signal that never comes


@dataclass(frozen=True, slots=True, eq=False)
class Holds(Claim):
    """After each rise of `trigger`, `state` holds from `first` to `last` later (`last` itself only if `closed`).

    `unless` drops what is demanded up to and at its instants.
    """

    trigger: Expr
    state: Expr
    first: Ns
    last: Ns
    measure: Measure | None
    closed: bool = True
    unless: Expr = NEVER_SO

    def propositions(self) -> tuple[Expr, ...]:
        """Give trigger, state, unless."""
        return self.trigger, self.state, self.unless

    def measured(self) -> tuple[str, ...]:
        """Give the numbers of the claim."""
        return numbers_in(self.state)

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return HoldsMonitor(self)


class HoldsMonitor(Monitor):
    """Keeps the triggers whose interval is not over, oldest first.

    The margin is physical where the state has a level; else it is in time: how long the state went on after the
    interval, or how much of the interval was missing.
    """

    __slots__ = ("_constants", "_end", "_first", "_last", "_measure", "_open", "_over", "_since", "_state", "_was")

    claim: Holds

    def __init__(self, claim: Holds) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._first, self._last = claim.first, claim.last
        self._end = claim.last if claim.closed else claim.last - 1
        self._open: deque[Ns] = deque()
        self._was, self._state = False, True
        self._over: Ns | None = None
        self._measure = claim.measure
        self._constants: Sequence[Value] = ()
        self._since: Ns = NEVER

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take trigger, state, unless."""
        if self._measure is not None and self._open:
            self._span(Ns(now - 1), view)
        while self.due < now:
            self._look(self.due, view)
        trigger, state, unless = values
        if unless:
            self._open.clear()
            self.due = NEVER
        elif trigger and not self._was:
            self._open.append(now)
            self.exercised += 1
        self._was, self._state = trigger, state
        if not state and self._over is not None:
            self._slack(now - self._over)
            self._over = None
        if self._open:
            if self._measure is not None:
                self._since, self._constants = now, self._measure.constants(view)
            self._look(now, view)

    def close(self, now: Ns, view: View) -> bool:
        """Judge what is due, and say whether an interval is still open."""
        if self._measure is not None and self._open:
            self._span(now, view)
        while self.due <= now:
            self._look(self.due, view)
        return bool(self._open)

    def amount_text(self, amount: float) -> str:
        """Write the margin in the level's unit, or how much time was left of the interval."""
        return super().amount_text(amount) if self._measure is not None else time_text(amount, self._last)

    def _look(self, now: Ns, view: View) -> None:
        """Settle each open trigger that can be settled by the state that holds at `now`."""
        waiting, last = self._open, self._last
        while waiting:
            begun = waiting[0]
            if not self._state and now >= begun + self._first:
                self._slack(now - begun - last)
                if self._measure is not None:
                    self._instant(now, view)
                self.broke(now, view)
            elif self._state and now >= begun + self._end:
                if self._measure is not None:
                    self._instant(now, view)
                self._over = Ns(begun + last)
            else:
                break
            waiting.popleft()
        self.due = Ns(waiting[0] + (self._end if self._state else self._first)) if waiting else NEVER

    def _slack(self, slack: int) -> None:
        if self._measure is None:
            self.note_time(slack, self._last)

    def _instant(self, now: Ns, view: View) -> None:
        """Measure at the instant that settles a trigger (unless a span up to it was measured already)."""
        if self._measure is not None and now == self._since:
            self.note(self._measure.least(self._constants, now, now, view, holds=self._state))

    def _span(self, last: Ns, view: View) -> None:
        """Measure the state from the last update on, in each open interval."""
        assert self._measure is not None, "only a measured claim has spans"
        for begun in self._open:
            first, final = max(self._since, begun + self._first), min(last, begun + self._end)
            if first <= final:
                self.note(self._measure.least(self._constants, Ns(first), Ns(final), view, holds=self._state))


def _holds(trigger: Expr, state: Expr, first: Ns, last: Ns, text: str, label: Label) -> Claim:
    words = described(text, label)
    return Holds(trigger, state, first, last, measure_of(state, words["scale"]), **words)


def holds(claim: Expr, *, for_: Ns, after: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that something holds from each rise of `after` for the time `for_`, both ends included.

    Args:
        claim: the state.
        for_: how long.
        after: the trigger; true at the start counts as a rise.
        label: `name`, `text`, `faults`, `scale`, `unit`.

    Raises:
        RuleError: an expression is not true or false, or the time not a duration.
    """
    state, last = boolean("what holds", claim), span("for_", for_)
    trigger, words = triggered(after)
    return _holds(trigger, state, Ns(0), last, f"{said(state)} for {show(last)} after {words}", label)


def always_in(claim: Expr, *, between: tuple[Ns, Ns], after: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand that something holds all through a closed interval after the start or after each rise of `after`.

    Raises:
        RuleError: an expression is not true or false, or the interval is none.
    """
    state, (first, last) = boolean("what holds", claim), interval(between)
    trigger, words = triggered(after)
    text = f"{said(state)} from {show(first)} to {show(last)} after {words}"
    return _holds(trigger, state, first, last, text, label)


def holds_for(claim: Expr, least: Ns, *, unless: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand that something, once true, stays true for at least `least`; exactly `least` is enough.

    Args:
        claim: what must last (a pump that runs).
        least: for how long.
        unless: a time in which this is true, be it for an instant, may be shorter (somebody switches the pump off).
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the time not a duration above 0.
    """
    state, last = boolean("what lasts", claim), span("holds_for", least, 1)
    excuse = NEVER_SO if unless is None else boolean("unless", unless)
    text = f"{state} for at least {show(last)} each time" + (f", unless {unless}" if unless is not None else "")
    words = described(text, label)
    return Holds(state, state, Ns(0), last, measure_of(state, words["scale"]), closed=False, unless=excuse, **words)
