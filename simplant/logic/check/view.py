"""A whole program as the checks want to see it: its nodes in order, who writes what, what a name stands for.

One node is reading.py; truth tables are guards.py. Rule: a memory tag may be replaced by the condition
of its one rung only while nothing that the condition reads has changed since that rung.
"""

from dataclasses import dataclass, replace
from typing import Final

from simplant.expr import Binary, Expr, Function, Ref, Unary
from simplant.logic.check.guards import never_together
from simplant.logic.check.reading import Terms, Write, changed_by, names_in, untouched, writes_of
from simplant.logic.nodes import Call, Chart, Coil, Rung, Source
from simplant.logic.program import Program
from simplant.tags import Direction

DEEPEST: Final = 6
"""Rungs behind rungs that are looked through: a chain of them could double what is to be read at each."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in the order of execution: before node `index` of a task."""

    task: str
    index: int

    def after(self) -> "Spot":
        """Give the place behind the node."""
        return Spot(self.task, self.index + 1)


@dataclass(frozen=True, slots=True, eq=False)
class Writer:
    """One assignment and where in the order it stands."""

    spot: Spot
    write: Write


class View:
    """A program, read once."""

    def __init__(self, program: Program) -> None:
        self.program: Final = program
        self.steps: Final = {name: tuple(chart.steps) for name, chart in program.charts.items()}
        self.nodes: Final[dict[Spot, Source]] = {
            Spot(task.name, n): node for task in program.tasks for n, node in enumerate(task.body)
        }
        self._changed: Final = {spot: changed_by(node) for spot, node in self.nodes.items()}
        self.writers: Final[dict[str, list[Writer]]] = {}
        for spot, node in self.nodes.items():
            for write in writes_of(node):
                self.writers.setdefault(write.target.name, []).append(Writer(spot, write))
        self.calls: Final[dict[str, list[Call]]] = {}
        for node in self.nodes.values():
            if isinstance(node, Call):
                self.calls.setdefault(node.instance.name, []).append(node)

    @property
    def charts(self) -> list[tuple[Spot, Chart]]:
        """The charts and where they run."""
        return [(spot, node) for spot, node in self.nodes.items() if isinstance(node, Chart)]

    def is_input(self, name: str) -> bool:
        """Whether a name is an input tag."""
        tag = self.program.declared.get(name)
        return tag is not None and tag.direction is Direction.INPUT

    def changed(self, first: Spot, last: Spot) -> frozenset[str]:
        """Give the names that may change from one place to a later one of the same task."""
        between = range(first.index, last.index)
        return frozenset[str]().union(*(self._changed[Spot(first.task, n)] for n in between))

    def definition(self, name: str) -> tuple[Spot, Expr] | None:
        """Give the rung that alone says what a tag is, and its condition."""
        writers = self.writers.get(name, [])
        if len(writers) != 1:
            return None
        spot, write = writers[0].spot, writers[0].write
        node = self.nodes[spot]
        plain = isinstance(node, Rung) and node.coil in (Coil.PLAIN, Coil.NEGATED)
        return (spot, write.value) if plain and write.value is not None else None

    def expand(self, node: Expr, at: Spot, depth: int = 0) -> Expr:
        """Replace tags by the conditions of their rungs, as far as these are still true at a place."""
        match node:
            case Ref():
                found = self.definition(node.name)
                if found is None or found[0].task != at.task or found[0].index >= at.index or depth == DEEPEST:
                    return node
                spot, condition = found
                stale = names_in(condition) & self.changed(spot, at)
                return node if stale else self.expand(condition, at, depth + 1)
            case Unary():
                return replace(node, operand=self.expand(node.operand, at, depth))
            case Binary():
                return replace(node, left=self.expand(node.left, at, depth), right=self.expand(node.right, at, depth))
            case Function():
                return replace(node, arguments=tuple(self.expand(a, at, depth) for a in node.arguments))
            case _:
                return node

    def impossible(self, terms: Terms, at: Spot) -> bool | None:
        """Say whether conditions can never hold together at a place; None: too many cases to tell."""
        if never_together(terms, self.steps):
            return True
        return never_together([self.expand(t, at) for t in terms], self.steps)

    def exclusive(self, first: Writer, second: Writer) -> bool | None:
        """Say whether of two assignments in one task at most one is done in a scan; None: not decided."""
        if first.spot == second.spot:
            return never_together((*first.write.start, *second.write.start), self.steps)
        behind = first.spot.after()
        changed = self.changed(behind, second.spot)
        plain = untouched(first.write.after, changed)
        if never_together((*plain, *second.write.start), self.steps):
            return True
        known = untouched(tuple(self.expand(t, behind) for t in first.write.after), changed)
        later = tuple(self.expand(t, second.spot) for t in second.write.start)
        return never_together((*plain, *known, *later), self.steps)
