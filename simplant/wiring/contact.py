"""How a contact moves: late, and bouncing on the way; shared by points, relays and the safety chain.

What the contact carries and how it fails is told by its owner. Rule: it is deterministic; each
bounce has the same pattern, stretched over the bounce time.
"""

from typing import Final

from simplant.timebase import NEVER, Ns, from_float_seconds

_TENTHS: Final = (1, 3, 4, 7, 8, 10)
"""When a bouncing contact turns over, in tenths of the bounce time; an even number, so it ends as it began."""


class Contact:
    """One contact, closed or open, following a target.

    It first turns over a delay after its target did, then bounces for a time. A target that changes back
    within the delay is missed: nothing has moved yet.
    """

    __slots__ = ("level", "steps", "target")

    def __init__(self, *, closed: bool = False) -> None:
        self.level = closed
        self.target = closed
        self.steps: list[tuple[Ns, bool]] = []
        """What is to come, the next one last."""

    def follow(self, now: Ns, *, target: bool, delay: float = 0.0, bounce: float = 0.0) -> None:
        """Set out for a target, unless it is the one already set out for; `delay` and `bounce` in seconds."""
        if target == self.target:
            return
        self.target = target
        self.steps = []
        if target == self.level:
            return
        first, span = Ns(now + from_float_seconds(delay)), from_float_seconds(bounce)
        if span:
            turns = [(Ns(first + span * tenth // 10), index % 2 == 1) for index, tenth in enumerate(_TENTHS)]
            self.steps = [(at, target if back else not target) for at, back in reversed(turns)]
        self.steps.append((first, target))
        self.advance(now)

    def advance(self, now: Ns) -> None:
        """Do what was due up to `now`."""
        while self.steps and self.steps[-1][0] <= now:
            self.level = self.steps.pop()[1]

    def next_due(self) -> Ns:
        """Give the next instant at which it turns over, or `NEVER`."""
        return self.steps[-1][0] if self.steps else NEVER


class Weld:
    """A weld: takes hold once the contact is closed (or did before power-up), lasts as long as the fault."""

    __slots__ = ("_born", "holds")

    def __init__(self, born: Ns) -> None:
        self._born = born
        self.holds = False

    def look(self, now: Ns, *, welding: bool, closed: bool) -> bool:
        """Say whether the weld holds, given whether the fault is on and what the contact does."""
        self.holds = welding and (self.holds or closed or now == self._born)
        return self.holds
