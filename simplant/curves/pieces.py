"""Curves one after another, for a move that is planned to its end.

Rule: each piece knows only itself; here stands what happens where two meet.
"""

from dataclasses import dataclass

from simplant.curves.curve import Curve
from simplant.timebase import Ns


@dataclass(frozen=True, slots=True)
class Pieces(Curve):
    """Curves one after another, as in accelerate, cruise, brake, stand.

    Args:
        pieces: (instant from which it holds, curve) in rising order, at least one; each holds
            until the next. Where two do not meet, the jump counts as passing all between.
    """

    pieces: tuple[tuple[Ns, Curve], ...]

    def _index(self, t: Ns) -> int:
        index = len(self.pieces) - 1
        while index and self.pieces[index][0] > t:
            index -= 1
        return index

    def at(self, t: Ns) -> float:
        """Give the value of the piece that holds at `t`."""
        return self.pieces[self._index(t)][1].at(t)

    def rate(self, t: Ns) -> float:
        """Give the rate of the piece that holds at `t`."""
        return self.pieces[self._index(t)][1].rate(t)

    def crossing(self, level: float, after: Ns) -> Ns:
        """Give the first crossing of any piece, or jump between two, ahead."""
        pieces, here, index = self.pieces, after, self._index(after)
        curve = pieces[index][1]
        while index + 1 < len(pieces):
            index += 1
            end, following = pieces[index]
            found = curve.crossing(level, here)
            if found < end:
                return found
            side = curve.at(here) - level or curve.at(end) - level
            if (following.at(end) - level) * side <= 0 and side:
                joint = Ns(-(-end // 1000) * 1000)
                if joint == end or (self.at(joint) - level) * side <= 0:
                    return joint
            here, curve = end, following
        return curve.crossing(level, here)

    def extremes(self, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest over all pieces in the span."""
        pieces, one, other = self.pieces, self._index(first), self._index(last)
        if one == other:
            return pieces[one][1].extremes(first, last)
        values = [*pieces[one][1].extremes(first, pieces[one + 1][0])]
        for index in range(one + 1, other):
            start, curve = pieces[index]
            values += curve.extremes(start, pieces[index + 1][0])
        start, curve = pieces[other]
        values += curve.extremes(start, last)
        return min(values), max(values)


def followed(curve: Curve, now: Ns, end: Ns, following: Curve) -> Pieces:
    """Give `curve`, which holds from `now`, up to `end`, and `following` from there on."""
    head = curve.pieces if isinstance(curve, Pieces) else ((now, curve),)
    return Pieces((*(piece for piece in head if piece[0] < end), (end, following)))
