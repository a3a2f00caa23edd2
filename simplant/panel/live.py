"""Expressions of a program with the values they have now: which terms are TRUE, and a guard told with them.

Rule: values are those the program has stored or read in its latest scan; where one cannot be had, the term is told
plain.
"""

from collections.abc import Iterator, Mapping
from typing import Final

from simplant.blocks.steps import STEP
from simplant.errors import SimplantError
from simplant.expr import NOW, Binary, Expr, Op, StepActive, Unary, evaluate, show
from simplant.panel.lines import Span
from simplant.rig.rig import Rig
from simplant.timebase import Ns
from simplant.values import BOOL, Value

MANY: Final = 3
"""So many steps in one term are not all told."""


class Live(Mapping[str, Value]):
    """Values by name, as an expression asks for them: charts as words, elapsed times as they are now."""

    def __init__(self, rig: Rig) -> None:
        self._rig: Final = rig
        layouts, charts = rig.machine.controllers[0].layouts, rig.machine.program.charts
        self._blocks: Final = {name: block for layout in layouts for name, block in layout.blocks.items()}
        self._words: Final = {
            slot.name: slot.words for layout in layouts for slot in layout.slots if slot.name in charts
        }

    def __getitem__(self, name: str) -> Value:
        """Give a value; raises `KeyError` if there is none."""
        if name == NOW:
            return self._rig.now
        instance, _, field = name.rpartition(".")
        try:
            if field == "ET" and instance in self._blocks:
                return self._elapsed(instance)
            value = self._rig.main.value(name)
        except SimplantError:
            raise KeyError(name) from None
        return self._words[name][int(value)] if name in self._words else value

    def _elapsed(self, instance: str) -> Value:
        block, value = self._blocks[instance], self._rig.main.value
        if block.elapsed is None:
            return value(f"{instance}.ET")
        return block.elapsed(block.state(*(value(f"{instance}.{f.name}") for f in block.stored)), self._rig.now)

    def __iter__(self) -> Iterator[str]:
        """Not to be listed: values are asked for by name."""
        return iter(())

    def __len__(self) -> int:
        return 0

    def steps(self) -> Iterator[tuple[str, Ns]]:
        """Give the active steps of charts that may have several, and how long each has been active."""
        for name, block in self._blocks.items():
            if block is STEP and self[f"{name}.X"]:
                yield name, Ns(int(self._elapsed(name)))

    def holds(self, expression: Expr) -> bool | None:
        """Say whether a Boolean expression is TRUE now; None if a value of it cannot be had."""
        try:
            return bool(evaluate(expression, self))
        except (KeyError, SimplantError):
            return None

    def label(self, term: Expr) -> str:
        """Give the text of a term; of one that means many steps, the one that is active."""
        if not isinstance(term, StepActive) or len(term.steps) < MANY:
            return show(term)
        active = str(self[term.chart])
        return (
            f"{term.chart}.{active}, of {len(term.steps)}"
            if active in term.steps
            else (f"{term.chart} in one of {len(term.steps)} steps")
        )

    def told(self, expression: Expr, least: int = 0) -> list[Span]:
        """Tell an expression as the standard writes it, each Boolean term with the look of what it is now."""
        match expression:
            case Binary() if expression.type is BOOL and expression.op in (Op.AND, Op.OR, Op.XOR):
                strength = expression.op.strength
                inner = [
                    *self.told(expression.left, strength),
                    (f" {expression.op.spelling} ", ""),
                    *self.told(expression.right, strength + 1),
                ]
                return [("(", ""), *inner, (")", "")] if strength < least else inner
            case Unary() if expression.op is Op.NOT and isinstance(expression.operand, Binary):
                return [("NOT ", ""), *self.told(expression.operand, 10)]
            case _:
                return [(self.label(expression), {True: "flow", False: "faint", None: ""}[self.holds(expression)])]
