"""Plays piecewise-constant (and sloping) signals to a monitor as the rig would: a small fake for tests of rules.

A signal is a list of (instant, value), the first at 0; a `Slope` is a straight line from its instant on.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from simplant.expr import NOW, Expr, Ref, Truth, evaluate
from simplant.rules import Claim, Verdict, atoms
from simplant.timebase import NEVER, Ns, ms
from simplant.values import BOOL, LREAL, STRING


@dataclass(frozen=True)
class Slope:
    """A truth that moves: `start` at its instant, then `rate` a second."""

    start: float
    rate: float


Signal = Sequence[tuple[int, object]]


class FakeView:
    """Signals as rules see them, at the instant `now`."""

    def __init__(self, signals: Mapping[str, Signal]) -> None:
        self.signals = signals
        self.now = Ns(0)

    def piece(self, name: str, t: int) -> tuple[int, object]:
        pieces = self.signals[name]
        return pieces[bisect_right([at for at, _ in pieces], t) - 1]

    def at(self, name: str, t: int, *, just_after: int = 0) -> object:
        begun, value = self.piece(name, t)
        return value.start + value.rate * (t + just_after - begun) / 1e9 if isinstance(value, Slope) else value

    def value(self, expression: Expr):
        return evaluate(expression, {**{name: self.at(name, self.now) for name in self.signals}, NOW: self.now})

    def holds(self, proposition: Expr) -> bool:
        """From now on: at the crossing of a level, on the side it goes to."""
        after = {name: self.at(name, self.now, just_after=1) for name in self.signals}
        return bool(evaluate(proposition, {**after, NOW: self.now}))

    def extremes(self, name: str, first: Ns, last: Ns) -> tuple[float, float]:
        assert first <= last <= self.now
        marks = [t for t, _ in self.signals[name] if first < t <= last]
        values = [self.at(name, t) for t in (first, last, *marks, *(m - 1 for m in marks))]
        return min(values), max(values)

    def since(self, name: str) -> Ns:
        return Ns(self.piece(name, self.now)[0])

    def crossings(self, claim: Claim, end: int) -> set[int]:
        """Instants at which a sloping truth reaches a level of the claim, rounded up to a microsecond."""
        found = set()
        for atom in (a for p in claim.propositions() for a in atoms(p)):
            for begun, value in self.signals[atom.name]:
                if isinstance(value, Slope) and value.rate:
                    t = (atom.level - value.start) / value.rate
                    found.add(begun + int(-(-t * 1e6 // 1)) * 1000)
        return {t for t in found if 0 <= t <= end}


def play(claim: Claim, signals: Mapping[str, Signal], end: int, *, extra: Sequence[int] = (), lazy=False) -> Verdict:
    """Run one monitor over signals; `extra` wakes it more often, `lazy` never wakes it at its deadlines."""
    view, monitor = FakeView(signals), claim.monitor()
    named = [signals[name] for name in claim.names()]
    changes = {0, *(t for s in named for t, _ in s), *view.crossings(claim, end), *extra}
    pending = sorted(t for t in changes if t <= end)
    now = -1
    while pending or (not lazy and monitor.next_due() <= end):
        due = NEVER if lazy else monitor.next_due()
        assert due > now, "a deadline that does not move on"
        now = min(due, pending[0] if pending else NEVER)
        pending = [t for t in pending if t > now]
        view.now = Ns(now)
        monitor.update(Ns(now), [view.holds(p) for p in claim.propositions()], view)
    view.now = Ns(end)
    return monitor.finish(Ns(end), view)


def tag(name: str) -> Ref:
    """A Boolean tag."""
    return Ref(name, BOOL)


def truth(name: str, kind=LREAL) -> Truth:
    """A numeric truth."""
    return Truth(name, kind)


def chart(name: str) -> Ref:
    """A chart as its active step's name."""
    return Ref(name, STRING)


def levels(text: str, step: int = ms(10)) -> list[tuple[int, bool]]:
    """Read `__##_`: one mark a step, # is true."""
    marks = [mark == "#" for mark in text]
    return [(i * step, m) for i, m in enumerate(marks) if i == 0 or m is not marks[i - 1]]
