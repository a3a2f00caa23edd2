"""Outputs that two actions of a chart write in one scan.

Actions of steps that are never active together may write what they like. Rule: what runs for a single scan (P, P0, P1)
is not looked at: leaving one step and entering the next are meant to follow each other.
"""

from collections.abc import Iterator, Set
from itertools import combinations

from simplant.logic.sfc.situations import search
from simplant.logic.sfc.tree import Action, Chart
from simplant.logic.st.report import Mistake
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Do, Let

_MOMENTS = ("P", "P0", "P1", "R")


def two_writers(chart: Chart, outputs: Set[str]) -> Iterator[Mistake]:
    """Give a warning for each output (in capitals) with two writers that meet."""
    flags = _flags(chart)
    bodies = [(action, _written(action) & outputs) for action in chart.actions]
    for action, names in bodies:
        for name in sorted(names & flags.keys()):
            yield Mistake(action.place, f"the action {action.name} writes {flags[name]}, which is itself an action",
                          "that is written in every scan, after all bodies", "write it in one way",
                          len(action.name), "warning")  # fmt: skip
    situations = search(chart).before if len(bodies) > 1 else {}
    for (one, mine), (other, theirs) in combinations(bodies, 2):
        shared = sorted(mine & theirs)
        if shared and _meet(_steps(chart, one), _steps(chart, other), situations.keys()):
            yield Mistake(other.place, f"the output {shared[0].lower()} is written by {one.name} and by {other.name}",
                          "both run in one scan, and the last one wins", "write it once",
                          len(other.name), "warning")  # fmt: skip


def _flags(chart: Chart) -> dict[str, str]:
    """Give the Boolean variables that are actions, by name in capitals."""
    own = {action.name.upper() for action in chart.actions}
    named = [str(block.action) for step in chart.steps for block in step.actions]
    return {name.upper(): name for name in named if name.upper() not in own}


def _written(action: Action) -> set[str]:
    if not isinstance(action.body, tuple):
        return set()
    nodes = list(every(action.body))
    calls = [node.call for node in nodes if isinstance(node, Do)]
    taken = {a.target.name.upper() for call in calls for a in call.arguments if a.target is not None}
    return taken | {node.target.name.upper() for node in nodes if isinstance(node, Let)}


def _steps(chart: Chart, action: Action) -> frozenset[str]:
    """Give the steps while which an action runs, in capitals."""
    key = action.name.upper()
    blocks = [(step.name.upper(), b) for step in chart.steps for b in step.actions if str(b.action).upper() == key]
    return frozenset(step for step, block in blocks if block.qualifier not in _MOMENTS)


def _meet(one: Set[str], other: Set[str], situations: Set[frozenset[str]]) -> bool:
    return any(one & situation and other & situation for situation in situations)
