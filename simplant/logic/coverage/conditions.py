"""The conditions of a decision: what AND, OR, XOR and NOT join, as text and as what is told when it is evaluated.

Rule: nothing about the value of an expression changes; each condition tells its value, the whole its outcome.
"""

import re
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass, field
from typing import Final

from simplant.errors import Place
from simplant.expr import Binary, Checked, Const, Expr, Op, Ref, Unary
from simplant.expr.show import show
from simplant.logic.coverage.decisions import Decision
from simplant.logic.coverage.sheet import Sheet
from simplant.logic.lower import FIRST_SCAN
from simplant.logic.sfc.lowered import made_by_chart
from simplant.values import BOOL

_JOINS: Final = (Op.AND, Op.OR, Op.XOR)
_TEMPORARY: Final = re.compile(r"\.\d+(\.|$)")


@dataclass(frozen=True, slots=True)
class Written:
    """What of a task somebody wrote, and how.

    Args:
        words: chart of a Python program or enumerated variable -> the names of its numbers.
        charts: names of the charts of a Python program.
        flags: the flags of the steps of charts with several active ones.
        hidden: variables that lowering a drawing made (`Variable.hidden`).
    """

    words: Mapping[str, tuple[str, ...]]
    charts: Set[str]
    flags: Set[str] = field(default_factory=frozenset)
    hidden: Set[str] = field(default_factory=frozenset)

    def is_hidden(self, name: str) -> bool:
        """Say whether nobody wrote this name: lowering needed it."""
        if bool(_TEMPORARY.search(name)) or made_by_chart(name) or name in self.flags or name == FIRST_SCAN.name:
            return True
        return self.is_power(name)

    def is_power(self, name: str) -> bool:
        """Say whether this is a variable that lowering a drawing made, or a part of one."""
        return not self.hidden.isdisjoint(name.split("."))

    def conditions(self, node: Expr) -> Iterator[Expr]:
        """Give the conditions in the order of evaluation; constants are none, and several steps of a chart are one."""
        if self._joins(node):
            for child in node.children():
                yield from self.conditions(child)
        elif not isinstance(node, Const):
            yield node

    def _joins(self, node: Expr) -> bool:
        if node.type is not BOOL or len(self._steps(node)) > 1:
            return False
        binary = isinstance(node, Binary) and node.op in _JOINS
        return binary or (isinstance(node, Unary) and node.op is Op.NOT)

    def _steps(self, node: Expr) -> list[tuple[str, str]]:
        """Give the chart and name of each step that an OR of nothing but steps of one chart asks for."""
        match node:
            case Binary(op=Op.OR):
                left, right = self._steps(node.left), self._steps(node.right)
                alike = len({chart for chart, _ in (*left, *right)}) == 1
                return [*left, *right] if left and right and alike else []
            case Binary(op=Op.EQ, left=Ref(name=name), right=Const(value=int(number))) if name in self.words:
                known = self.words[name]
                return [(name, known[number])] if 0 <= number < len(known) else []
            case _:
                return []

    def text(self, node: Expr) -> str:
        """Give the text of a condition; the number of a step or of an enumeration by its name."""
        steps = self._steps(node)
        if not steps:
            return show(node)
        return f"{steps[0][0]}.{steps[0][1]}" if len(steps) == 1 else f"{steps[0][0]} among {_listed(steps)}"

    def wrote(self, node: Expr) -> bool:
        """Say whether an author wrote a condition of this; not if all are what lowering made."""
        return not all(self._made(condition) for condition in self.conditions(node))

    def _made(self, node: Expr) -> bool:
        if steps := self._steps(node):
            return steps[0][0] in self.charts
        match node:
            case Binary(left=Ref(name=name)):
                return name in self.charts or self.is_hidden(name)
            case Ref(name=name):
                return self.is_hidden(name)
            case _:
                return False

    def _of_drawing(self, node: Expr) -> bool:
        """Say whether a condition only looks at what lowering a drawing made."""
        match node:
            case Binary(left=Ref(name=name)) | Ref(name=name):
                return self.is_power(name)
            case _:
                return False

    def watched(self, node: Expr, sheet: Sheet, kind: str, name: str, place: Place) -> Expr:
        """Give an expression that tells its conditions and its outcome to a decision of a sheet."""
        found = list(self.conditions(node))
        texts = [self.text(condition) for condition in found]
        own = dict.fromkeys(t for t, each in zip(texts, found, strict=True) if not self._of_drawing(each))
        distinct = list(own | dict.fromkeys(texts))  # what lowering made stands behind
        decision = sheet.decision(kind, name, place, distinct[: len(own)], len(distinct) - len(own))
        numbers = iter([(distinct.index(text), n == 0) for n, text in enumerate(texts)])
        return Checked(self._telling(node, decision, numbers), decision.ended, BOOL)

    def _telling(self, node: Expr, decision: Decision, numbers: Iterator[tuple[int, bool]]) -> Expr:
        match node:
            case Binary() if self._joins(node):
                left = self._telling(node.left, decision, numbers)
                return Binary(node.op, left, self._telling(node.right, decision, numbers), BOOL)
            case Unary() if self._joins(node):
                return Unary(node.op, self._telling(node.operand, decision, numbers), BOOL)
            case Const():
                return node
            case _:
                number, first = next(numbers)
                return Checked(node, decision.observer(number, first=first), BOOL)


def _listed(steps: list[tuple[str, str]]) -> str:
    return ", ".join(name for _, name in steps)
