"""Claims that something comes in time: within, eventually, until, at most for.

Claims that something lasts are in holds.py. All are one until of metric temporal logic, started
at each rising edge of a trigger: `held U[first, last] answer`. Rule: the interval is closed, and
`held` need not hold at the very instant of the answer.
Source: Maler & Nickovic 2004 and linear temporal logic (checked in tests/external/test_temporal_logic.py).
"""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Unpack

from simplant.expr import Expr
from simplant.rules.claim import TRUE, Claim, Label, boolean, described, interval, said, span, triggered
from simplant.rules.monitor import Monitor, View, time_text
from simplant.timebase import NEVER, Ns, show


@dataclass(frozen=True, slots=True, eq=False)
class Until(Claim):
    """After each rise of `trigger`: `held` holds until `answer`, which comes between `first` and `last` later.

    `standing`: exercised from the start on, for claims whose trigger is itself the disturbance.
    """

    trigger: Expr
    held: Expr
    answer: Expr
    first: Ns
    last: Ns
    standing: bool = field(default=False, kw_only=True)

    def propositions(self) -> tuple[Expr, ...]:
        """Give trigger, held, answer."""
        return self.trigger, self.held, self.answer

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return UntilMonitor(self)


class UntilMonitor(Monitor):
    """Keeps the triggers that are not answered yet, oldest first."""

    __slots__ = ("_answer", "_first", "_held", "_last", "_late", "_open", "_was")

    claim: Until

    def __init__(self, claim: Until) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._first, self._last = claim.first, claim.last
        self._open: deque[Ns] = deque()
        self._was, self._held, self._answer = False, True, False
        self._late: Ns | None = None
        self.exercised = int(claim.standing)

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take trigger, held, answer."""
        while self.due < now:
            self._look(self.due, view)
        trigger, self._held, self._answer = values
        if trigger and not self._was:
            self._open.append(now)
            self.exercised += 1
        self._was = trigger
        if self._open:
            self._look(now, view)
        if self._late is not None and self._answer:
            self.note_time(self._late - now, self._last)
            self._late = None

    def close(self, now: Ns, view: View) -> bool:
        """Judge what is due, and say whether a trigger is still open."""
        while self.due <= now:
            self._look(self.due, view)
        if self._late is not None:
            self.note_time(self._late - now, self._last)
        return bool(self._open)

    def amount_text(self, amount: float) -> str:
        """Write how much time was left of the bound."""
        return time_text(amount, self._last)

    def _look(self, now: Ns, view: View) -> None:
        """Answer, break or keep each open trigger, by the values that hold at `now`."""
        waiting, first, last = self._open, self._first, self._last
        while waiting:
            begun = waiting[0]
            if self._answer and now >= begun + first:
                self.note_time(begun + last - now, last)
            elif not self._held:
                self.note_time(now - begun - last, last)
                self.broke(now, view)
            elif now >= begun + last:
                if self._late is None:
                    self._late = Ns(begun + last)
                self.broke(now, view)
            else:
                break
            waiting.popleft()
        self.due = Ns(waiting[0] + (first if self._answer else last)) if waiting else NEVER


@dataclass(frozen=True, slots=True, eq=False)
class UntilWhile(Until):
    """The same, but put to the test by each rise of `tested`, whether or not the trigger comes."""

    tested: Expr

    def propositions(self) -> tuple[Expr, ...]:
        """Give trigger, held, answer, tested."""
        return self.trigger, self.held, self.answer, self.tested

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return UntilWhileMonitor(self)


class UntilWhileMonitor(UntilMonitor):
    """Counts the rises of what puts the claim to the test."""

    __slots__ = ("_tested",)

    def __init__(self, claim: UntilWhile) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._tested = False

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take trigger, held, answer, tested."""
        *rest, tested = values
        exercised = self.exercised + (tested and not self._tested)
        super().update(now, rest, view)
        self._tested, self.exercised = tested, exercised


def within(claim: Expr, time: Ns, *, after: Expr, **label: Unpack[Label]) -> Claim:
    """Demand an answer in time: after each rise of `after`, `claim` holds at some instant up to `time` later.

    Args:
        claim: the answer; it may already hold at the trigger.
        time: the deadline; an answer at the deadline is in time.
        after: the trigger; true at the start counts as a rise.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the time not a duration.
    """
    answer, last = boolean("the answer", claim), span("within", time)
    trigger, words = triggered(after)
    text = f"{said(answer)} within {show(last)} after {words}"
    return Until(trigger, TRUE, answer, Ns(0), last, **described(text, label))


def eventually(claim: Expr, *, between: tuple[Ns, Ns], after: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand that something holds at some instant of a closed interval after the start or after each rise of `after`.

    Raises:
        RuleError: an expression is not true or false, or the interval is none.
    """
    answer, (first, last) = boolean("the answer", claim), interval(between)
    trigger, words = triggered(after)
    text = f"{said(answer)} some time between {show(first)} and {show(last)} after {words}"
    return Until(trigger, TRUE, answer, first, last, **described(text, label))


def until(
    claim: Expr, answer: Expr, *, between: tuple[Ns, Ns], after: Expr | None = None, **label: Unpack[Label]
) -> Claim:
    """Demand that something holds until an answer comes, and that it comes in a closed interval.

    Args:
        claim: must hold from the trigger until just before the answer. It need not hold at the instant of the answer
            (one scan often takes over from the other); who wants it there writes `until(p, p & q, ...)`.
        answer: must hold at an instant of the interval; earlier it counts for nothing.
        between: earliest and latest time of the answer after the trigger, both included.
        after: the trigger; None: the start. True at the start counts as a rise.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the interval is none.
    """
    held, comes, (first, last) = boolean("what holds", claim), boolean("the answer", answer), interval(between)
    trigger, words = triggered(after)
    text = f"{said(held)} until {said(comes)}, between {show(first)} and {show(last)} after {words}"
    return Until(trigger, held, comes, first, last, **described(text, label))


def at_most_for(claim: Expr, most: Ns, *, while_: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand that something is never true for longer than `most` at a stretch.

    Args:
        claim: what must not last.
        most: how long it may; exactly that is short enough.
        while_: only a stretch during which this is true as well counts (a pump on while its selector is off). Each of
            its rises puts the claim to the test, so it counts as exercised though the claim never came true.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, or the time not a duration.
    """
    lasting, last = boolean("what lasts", claim), span("at_most_for", most)
    text = f"{lasting} for at most {show(last)}"
    if while_ is None:
        return Until(lasting, TRUE, ~lasting, Ns(0), last, **described(text, label))
    tested = boolean("while_", while_)
    both = lasting & tested
    return UntilWhile(both, TRUE, ~both, Ns(0), last, tested, **described(f"{text} while {tested}", label))


def settles_within(claim: Expr, time: Ns, **label: Unpack[Label]) -> Claim:
    """Demand that something always holds but for disturbances of at most `time` each.

    Raises:
        RuleError: the claim is not true or false, or the time not a duration.
    """
    state, last = boolean("what holds", claim), span("settles_within", time)
    text = f"always {state}, but for at most {show(last)}"
    return Until(~state, TRUE, state, Ns(0), last, standing=True, **described(text, label))
