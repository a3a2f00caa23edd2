"""Expressions of rules compiled on a row of current values: what they are, and which of them are other than before.

Programs are compile.py, which also runs the source made here. Rule: a formula reads the row of values; only what it
finds to be other than before goes into the row of truths.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from simplant.expr import Expr
from simplant.logic.compile import made
from simplant.logic.emit import Emitter

Formulas = Callable[[Sequence[Any]], tuple[Any, ...]]
"""Gives the values of several expressions on a row of current values."""

News = Callable[[Sequence[Any], list[Any], Callable[[tuple[int, ...]], None]], None]
"""(values, truths, tell): evaluates propositions, renews their truths, and tells whose have changed."""


@dataclass(frozen=True, slots=True)
class Proposition:
    """One proposition: its place in the row of truths, and the numbers of those who want to hear of a change."""

    number: int
    expression: Expr
    owners: tuple[int, ...]


def compile_formulas(expressions: Sequence[Expr], index: Mapping[str, int]) -> Formulas:
    """Compile expressions on a row of current values (`index`: name -> position)."""
    emitter = _emitter(index)
    values = "".join(f"{emitter.text(each)}, " for each in expressions)
    formulas: Formulas = made(f"def f(V): return ({values})", "<formulas>", emitter.constants)["f"]
    return formulas


def compile_news(propositions: Sequence[Proposition], index: Mapping[str, int]) -> News:
    """Compile propositions into a function that tells which of them are other than before."""
    emitter, lines = _emitter(index), ["def f(V, T, tell):", "    pass"]
    for each in propositions:
        lines.append(f"    x = {emitter.text(each.expression)}")
        lines.append(f"    if x != T[{each.number}]: T[{each.number}] = x; tell({each.owners!r})")
    news: News = made("\n".join(lines), "<news>", emitter.constants)["f"]
    return news


def _emitter(index: Mapping[str, int]) -> Emitter:
    return Emitter(lambda name: f"V[{index[name]}]")
