"""Time on the columns of a terminal, and the scale above them.

Rule: columns share out the window in whole nanoseconds, so a chart never depends on rounding.
"""

from dataclasses import dataclass
from typing import Final

_UNITS: Final = ((3_600_000_000_000, "h"), (60_000_000_000, "min"), (1_000_000_000, "s"), (1_000_000, "ms"))
_LEAST_SPACING: Final = 9


@dataclass(frozen=True, slots=True)
class Axis:
    """The window from `start` to `end` (ns) on `width` columns."""

    start: int
    end: int
    width: int

    def left(self, column: int) -> int:
        """Give the instant at the left edge of a column, ns."""
        return self.start + (self.end - self.start) * column // self.width

    def column(self, at: int) -> int:
        """Give the column in which an instant of the window lies (the end lies in the last)."""
        guess = (at - self.start) * self.width // (self.end - self.start)
        guess = min(max(guess, 0), self.width - 1)
        return guess + 1 if guess + 1 < self.width and self.left(guess + 1) <= at else guess

    def edge(self, at: int) -> int:
        """Give the edge between columns (0 to `width`) that is nearest to an instant."""
        column = self.column(at)
        return column + (2 * at >= self.left(column) + self.left(column + 1))

    def scale(self, tick: str) -> str:
        """Give the scale: a mark and a number at round instants, the unit behind the first."""
        size, unit = next(((s, u) for s, u in _UNITS if self.end - self.start >= 4 * s), (1_000, "us"))
        step = self._step(size)
        line = [" "] * self.width
        at = -(-self.start // step) * step
        label = f" {unit}"
        while at < self.end:
            text = tick + f"{at / size:g}" + label
            column = self.column(at)
            if column + len(text) <= self.width:
                line[column : column + len(text)] = text
            at, label = at + step, ""
        return "".join(line)

    def _step(self, size: int) -> int:
        """Give the least of 1, 2, 5, 10, ... units that leaves room for the numbers."""
        least = (self.end - self.start) * _LEAST_SPACING / self.width
        step = size
        while True:
            for factor in (1, 2, 5):
                if step * factor >= least:
                    return step * factor
            step *= 10
