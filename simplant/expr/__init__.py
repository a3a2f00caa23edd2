"""Typed expressions on tags and plant truths: shared by logic and rules."""

from simplant.expr.base import NOW, Expr, install
from simplant.expr.build import binary, unary
from simplant.expr.evaluate import evaluate
from simplant.expr.functions import abs_, constant, limit, max_, min_, select, to_type
from simplant.expr.nodes import (
    Address,
    Assignment,
    Binary,
    Checked,
    Const,
    Elapsed,
    Element,
    Function,
    Pointed,
    Ref,
    StepActive,
    TimerElapsed,
    Truth,
    Unary,
    of_type,
)
from simplant.expr.operators import ARITHMETIC, COMPARISONS, LOGIC, Op
from simplant.expr.read import read
from simplant.expr.show import show
from simplant.expr.vocabulary import Vocabulary
from simplant.values import Value

install(binary, unary, evaluate, show)

__all__ = [
    "ARITHMETIC",
    "COMPARISONS",
    "LOGIC",
    "NOW",
    "Address",
    "Assignment",
    "Binary",
    "Checked",
    "Const",
    "Elapsed",
    "Element",
    "Expr",
    "Function",
    "Op",
    "Pointed",
    "Ref",
    "StepActive",
    "TimerElapsed",
    "Truth",
    "Unary",
    "Value",
    "Vocabulary",
    "abs_",
    "binary",
    "constant",
    "evaluate",
    "install",
    "limit",
    "max_",
    "min_",
    "of_type",
    "read",
    "select",
    "show",
    "to_type",
]
