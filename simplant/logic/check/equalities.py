"""Equalities that may never come true: of real numbers, and of a number that is read from a wire.

Rule: `<> 0.0` is the guard of a division and is left alone; so is a difference of two whole readings.
"""

from collections.abc import Iterator

from simplant.expr import Binary, Const, Op, Ref
from simplant.logic.check.evaluations import Evaluation, evaluations_of
from simplant.logic.check.findings import Finding
from simplant.logic.check.view import View
from simplant.tags import Direction
from simplant.values import Kind


def check_equalities(view: View) -> Iterator[Finding]:
    """Give the comparisons by `=` and `<>` that a rounding, or a step from one reading to the next, decides."""
    for node in view.nodes.values():
        for evaluation in evaluations_of(node):
            for part in evaluation.expression.walk():
                if isinstance(part, Binary) and part.op in (Op.EQ, Op.NE):
                    yield from _told(view, part, evaluation)


def _told(view: View, node: Binary, evaluation: Evaluation) -> Iterator[Finding]:
    mend = f"ask whether abs_({node.left} - {node.right}) is small enough"
    zero = any(isinstance(side, Const) and not side.value for side in node.children())
    if node.left.type.kind is Kind.REAL and not (zero and node.op is Op.NE):
        what = f"{node} ({evaluation.where}) asks whether real numbers are exactly equal"
        yield Finding("warning", "exact equality", what, "rounding decides that", mend, evaluation.place)
    elif node.op is Op.EQ and (read := next((r for r in node.children() if _is_read(view, r)), None)) is not None:
        what = f"{node} ({evaluation.where}) waits for one very count of {read}"
        yield Finding("note", "exact equality", what, "a reading can step past it", "use >= or <=", evaluation.place)


def _is_read(view: View, node: object) -> bool:
    if not isinstance(node, Ref) or node.type.kind is not Kind.INTEGER:
        return False
    tag = view.program.declared.get(node.name)
    return tag is not None and tag.direction is Direction.INPUT
