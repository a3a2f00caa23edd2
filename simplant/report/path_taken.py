"""How often a run went which way through a chart, and how long it stayed where.

Rule: it is counted from the steps recorded; where two rows of a table lead from one step to the same other one, the
trace does not tell which was taken, and the count stands for both.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from simplant.logic.nodes import Chart
from simplant.report.layers import Edge
from simplant.scenario.records import StepRecord


@dataclass(frozen=True, slots=True)
class PathTaken:
    """Counts of one run in one chart; nothing counted is no run."""

    taken: Counter[Edge] = field(default_factory=Counter)
    entered: Counter[str] = field(default_factory=Counter)
    stayed: Counter[str] = field(default_factory=Counter)
    """Step -> ns."""


def path_of(steps: Iterable[StepRecord], chart: str, end: int) -> PathTaken:
    """Count the steps of one chart."""
    own = [step for step in steps if step.chart == chart]
    path = PathTaken(Counter((a.step, b.step) for a, b in pairwise(own)), Counter(step.step for step in own))
    for step in own:
        path.stayed[step.step] += (end if step.left is None else step.left) - step.entered
    return path


@dataclass(frozen=True, slots=True)
class Way:
    """All rows that lead from one step to another, or a step's time limit."""

    source: str
    dest: str
    conditions: tuple[str, ...]


def ways_of(chart: Chart) -> list[Way]:
    """Give the ways between the steps of a chart, in written order, time limits last."""
    found: dict[Edge, list[str]] = {}
    for each in chart.transitions:
        found.setdefault((each.source, each.dest), []).append(str(each.guard))
    for step in chart.steps:
        if step.limit is not None and step.on_limit is not None:
            found.setdefault((step.name, step.on_limit), []).append(
                f"longer than {step.limit / 1e9:g} s in {step.name}"
            )
    return [Way(source, dest, tuple(conditions)) for (source, dest), conditions in found.items()]
