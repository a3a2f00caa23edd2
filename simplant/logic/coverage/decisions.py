"""Which conditions of a decision were shown to decide it: unique-cause MC/DC, found while vectors come in.

A condition is shown when two evaluations differ in it alone and in the outcome; what was not evaluated (AND and OR stop
as soon as they know) may have been anything. A condition that stands twice in a decision is one. Rule: memory is
bounded: a decision whose conditions are all shown keeps nothing, another at most `MOST` evaluations that differ.
"""

from collections.abc import Callable, Sequence
from typing import Final

from simplant.errors import Place
from simplant.values import Value

MOST: Final = 1_000
"""Different evaluations that a decision keeps."""

Vector = tuple[bool | None, ...]
"""The value of each condition in one evaluation; None: it was not evaluated."""


class Decision:
    """One guard, rung or branch, and what was seen of it.

    Args:
        kind: rung, transition or branch.
        name: what it drives, for people.
        place: where it stands.
        conditions: the text of each condition, in the order of evaluation.
        hidden: conditions behind them that nobody wrote; they are looked at, and need not be shown.

    Attributes:
        outcomes: how it came out so far.
        shown: numbers of the conditions shown to decide it.
    """

    __slots__ = ("_all", "_done", "_kept", "_now", "_seen", "conditions", "kind", "name", "outcomes", "place", "shown")

    def __init__(self, kind: str, name: str, place: Place, conditions: Sequence[str], hidden: int = 0) -> None:
        self.kind: Final = kind
        self.name: Final = name
        self.place: Final = place
        self.conditions: Final = tuple(conditions)
        self.outcomes: Final[set[bool]] = set()
        self.shown: Final[set[int]] = set()
        self._all: Final = len(self.conditions) + hidden
        self._now: list[bool | None] = [None] * self._all
        self._seen: set[tuple[Vector, bool]] = set()
        self._kept: list[tuple[Vector, bool]] = []
        self._done = False

    @property
    def missing(self) -> tuple[str, ...]:
        """The conditions not shown yet."""
        return tuple(text for number, text in enumerate(self.conditions) if number not in self.shown)

    def observer(self, number: int, *, first: bool) -> Callable[[Value], Value]:
        """Give what is told each value of a condition; `first`: an evaluation begins with it."""

        def observe(value: Value) -> Value:
            if first:
                self._now = [None] * self._all
            self._now[number] = bool(value)
            return value

        return observe

    def ended(self, outcome: Value) -> Value:
        """Take the outcome of the evaluation that was just told; give it back."""
        if not self._done:
            self.add(tuple(self._now), outcome=bool(outcome))
        return outcome

    def add(self, vector: Vector, *, outcome: bool) -> None:
        """Take one evaluation."""
        found = (vector, outcome)
        if found in self._seen:
            return
        self.outcomes.add(outcome)
        for other, came_out in self._kept:
            if came_out is not outcome:
                differ = [n for n, (a, b) in enumerate(zip(vector, other, strict=True)) if a is not b]
                known = [n for n in differ if vector[n] is not None and other[n] is not None]
                if len(known) == 1 and known[0] < len(self.conditions):
                    self.shown.add(known[0])
        if len(self.shown) == len(self.conditions):
            self._done = True
            self._seen.clear()
            self._kept.clear()
        elif len(self._kept) < MOST:
            self._seen.add(found)
            self._kept.append(found)
