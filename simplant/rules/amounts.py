"""Claims on amounts: how much of the time, and how often.

Rule: the window slides over every instant, not over samples; before the start nothing was true.
"""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Unpack

from simplant.expr import Const, Expr
from simplant.rules.claim import Claim, Label, boolean, described, fail, span
from simplant.rules.monitor import Monitor, View, time_text
from simplant.timebase import NEVER, Ns, show
from simplant.values import BOOL


@dataclass(frozen=True, slots=True, eq=False)
class TotalAtMost(Claim):
    """In every window of length `window` up to now, `state` was true for at most `most` in all."""

    state: Expr
    most: Ns
    window: Ns

    def propositions(self) -> tuple[Expr, ...]:
        """Give the state."""
        return (self.state,)

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return TotalMonitor(self)


@dataclass(frozen=True, slots=True, eq=False)
class CountAtMost(Claim):
    """Since the last rise of `reset`, `edge` rises at most `most` times in any window of length `window`."""

    edge: Expr
    most: int
    reset: Expr
    window: Ns = NEVER

    def propositions(self) -> tuple[Expr, ...]:
        """Give edge, reset."""
        return self.edge, self.reset

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return CountMonitor(self)


class TotalMonitor(Monitor):
    """Keeps the true periods inside the window; knows beforehand when the running one would be too much."""

    __slots__ = ("_begun", "_past")

    claim: TotalAtMost

    def __init__(self, claim: TotalAtMost) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._past: deque[tuple[int, int]] = deque()
        self._begun: Ns | None = None

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take the state."""
        if self.due < now:
            self._too_much(view)
        if values[0]:
            if self._begun is None:
                self.exercised += 1
                self._begun = now
                self.due = self._reach(now)
            if self.due == now:
                self._too_much(view)
        elif self._begun is not None:
            self._measure(now)
            self._keep(self._begun, now)
            self._begun, self.due = None, NEVER

    def close(self, now: Ns, view: View) -> bool:
        """Measure up to the end; nothing stays open."""
        if self.due <= now:
            self._too_much(view)
        if self._begun is not None:
            self._measure(now)
        return False

    def amount_text(self, amount: float) -> str:
        """Write how much time was left."""
        return time_text(amount, self.claim.most)

    def _too_much(self, view: View) -> None:
        self.broke(self.due, view)
        self.due = NEVER

    def _measure(self, now: Ns) -> None:
        """Note the total of the window that ends now: within a true period none before it had more."""
        assert self._begun is not None, "measured only in a true period"
        start = now - self.claim.window
        total = now - max(self._begun, start) + self._before(start)
        self.note_time(self.claim.most - total, self.claim.most)

    def _before(self, start: int) -> int:
        return sum(end - max(begun, start) for begun, end in self._past if end > start)

    def _keep(self, begun: Ns, now: Ns) -> None:
        if self.claim.window == NEVER:  # the window never slides, so one period may stand for all
            begun = Ns(begun - self._before(0))
            self._past.clear()
        self._past.append((begun, now))
        while self._past[0][1] <= now - self.claim.window:
            self._past.popleft()

    def _reach(self, now: Ns) -> Ns:
        """Give the instant at which the window would hold more than enough if the state stayed true from now on."""
        window, start = self.claim.window, now - self.claim.window
        need = self.claim.most - self._before(start)
        if need < 0:  # the excess of an earlier period goes on: it is one breach
            return NEVER
        for begun, end in self._past:
            if end <= start:
                continue
            gain = max(begun - start, 0)
            if gain > need:
                break
            need -= gain
            start = end
        reached = start + window + need
        return Ns(reached) if reached - now < window else NEVER


class CountMonitor(Monitor):
    """Keeps the rises inside the window since the last reset."""

    __slots__ = ("_edge", "_reset", "_rises")

    claim: CountAtMost

    def __init__(self, claim: CountAtMost) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._edge = self._reset = False
        self._rises: deque[Ns] = deque()

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take edge, reset."""
        edge, reset = values
        if edge and not self._edge:
            self.exercised += 1
            rises = self._rises
            rises.append(now)
            while rises[0] <= now - self.claim.window:
                rises.popleft()
            left = self.claim.most - len(rises)
            self.note((left / (self.claim.most or 1), left))
            if left < 0:
                self.broke(now, view)
        if reset and not self._reset:
            self._rises.clear()
        self._edge, self._reset = edge, reset

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False

    def amount_text(self, amount: float) -> str:
        """Write how many were left."""
        return f"{amount:.0f} of {self.claim.most}"


def total_at_most(
    claim: Expr,
    most: Ns | None = None,
    *,
    share: str | Fraction | None = None,
    window: Ns | None = None,
    **label: Unpack[Label],
) -> Claim:
    """Demand that something is not true for too much of the time: a duty.

    Args:
        claim: the state.
        most: the greatest total in any window; or
        share: the same as a part of the window, exactly: "0.25", "1/4".
        window: length of the sliding window; None (only with `most`): the whole run.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: not exactly one of `most` and `share`, a share without a window or outside 0 to 1.
    """
    state = boolean("what is added up", claim)
    if (most is None) == (share is None) or (share is not None and window is None):
        raise fail("total_at_most needs `most`, or `share` and `window`", mend='write share="0.25", window=minutes(10)')
    length = NEVER if window is None else span("window", window, 1)
    limit = span("most", most) if most is not None else _part(share, length)
    text = f"{state} for at most {show(limit)}" + (f" in any {show(length)}" if window is not None else " in all")
    return TotalAtMost(state, limit, length, **described(text, label))


def _part(share: object, window: Ns) -> Ns:
    if isinstance(share, str | Fraction):
        try:
            part = Fraction(share)
        except (ValueError, ZeroDivisionError):
            part = Fraction(-1)
        if 0 <= part <= 1:
            return Ns(int(part * window))
    raise fail(f"share={share!r} is not a part of the window", mend='write it as text from 0 to 1: "0.25" or "1/4"')


def count_at_most(
    edge: Expr, most: int, *, window: Ns | None = None, reset: Expr | None = None, **label: Unpack[Label]
) -> Claim:
    """Demand that something does not happen too often: starts of a motor per hour, tosses per homing.

    Args:
        edge: each of its rises counts; true at the start counts as a rise.
        most: the most rises in any window.
        window: length of the sliding window, open at its beginning and closed at its end: of two rises exactly
            `window` apart, the second no longer counts the first. None: the whole run.
        reset: its rise begins a new count; an edge that comes together with it still belongs to the old one.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false, the number not a whole number from 0 up, or the window not a
            duration above 0.
    """
    counted = boolean("what is counted", edge)
    if isinstance(most, bool) or not isinstance(most, int) or most < 0:
        raise fail(f"count_at_most counts up to {most!r}", mend="give a whole number from 0 up")
    length = NEVER if window is None else span("window", window, 1)
    again = Const(False, BOOL) if reset is None else boolean("reset", reset)  # noqa: FBT003 - a signal that never comes
    text = f"{counted} at most {most} times" + (f" in any {show(length)}" if window is not None else "")
    text += f" since {reset}" if reset is not None else ""
    return CountAtMost(counted, most, again, length, **described(text, label))
