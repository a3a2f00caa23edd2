"""The claim that two things take turns, such as pumps that share the hours of running.

Other claims on order are in order.py. Rule: whoever comes first may, and things of one instant take turns
among themselves.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Const, Expr
from simplant.rules.claim import Claim, Label, boolean, described
from simplant.rules.monitor import Monitor, View
from simplant.timebase import Ns
from simplant.values import BOOL


@dataclass(frozen=True, slots=True, eq=False)
class Alternates(Claim):
    """No rise of `one` follows a rise of `one`, and none of `other` one of `other`; `unless` begins anew."""

    one: Expr
    other: Expr
    unless: Expr

    def propositions(self) -> tuple[Expr, ...]:
        """Give one, other, unless."""
        return self.one, self.other, self.unless

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return AlternatesMonitor(self)


class AlternatesMonitor(Monitor):
    """Remembers who came last."""

    __slots__ = ("_last", "_one", "_other")

    def __init__(self, claim: Alternates) -> None:
        """Start before the first instant: anybody may come."""
        super().__init__(claim)
        self._one = self._other = False
        self._last: bool | None = None

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take one, other, unless."""
        one, other, unless = values
        ones, others = one and not self._one, other and not self._other
        self._one, self._other = one, other
        if unless:
            self._last = None
        elif ones is not others:  # both at once: each after the other, and who came last stays so
            if self._last is not None:
                self.exercised += 1
                if self._last is ones:
                    self.broke(now, view)
            self._last = ones

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False


def alternates(one: Expr, other: Expr, *, unless: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand that two things take turns: after a rise of the one comes a rise of the other before the next of its own.

    Args:
        one: the one; true at the start counts as a rise.
        other: the other. Whoever comes first may; each later rise is judged. Two rises at one instant are a turn each,
            in the order that fits.
        unless: while it is true nothing is demanded, and afterwards whoever comes first may again.
        label: `name`, `text`, `faults`.

    Raises:
        RuleError: an expression is not true or false.
    """
    first, second = boolean("the one", one), boolean("the other", other)
    excuse = Const(False, BOOL) if unless is None else boolean("unless", unless)  # noqa: FBT003 - never comes
    text = f"{first} and {second} take turns" + (f", unless {unless}" if unless is not None else "")
    return Alternates(first, second, excuse, **described(text, label))
