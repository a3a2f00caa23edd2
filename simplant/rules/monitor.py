"""Watching over one claim during one run: what every monitor has, and what the rig gives it.

Each family of claims keeps its monitor beside it. Rule: values given at an instant hold from
that instant until the next update; deadlines are closed; a breach once found stays.
"""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from simplant.expr import Expr, Ref, StepActive, Truth
from simplant.rules.verdict import Evidence, Outcome, Verdict
from simplant.timebase import NEVER, Ns, show
from simplant.values import STRING, Value

if TYPE_CHECKING:
    from simplant.rules.claim import Claim

Measured = tuple[float, float]
"""A margin twice: as a fraction, and as it is (nanoseconds, degrees, a count)."""


class View(Protocol):
    """What rules may see of a run, given by the rig; read-only, at an instant when everything is settled."""

    def value(self, expression: Expr) -> Value:
        """Give the value of any expression now (a chart as `Ref` gives the active step's name)."""

    def extremes(self, name: str, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest value of a numeric truth over a closed past span.

        The span begins at the asking monitor's last update before this instant, or later, and ends at the latest now.
        A truth that jumps counts with the values it had in the span, a jump at its last instant included.
        """

    def since(self, name: str) -> Ns:
        """Give the instant since which a signal has its value (a curve: since which it is this curve)."""


class Monitor(ABC):
    """A small state machine over the truth values of a claim's propositions.

    The rig calls `update` at the first instant, after each instant at which one of its propositions changed or one of
    the claim's `measured` signals did, and when its deadline comes; once an instant, with everything settled. At the
    end it calls `finish`. A proposition that is true at the first update rises there. An update too many is harmless;
    a deadline that was not looked at in time is judged on the next update, by the values that held then.
    """

    __slots__ = ("breaches", "claim", "due", "evidence", "exercised", "first", "worst")

    def __init__(self, claim: "Claim") -> None:
        """Start before the first instant."""
        self.claim = claim
        self.due: Ns = NEVER
        self.exercised = 0
        self.breaches = 0
        self.first: Ns | None = None
        self.evidence: Evidence = ()
        self.worst: Measured | None = None

    @abstractmethod
    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take the values of the propositions from `now` on."""

    def next_due(self) -> Ns:
        """Give the next instant at which it must be updated though nothing changes (`NEVER` if none)."""
        return self.due

    def finish(self, now: Ns, view: View) -> Verdict:
        """Judge the run that ends at `now`, this instant included."""
        pending = self.close(now, view)
        outcome = Outcome.HELD
        if self.first is not None:
            outcome = Outcome.BROKEN
        elif not self.exercised:
            outcome = Outcome.NOT_EXERCISED
        elif pending:
            outcome = Outcome.UNDECIDED
        known = self.worst is not None and abs(self.worst[0]) != float("inf")
        fraction, amount = self.worst if self.worst is not None and known else (None, 0.0)
        text = "" if fraction is None else self.amount_text(amount)
        claim = self.claim
        return Verdict(
            *(claim.name, outcome, self.first, fraction, text, self.evidence, self.exercised, claim.text, self.breaches)
        )

    @abstractmethod
    def close(self, now: Ns, view: View) -> bool:
        """Judge what is due by the end, and say whether something is still open."""

    def amount_text(self, amount: float) -> str:
        """Write a margin as it is, for people."""
        return f"{amount + 0.0:.3g} {self.claim.unit}".rstrip()  # + 0.0: no "-0"

    def broke(self, at: Ns, view: View) -> None:
        """Note a breach; the first one is kept with its evidence."""
        self.breaches += 1
        if self.first is None:
            self.first = at
            self.evidence = evidence(view, (*self.claim.propositions(), *self.claim.looked_at()))

    def note(self, margin: Measured) -> None:
        """Note a margin; the least is kept."""
        if self.worst is None or margin < self.worst:
            self.worst = margin

    def note_time(self, slack: int, bound: int) -> None:
        """Note a margin in time as a fraction of a bound (of a second, if the bound is 0)."""
        fraction, worst = slack / (bound or 1_000_000_000), self.worst
        if worst is None or fraction < worst[0]:
            self.worst = (fraction, slack)


def time_text(slack: float, bound: int) -> str:
    """Write a margin in time: `310 ms of 2.000 s`."""
    return f"{show(int(slack))} of {show(bound)}"


def evidence(view: View, expressions: Sequence[Expr]) -> Evidence:
    """Give name, value and since-when of every signal in expressions, each once."""
    found: dict[str, tuple[str, Value, Ns]] = {}
    for node in (node for each in expressions for node in each.walk()):
        match node:
            case StepActive():
                found.setdefault(node.chart, (node.chart, view.value(Ref(node.chart, STRING)), view.since(node.chart)))
            case Ref() | Truth():
                found.setdefault(node.name, (node.name, view.value(node), view.since(node.name)))
            case _:
                pass
    return tuple(found.values())
