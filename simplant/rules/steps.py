"""The claim that each step of a chart ends in its time: one watcher for all of them.

A bound on a single step is ready.py. Rule: a step that ends at its deadline ended in time.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Expr, Ref
from simplant.rules.claim import Claim, Label, boolean, described, fail, span
from simplant.rules.holds import NEVER_SO
from simplant.rules.monitor import Monitor, View, time_text
from simplant.timebase import NEVER, Ns, show
from simplant.values import STRING


@dataclass(frozen=True, slots=True, eq=False)
class StepsEnd(Claim):
    """No step of `chart` that has a limit is active for longer; nothing is demanded while `unless` is true."""

    chart: str
    limits: Mapping[str, Ns]
    unless: Expr

    def propositions(self) -> tuple[Expr, ...]:
        """Give unless."""
        return (self.unless,)

    def looked_at(self) -> tuple[Expr, ...]:
        """Give the active step."""
        return (Ref(self.chart, STRING),)

    def measured(self) -> tuple[str, ...]:
        """Give the chart: every change of it is looked at."""
        return (self.chart,)

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return StepsEndMonitor(self)


class StepsEndMonitor(Monitor):
    """Knows the active step, since when, and how long it may be."""

    __slots__ = ("_active", "_begun", "_chart", "_limit", "_worst_limit")

    claim: StepsEnd

    def __init__(self, claim: StepsEnd) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._chart = Ref(claim.chart, STRING)
        self._active = ""
        self._begun = self._limit = self._worst_limit = Ns(0)

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take unless, and look at the chart."""
        active = "" if values[0] else str(view.value(self._chart))
        if self.due < now or (self.due == now and active == self._active):
            self.broke(self.due, view)
            self.due = NEVER
        if active == self._active:
            return
        if self._limit:
            self._ended(now)
        limit = self.claim.limits.get(active, Ns(0))
        self._active, self._begun, self._limit = active, now, limit
        self.due = Ns(now + limit) if limit else NEVER
        self.exercised += limit > 0

    def close(self, now: Ns, view: View) -> bool:
        """Judge the step in which the run ends."""
        if self.due <= now:
            self.broke(self.due, view)
            self.due = NEVER
        return self.due != NEVER

    def amount_text(self, amount: float) -> str:
        """Write how much of the limit was left."""
        return time_text(amount, self._worst_limit)

    def _ended(self, now: Ns) -> None:
        before = self.worst
        self.note_time(self._begun + self._limit - now, self._limit)
        if self.worst is not before:
            self._worst_limit = self._limit


def steps_end(chart: str, limits: Mapping[str, Ns], *, unless: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand of many steps of a chart at once that none is active for longer than its limit.

    Args:
        chart: its name.
        limits: for each step the longest time; steps that wait for people are left out.
        unless: nothing is demanded while this is true (the controller is without power).
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: no limit, or one that is no duration above 0; `unless` is not true or false.
    """
    if not limits:
        raise fail("steps_end has no limits", mend='write for instance {"press": seconds(2)}')
    checked = {step: span(f"the limit of {step}", most, 1) for step, most in limits.items()}
    text = f"steps of {chart}: " + ", ".join(f"{step} for at most {show(most)}" for step, most in checked.items())
    excuse = NEVER_SO if unless is None else boolean("unless", unless)
    return StepsEnd(chart, checked, excuse, **described(text, label))
