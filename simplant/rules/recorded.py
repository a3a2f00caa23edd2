"""When an expression was true in a run: a record of its changes, which claims nothing.

What is made of such records is campaign/matrix.py. Rule: it never breaks, so a run with these alone judges nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from simplant.expr import Expr
from simplant.rules.claim import Claim, boolean, described
from simplant.rules.monitor import Monitor, View
from simplant.timebase import Ns

Changes: TypeAlias = tuple[tuple[int, bool], ...]
"""Instants at which an expression changed, each with what it became; the first is the start of the run."""


@dataclass(frozen=True, slots=True, eq=False)
class Recorded(Claim):
    """Nothing is claimed of `expression`; its monitor keeps when it changed."""

    expression: Expr

    def propositions(self) -> tuple[Expr, ...]:
        """Give the expression."""
        return (self.expression,)

    def monitor(self) -> "RecordedMonitor":
        """Make a monitor for one run."""
        return RecordedMonitor(self)


class RecordedMonitor(Monitor):
    """Keeps each change."""

    __slots__ = ("changes",)

    def __init__(self, claim: Recorded) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self.changes: list[tuple[int, bool]] = []

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take the expression."""
        if not self.changes or self.changes[-1][1] != values[0]:
            self.changes.append((now, values[0]))

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False


def recorded(expression: Expr, name: str) -> Recorded:
    """Keep when an expression changes; raises `RuleError` if it is not true or false."""
    return Recorded(boolean("what is recorded", expression), **described(name, {"name": name}))
