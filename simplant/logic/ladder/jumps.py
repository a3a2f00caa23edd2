"""Rungs with jumps and labels, put together as statements: what is jumped over is skipped, or done again.

A jump notes the number of its rung in a hidden variable; rungs that a jump may pass look at it. Rule: a drawing
without jumps is its rungs in a row, and no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simplant.errors import Place
from simplant.logic.ladder.hidden import Hidden
from simplant.logic.ladder.tree import Jump
from simplant.logic.st.tree import Expression, If, Infix, Let, Repeat, Statement


@dataclass(frozen=True, slots=True)
class Lowered:
    """A rung as statements, and where it jumps to."""

    place: Place
    label: str
    statements: tuple[Statement, ...]
    jumps: tuple[Jump, ...]


@dataclass(frozen=True, slots=True)
class _Way:
    """From one rung to another, counted from 1."""

    start: int
    end: int
    place: Place


def joined(rungs: Sequence[Lowered], hidden: Hidden) -> tuple[Statement, ...]:
    """Put rungs together."""
    ways = [
        _Way(number, hidden.labels[jump.label.upper()], jump.place)
        for number, rung in enumerate(rungs, 1)
        for jump in rung.jumps
    ]
    return tuple(_Joining(rungs, hidden, ways).all())


@dataclass(frozen=True, slots=True)
class _Joining:
    rungs: Sequence[Lowered]
    hidden: Hidden
    ways: Sequence[_Way]

    def all(self) -> Iterator[Statement]:
        """Give all statements, those of rungs that are done again in a loop."""
        number, loops = 1, self._loops()
        while number <= len(self.rungs):
            loop = next((each for each in loops if each.end == number), None)
            if loop is None:
                yield from self._rung(number, loops)
                number += 1
                continue
            inside = [s for n in range(loop.end, loop.start + 1) for s in self._rung(n, loops)]
            yield Repeat(loop.place, tuple(inside), self._left(loop))
            number = loop.start + 1

    def _loops(self) -> list[_Way]:
        """Give the rungs between the targets of jumps back and the jumps; what overlaps is one loop."""
        found: list[_Way] = []
        for way in sorted((w for w in self.ways if w.end <= w.start), key=lambda w: w.end):
            if found and way.end <= found[-1].start:
                found[-1] = _Way(max(found[-1].start, way.start), found[-1].end, found[-1].place)
            else:
                found.append(way)
        return found

    def _left(self, loop: _Way) -> Expression:
        """Give the condition under which a loop is not done again: no jump into it is under way."""
        hidden, place = self.hidden, loop.place
        before = Infix(place, "<", hidden.target(place), hidden.number(loop.end, place))
        behind = Infix(place, ">", hidden.target(place), hidden.number(loop.start, place))
        return Infix(place, "OR", before, behind)

    def _rung(self, number: int, loops: Sequence[_Way]) -> Iterator[Statement]:
        rung, hidden = self.rungs[number - 1], self.hidden
        place = rung.statements[0].place if rung.statements else rung.place
        if any(way.end == number for way in self.ways):
            arrived = Let(place, hidden.target(place), hidden.number(0, place))
            yield If(place, ((hidden.going(place, number), (arrived,)),), ())
        if not rung.statements:
            return
        if self._passed(number, loops):
            yield If(place, ((hidden.going(place), rung.statements),), ())
        else:
            yield from rung.statements

    def _passed(self, number: int, loops: Sequence[_Way]) -> bool:
        """Say whether a jump may pass over a rung: forwards, or back to a later rung of a loop that begins before."""
        if any(way.start < number < way.end for way in self.ways):
            return True
        around = next((each for each in loops if each.end <= number <= each.start), None)
        back = [w for w in self.ways if around and around.end <= w.end <= w.start <= around.start]
        return any(number < way.end or number > way.start for way in back)
