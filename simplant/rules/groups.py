"""Claims on how many of a group may be true at once: exclusive, one hot.

Rule: who is true at a breach is among the evidence, since the members are the propositions.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Unpack

from simplant.expr import Expr
from simplant.rules.claim import Claim, Label, boolean, described, fail
from simplant.rules.monitor import Monitor, View
from simplant.timebase import Ns


@dataclass(frozen=True, slots=True, eq=False)
class Members(Claim):
    """Between `least` and one of the members are true at every instant."""

    members: tuple[Expr, ...]
    least: int

    def propositions(self) -> tuple[Expr, ...]:
        """Give the members."""
        return self.members

    def monitor(self) -> Monitor:
        """Make a monitor for one run."""
        return MembersMonitor(self)


class MembersMonitor(Monitor):
    """Counts the members that are true."""

    __slots__ = ("_count", "_good", "_least")

    def __init__(self, claim: Members) -> None:
        """Start before the first instant."""
        super().__init__(claim)
        self._least, self._good, self._count = claim.least, True, 0
        self.exercised = claim.least

    def update(self, now: Ns, values: Sequence[bool], view: View) -> None:
        """Take the members."""
        count = sum(values)
        if count > self._count:
            self.exercised += 1
        good = self._least <= count <= 1
        if self._good and not good:
            self.broke(now, view)
        self._good, self._count = good, count

    def close(self, now: Ns, view: View) -> bool:
        """Leave nothing open."""
        return False


def _group(members: tuple[Expr, ...]) -> tuple[Expr, ...]:
    if len(members) < 2:
        raise fail(f"a group needs at least two members but has {len(members)}", mend="name them one by one")
    return tuple(boolean(f"member {number}", member) for number, member in enumerate(members, 1))


def exclusive(*members: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that no two of the members are ever true together (exercised once any is).

    Raises:
        RuleError: fewer than two members, or one that is not true or false.
    """
    group = _group(members)
    return Members(group, 0, **described(f"at most one of {', '.join(map(str, group))}", label))


def one_hot(*members: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that exactly one of the members is true at every instant.

    Raises:
        RuleError: fewer than two members, or one that is not true or false.
    """
    group = _group(members)
    return Members(group, 1, **described(f"exactly one of {', '.join(map(str, group))}", label))


def one_active(groups: Mapping[str, Sequence[Expr]]) -> tuple[Claim, ...]:
    """Give the always-on claims that each declared group has exactly one member active."""
    return tuple(one_hot(*members, name=f"one active: {name}", faults="pair") for name, members in groups.items())
