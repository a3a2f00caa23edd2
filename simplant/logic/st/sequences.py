"""The chart that a CASE of steps is: which step leads to which, and when, read off the statements of a text.

It is for people: to be drawn, not run. Rule: a way is an assignment of a step's name; its condition is all that stands
around it, as far as the step it leaves does not decide that already.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import reduce

from simplant.errors import Place
from simplant.expr import Ref
from simplant.logic.nodes import Chart, Step, Transition
from simplant.logic.program import Program
from simplant.logic.st.prepared import TextProgram
from simplant.logic.st.printed_expressions import printed_expression
from simplant.logic.st.statements import every
from simplant.logic.st.tree import (
    Access,
    Case,
    Expression,
    For,
    If,
    Infix,
    Let,
    Literal,
    Prefix,
    Repeat,
    Statement,
    While,
)
from simplant.values import BOOL

Known = Expression | bool
"""A condition at a step: what is left of it, or whether it holds."""


def charts_of(program: Program) -> dict[str, Chart]:
    """Give the charts of a program by name: those written in Python, and those that a text's CASE of steps is."""
    found = {name: sequence.chart for name, sequence in program.charts.items() if sequence.chart is not None}
    if isinstance(program, TextProgram):
        read = {name: chart_of(program, name) for name in program.charts if name not in found}
        found |= {name: chart for name, chart in read.items() if chart.transitions}
    return found


def chart_of(program: TextProgram, name: str) -> Chart:
    """Read off the chart of a sequence of a text; one of its ways for each step that it leaves."""
    sequence = program.charts[name]
    reader = _Reader(name.upper(), {step.upper(): step for step in sequence.steps})
    for unit in program.project.file.units:
        reader.learn(unit.statements)
        reader.walk(unit.statements, list(sequence.steps), ())
    steps = tuple(Step(step) for step in sequence.steps)
    return Chart(f"text/{name}", sequence.place, name, sequence.initial, steps, tuple(reader.rows), sequence.retain)


def ways_in(nodes: Sequence[Statement], variable: str, steps: Sequence[str]) -> Iterator[tuple[Place, str, str]]:
    """Give each way among statements from one step to another: its place, the step it leaves, the step it leads to."""
    reader = _Reader(variable.upper(), {step.upper(): step for step in steps})
    reader.learn(nodes)
    reader.walk(nodes, list(steps), ())
    yield from ((row.place, row.source, row.dest) for row in reader.rows if row.source != row.dest)


@dataclass(slots=True)
class _Reader:
    variable: str
    steps: dict[str, str]
    rows: list[Transition] = field(default_factory=list)
    told: dict[str, dict[str, Known]] = field(default_factory=dict)

    def learn(self, nodes: Iterable[Statement]) -> None:
        """Find variables that say nothing but in which steps the sequence is: `running := s = warn OR s = blow;`."""
        found: dict[str, list[dict[str, Known]]] = {}
        for node in every(nodes):
            if isinstance(node, Let):
                values = {step: self.at(node.value, step) for step in self.steps.values()}
                found.setdefault(str(node.target).upper(), []).append(values)
        for name, (first, *others) in found.items():
            if all(isinstance(value, bool) for value in first.values()) and all(other == first for other in others):
                self.told[name] = first

    def walk(self, nodes: Iterable[Statement], active: Sequence[str], around: tuple[Expression, ...]) -> None:
        """Go through statements that are reached in some steps, under conditions."""
        for node in nodes:
            match node:
                case Let():
                    self._let(node, active, around)
                case If():
                    self._if(node, active, around)
                case Case():
                    self._case(node, active, around)
                case For() | While() | Repeat():
                    self.walk(node.body, active, around)
                case _:
                    pass

    def _let(self, node: Let, active: Sequence[str], around: tuple[Expression, ...]) -> None:
        dest = self._word(node.value)
        if str(node.target).upper() != self.variable or not dest:
            return
        for source in active:
            left = [known for each in around if (known := self.at(each, source)) is not True]
            if False in left:
                continue
            parts = [each for each in left if not isinstance(each, bool)]
            text = printed_expression(_joined("AND", parts)) if parts else "TRUE"
            row = f"text/{self.variable}/{node.place.line}.{node.place.column}:{source}"
            self.rows.append(Transition(row, node.place, source, dest, Ref(text, BOOL)))

    def _if(self, node: If, active: Sequence[str], around: tuple[Expression, ...]) -> None:
        for condition, body in node.arms:
            inside = around if self._chooses(body) else (*around, condition)
            self.walk(body, [s for s in active if self.at(condition, s) is not False], inside)
            active = [s for s in active if self.at(condition, s) is not True]
        if self._chooses(node.otherwise):
            self.walk(node.otherwise, active, around)
        else:
            none = Prefix(node.place, "NOT", _joined("OR", [condition for condition, _ in node.arms]))
            self.walk(node.otherwise, active, (*around, none))

    def _case(self, node: Case, active: Sequence[str], around: tuple[Expression, ...]) -> None:
        mine = str(node.selector).upper() == self.variable
        rest = list(active)
        for labels, body in node.groups:
            if mine:
                named = [self._word(low) for low, _ in labels]
                self.walk(body, [s for s in active if s in named], around)
                rest = [s for s in rest if s not in named]
            else:
                self.walk(body, active, (*around, Infix(node.place, "=", node.selector, labels[0][0])))
        self.walk(node.otherwise, rest, around)

    def _chooses(self, body: Iterable[Statement]) -> bool:
        """Say whether the CASE of the steps stands among statements: what is around it is no condition of a way."""
        return any(isinstance(n, Case) and str(n.selector).upper() == self.variable for n in every(body))

    def _word(self, node: Expression) -> str:
        """Give the step that a value names; empty if it is none."""
        match node:
            case Literal(enum=enum) if enum:
                return self.steps.get(node.text.upper(), "")
            case Access(selectors=()):
                return self.steps.get(node.name.upper(), "")
            case _:
                return ""

    def at(self, node: Expression, step: str) -> Known:
        """Give what is left of a condition while a step is active."""
        match node:
            case Literal(type=kind) if kind is BOOL:
                return bool(node.value)
            case Prefix(operator="NOT"):
                inside = self.at(node.operand, step)
                return not inside if isinstance(inside, bool) else Prefix(node.place, "NOT", inside)
            case Infix(operator="=" | "<>") if str(node.left).upper() == self.variable and self._word(node.right):
                return (self._word(node.right) == step) is (node.operator == "=")
            case Infix(operator="AND" | "OR"):
                return self._both(node, step)
            case Access() if str(node).upper() in self.told:
                return self.told[str(node).upper()][step]
            case _:
                return node

    def _both(self, node: Infix, step: str) -> Known:
        left, right = self.at(node.left, step), self.at(node.right, step)
        decides = node.operator == "OR"
        if left is decides or right is decides:
            return decides
        if isinstance(left, bool):
            return right
        if isinstance(right, bool):
            return left
        return Infix(node.place, node.operator, left, right)


def _joined(operator: str, parts: Sequence[Expression]) -> Expression:
    return reduce(lambda one, other: Infix(other.place, operator, one, other), parts)
