"""Where the steps of a chart with several active steps stand in its picture.

A step hangs below the first transition that leads to it, the transitions of a step stand side by side below it; every
other way is a jump to a name. Drawing is sfc_diagram.py. Rule: the same chart gives the same picture.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from simplant.logic.sfc.tree import Chart, Transition


@dataclass(frozen=True, slots=True)
class Places:
    """Where everything is.

    Attributes:
        steps: step in capitals -> (column, row).
        ways: number of a transition -> column; it stands below the lowest of its sources.
        hung: number of a transition -> its targets that hang below it, in capitals; the others are jumps.
        columns, rows: how many.
    """

    steps: Mapping[str, tuple[int, int]]
    ways: Mapping[int, int]
    hung: Mapping[int, tuple[str, ...]]
    columns: int
    rows: int


@dataclass(slots=True)
class _Placing:
    chart: Chart
    hung: dict[int, tuple[str, ...]] = field(default_factory=dict)
    columns: dict[str, int] = field(default_factory=dict)
    ways: dict[int, int] = field(default_factory=dict)

    def owned(self, step: str) -> list[int]:
        """Give the transitions that stand below a step: those whose first source it is."""
        return [n for n, t in enumerate(self.chart.transitions) if t.sources[0].upper() == step]

    def hang(self) -> list[str]:
        """Find what hangs below what, the nearest to an initial step first; give the steps at the top."""
        top: list[str] = []
        reached: set[str] = set()
        every = [s.name.upper() for s in self.chart.steps]
        begins = [s.name.upper() for s in self.chart.steps if s.initial]
        for first in (*begins, *every):
            if first in reached:
                continue
            reached.add(first)
            top.append(first)
            waiting = [first]
            while waiting:
                for number in self.owned(waiting.pop(0)):
                    targets = [t.upper() for t in self.chart.transitions[number].targets]
                    new = tuple(t for t in targets if t not in reached and t not in begins)
                    self.hung[number] = new
                    reached.update(new)
                    waiting += new
        return top

    def place(self, step: str, column: int) -> int:
        """Place a step and all that hangs below it from a column on; give the first free column."""
        self.columns[step] = column
        free = column
        for number in self.owned(step):
            self.ways[number] = free
            below = free
            for target in self.hung[number]:
                below = self.place(target, below)
            free = max(below, free + 1)
        return max(free, column + 1)


def places_of(chart: Chart) -> Places:
    """Place the steps and transitions of a chart."""
    placing = _Placing(chart)
    free = 0
    for step in placing.hang():
        free = placing.place(step, free)
    rows = _rows(chart, placing.hung)
    steps = {step: (column, rows[step]) for step, column in placing.columns.items()}
    return Places(steps, placing.ways, placing.hung, free, 1 + max(rows.values()))


def row_of(transition: Transition, places: Places) -> int:
    """Give the row below which a transition stands: that of its lowest source."""
    return max(places.steps[source.upper()][1] for source in transition.sources)


def _rows(chart: Chart, hung: Mapping[int, tuple[str, ...]]) -> dict[str, int]:
    """Give each step the row below the lowest of the steps that lead to it."""
    rows = dict.fromkeys((step.name.upper() for step in chart.steps), 0)
    for _ in chart.steps:
        for number, targets in hung.items():
            below = 1 + max(rows[source.upper()] for source in chart.transitions[number].sources)
            rows |= {target: max(rows[target], min(below, len(rows))) for target in targets}
    return rows


__all__ = ["Places", "places_of", "row_of"]
