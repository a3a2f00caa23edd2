"""The cases of one variable of a truth table: values that stand for all others, and what is true at each.

The tables are guards.py. Rule: one value for each region that the compared constants cut the type's range
into, and the plain evaluator says what holds there.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from simplant.expr import Binary, Const, Elapsed, Expr, Op, Ref, StepActive, TimerElapsed
from simplant.expr.evaluate import evaluate
from simplant.values import BOOL, INT, Kind, Value

Steps = Mapping[str, tuple[str, ...]]
"""Chart name -> its step names in order."""

Row = tuple[bool, ...]


def cases_of(subject: tuple[Expr, ...], atoms: Sequence[Expr], steps: Steps) -> tuple[Row, ...]:
    """Give every combination of truth values that atoms on one subject can have, each once.

    Args:
        subject: two expressions compared with each other; or one that is compared with constants; or the atom.
        atoms: distinct atoms on that subject.
        steps: the steps of the charts.
    """
    if len(subject) == 2:
        rows = [tuple(_in_order(a, subject[0], order) for a in atoms) for order in _orders(subject)]
    elif subject[0] is atoms[0]:
        rows = [(False,), (True,)]
    else:
        rows = [tuple(_at(a, value, steps) for a in atoms) for value in _values(subject[0], atoms, steps)]
    return tuple(dict.fromkeys(rows))


def _orders(pair: tuple[Expr, ...]) -> list[float]:
    """Give how two values can lie to each other: less, equal, greater; and neither, if one is no number."""
    same = pair[0].same_as(pair[1])
    neither = [math.nan] if pair[0].type.kind is Kind.REAL else []
    return [0, *neither] if same else [-1, 0, 1, *neither]


def _in_order(atom: Expr, first: Expr, order: float) -> bool:
    assert isinstance(atom, Binary), "only comparisons have a pair as subject"
    ours = order if atom.left.same_as(first) else -order
    return _compare(atom.op, ours, 0)


def _at(atom: Expr, value: Value, steps: Steps) -> bool:
    match atom:
        case StepActive():
            return steps[atom.chart][int(value)] in atom.steps
        case Binary(right=Const() as bound):
            return _compare(atom.op, value, bound.value)
        case Binary(left=Const() as bound):
            return _compare(atom.op, bound.value, value)
        case _:
            raise AssertionError("an atom is a leaf or a comparison")


def _compare(op: Op, left: Value, right: Value) -> bool:
    return bool(evaluate(Binary(op, Const(left, INT), Const(right, INT), BOOL), {}))


def _values(subject: Expr, atoms: Sequence[Expr], steps: Steps) -> list[Value]:
    """Give a value for each region of the subject's range."""
    if isinstance(subject, Const):
        return [subject.value]
    if isinstance(subject, Ref) and subject.name in steps:
        return list(range(len(steps[subject.name])))
    bounds = [a.right if isinstance(a.right, Const) else a.left for a in atoms if isinstance(a, Binary)]
    constants = [b.value for b in bounds if isinstance(b, Const)]
    if subject.type.kind is Kind.REAL:
        return [math.nan, *_reals([float(c) for c in constants])]
    if subject.type.kind is Kind.STRING:
        return ["", *(text for c in constants for text in (str(c), f"{c}\0"))]  # the next text in order
    least = 0 if isinstance(subject, Elapsed | TimerElapsed) else int(subject.type.least)
    near = [v for c in constants for v in (int(c) - 1, int(c), int(c) + 1)]
    return [v for v in near if least <= v <= subject.type.most]


def _reals(constants: Sequence[float]) -> list[float]:
    """Give the constants, and one value below, between and above them."""
    points = sorted(set(constants))
    between = [a + (b - a) / 2 for a, b in pairwise(points)]
    return [-math.inf, *points, *between, math.inf]
