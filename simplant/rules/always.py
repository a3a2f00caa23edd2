"""Claims on single instants: always, never, and at each occurrence of something.

Claims over spans are in until.py and holds.py. Rule: a claim of the form `A.implies(B)` was put
to the test only if A was ever true.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Expr
from simplant.rules.claim import TRUE, Claim, Label, boolean, described, implication, said
from simplant.rules.measure import Measure, measurable, measure_of, numbers_in
from simplant.rules.monitor import Monitor, View
from simplant.timebase import Ns
from simplant.values import Value


@dataclass(frozen=True, slots=True, eq=False)
class Always(Claim):
    """`conclusion` holds at every instant at which `condition` does."""

    condition: Expr
    conclusion: Expr
    whole: Expr
    measure: Measure | None

    def propositions(self) -> tuple[Expr, ...]:
        """Give condition, conclusion."""
        return self.condition, self.conclusion

    def measured(self) -> tuple[str, ...]:
        """Give the numbers of the claim."""
        return numbers_in(self.whole)

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return AlwaysMonitor(self)


@dataclass(frozen=True, slots=True, eq=False)
class At(Claim):
    """`claim` holds at each rising edge of `trigger`."""

    trigger: Expr
    claim: Expr
    measure: Measure | None

    def propositions(self) -> tuple[Expr, ...]:
        """Give the trigger."""
        return (self.trigger,)

    def looked_at(self) -> tuple[Expr, ...]:
        """Give what is sampled."""
        return (self.claim,)

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return AtMonitor(self)


class AlwaysMonitor(Monitor):
    """Breaks at each instant at which the claim stops holding."""

    __slots__ = ("_constants", "_good", "_measure", "_plain", "_since", "_was")

    claim: Always

    def __init__(self, claim: Always) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._was, self._good = False, True
        self._measure = claim.measure
        self._plain = self._measure is None or not measurable(claim.condition)
        self._since: Ns | None = None
        self._constants: Sequence[Value] = ()

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take condition, conclusion."""
        if self._since is not None:
            self._span(Ns(now - 1), view)
        condition, conclusion = values
        if condition and not self._was:
            self.exercised += 1
        good = conclusion or not condition
        if self._good and not good:
            self.broke(now, view)
        self._was, self._good = condition, good
        if self._measure is not None and (condition or not self._plain):
            self._since, self._constants = now, self._measure.constants(view)

    def close(self, now: Ns, view: View) -> bool:
        """Measure up to the end; nothing stays open."""
        if self._since is not None:
            self._span(now, view)
        return False

    def _span(self, last: Ns, view: View) -> None:
        assert self._measure is not None, "only a measured claim has an open span"
        assert self._since is not None, "asked only while a span is open"
        if last >= self._since:
            self.note(self._measure.least(self._constants, self._since, last, view, holds=self._good))
        self._since = None


class AtMonitor(Monitor):
    """Looks at the claim at each rise of the trigger."""

    __slots__ = ("_was",)

    claim: At

    def __init__(self, claim: At) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._was = False

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take the trigger."""
        if values[0] and not self._was:
            self.exercised += 1
            holds = bool(view.value(self.claim.claim))
            if not holds:
                self.broke(now, view)
            measure = self.claim.measure
            if measure is not None:
                self.note(measure.least(measure.constants(view), now, now, view, holds=holds))
        self._was = values[0]

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False


def always(claim: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that something holds at every instant.

    Args:
        claim: a Boolean expression. For `A.implies(B)` the rule is exercised only while A is true.
        label: `name`, `text`, `faults`, `scale`, `unit`.

    Raises:
        RuleError: the claim is not true or false.
    """
    whole = boolean("what always holds", claim)
    condition, conclusion = implication(whole) or (TRUE, whole)
    text = said(whole) if condition is not TRUE else f"always {whole}"
    words = described(text, label)
    return Always(condition, conclusion, whole, measure_of(whole, words["scale"]), **words)


def never(claim: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that something holds at no instant; see `always`."""
    whole = ~boolean("what never holds", claim)
    words = described(f"never {claim}", label)
    return Always(TRUE, whole, whole, measure_of(whole, words["scale"]), **words)


def at(trigger: Expr, claim: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that something holds at each rising edge of a trigger, sampled at that instant.

    Args:
        trigger: a Boolean expression; true at the start counts as a rise.
        claim: a Boolean expression, on continuous truths too; its distance is the margin.
        label: `name`, `text`, `faults`, `scale`, `unit`.

    Raises:
        RuleError: one of the two is not true or false.
    """
    edge, sampled = boolean("the trigger", trigger), boolean("what holds at the trigger", claim)
    words = described(f"at each {edge}: {sampled}", label)
    return At(edge, sampled, measure_of(sampled, words["scale"]), **words)
