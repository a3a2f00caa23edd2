"""Where the steps of a chart with several active steps stand in its picture.

A step hangs below the first transition that leads to it; every other way is a jump to a name. The transitions of a step
stand side by side below it, in written order, the first one with something below it straight under the step. What hangs
is moved to the left as far as nothing else stands there. Drawing is sfc_diagram.py. Rule: the same chart gives the same
picture.
"""

from collections.abc import Iterable, Mapping
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


Outline = dict[int, tuple[int, int]]
"""How far something reaches: line -> (leftmost, first free column). A row has two lines, of steps and transitions."""

_ONE = (0, 1)


@dataclass(slots=True)
class _Branch:
    """A step with all that hangs below it, seen from its own column."""

    outline: Outline
    ways: list[tuple[int, int]] = field(default_factory=list)
    steps: list[tuple[str, int]] = field(default_factory=list)


@dataclass(slots=True)
class _Placing:
    chart: Chart
    hung: dict[int, tuple[str, ...]] = field(default_factory=dict)
    order: list[str] = field(default_factory=list)
    rows: dict[str, int] = field(default_factory=dict)
    branches: dict[str, _Branch] = field(default_factory=dict)

    def owned(self, step: str) -> list[int]:
        """Give the transitions that stand below a step: those whose first source it is."""
        return [n for n, t in enumerate(self.chart.transitions) if t.sources[0].upper() == step]

    def hang(self) -> list[str]:
        """Find what hangs below what, the nearest to an initial step first; give the steps at the top."""
        begins = [s.name.upper() for s in self.chart.steps if s.initial]
        reached = set(begins)
        top = list(begins)
        self.order = list(begins)
        self._hang_all(0, reached)
        for step in (s.name.upper() for s in self.chart.steps):
            if step not in reached:  # nothing leads here
                reached.add(step)
                top.append(step)
                self.order.append(step)
                self._hang_all(len(self.order) - 1, reached)
        return top

    def _hang_all(self, first: int, reached: set[str]) -> None:
        """Hang what can be reached below the steps from a place in the order on, the nearest first."""
        at = first
        while at < len(self.order):
            for number in self.owned(self.order[at]):
                targets = dict.fromkeys(t.upper() for t in self.chart.transitions[number].targets)
                self.hung[number] = tuple(t for t in targets if t not in reached)
                reached.update(targets)
                self.order += self.hung[number]
            at += 1

    def outline_all(self) -> None:
        """Find how the branches lie beside each other, the lowest first."""
        for step in reversed(self.order):
            self.branches[step] = self._branch(step)

    def _branch(self, step: str) -> _Branch:
        row, numbers = self.rows[step], self.owned(step)
        straight = next((at for at, number in enumerate(numbers) if self.hung[number]), 0)
        branch = _Branch({2 * row: _ONE, **dict.fromkeys(self._waits(step), _ONE)})
        if straight:
            branch.outline[2 * row + 1] = (-straight, 0)
        branch.ways += [(number, at - straight) for at, number in enumerate(numbers[:straight])]
        for number in numbers[straight:]:
            below: Outline = {2 * row + 1: _ONE}
            hanging: list[tuple[str, int]] = []
            for target in self.hung[number]:
                way = dict.fromkeys(range(2 * row + 2, 2 * self.rows[target]), _ONE)
                hanging.append((target, _beside(below, {**way, **self.branches[target].outline}, not hanging)))
            if hanging:  # the double line goes from the first to the last
                below[2 * row + 1] = (0, hanging[-1][1] + 1)
            shift = _beside(branch.outline, below, number == numbers[straight])
            branch.ways.append((number, shift))
            branch.steps += [(target, shift + column) for target, column in hanging]
        return branch

    def _waits(self, step: str) -> Iterable[int]:
        """Give the lines that the way from a step down to a convergence goes through."""
        for transition in self.chart.transitions:
            if step in (source.upper() for source in transition.sources[1:]):
                lowest = max(self.rows[source.upper()] for source in transition.sources)
                yield from range(2 * self.rows[step] + 1, 2 * lowest + 2)


def _beside(outline: Outline, other: Outline, first: bool) -> int:  # noqa: FBT001 - the first one stands straight below
    """Put something to the right of what there is; give how far."""
    shift = 0 if first else max((outline[line][1] - left for line, (left, _) in other.items() if line in outline),
                                default=0)  # fmt: skip
    for line, (left, right) in other.items():
        known = outline.get(line, (shift + left, shift + right))
        outline[line] = min(known[0], shift + left), max(known[1], shift + right)
    return shift


def places_of(chart: Chart) -> Places:
    """Place the steps and transitions of a chart."""
    placing = _Placing(chart)
    top = placing.hang()
    placing.rows = _rows(chart, placing.hung)
    placing.outline_all()
    columns: dict[str, int] = {}
    ways: dict[int, int] = {}
    free = 0
    for step in top:
        reaches = placing.branches[step].outline.values()
        columns[step] = free - min(left for left, _ in reaches)
        free = columns[step] + max(right for _, right in reaches)
    for step in placing.order:
        branch = placing.branches[step]
        columns |= {target: columns[step] + column for target, column in branch.steps}
        ways |= {number: columns[step] + column for number, column in branch.ways}
    steps = {step: (column, placing.rows[step]) for step, column in columns.items()}
    return Places(steps, ways, placing.hung, free, 1 + max(placing.rows.values()))


def row_of(transition: Transition, places: Places) -> int:
    """Give the row below which a transition stands: that of its lowest source."""
    return max(places.steps[source.upper()][1] for source in transition.sources)


def _rows(chart: Chart, hung: Mapping[int, tuple[str, ...]]) -> dict[str, int]:
    """Give each step the row below the lowest of the steps that lead to it."""
    rows = dict.fromkeys((step.name.upper() for step in chart.steps), 0)
    for _ in chart.steps:
        before = dict(rows)
        for number, targets in hung.items():
            below = 1 + max(rows[source.upper()] for source in chart.transitions[number].sources)
            rows |= {target: max(rows[target], min(below, len(rows))) for target in targets}
        if rows == before:
            break
    return rows


__all__ = ["Places", "places_of", "row_of"]
