"""Numbers: counters that run out of their type, divisors that can be zero.

Rule: a guard counts as such if it looks at the very number; whether it excludes zero is decided exactly.
"""

from collections.abc import Iterator

from simplant.expr import COMPARISONS, Binary, Const, Expr, Function, Op, Ref, Unary, of_type
from simplant.logic.check.evaluations import Evaluation, evaluations_of
from simplant.logic.check.findings import Finding
from simplant.logic.check.reading import Terms, Write, negated
from simplant.logic.check.view import Spot, View, Writer
from simplant.values import BOOL, ElementaryType, Kind


def check_counters(view: View) -> Iterator[Finding]:
    """Give the counts `x := x + 1` that nothing stops at the end of their type."""
    for name, writers in view.writers.items():
        if name not in view.program.free_running:
            for writer in writers:
                if _can_wrap(view, writer):
                    yield _wraps(writer.write, writers)


def _can_wrap(view: View, writer: Writer) -> bool:
    write = writer.write
    count = _count(write)
    if count is None or write.target.type.kind is not Kind.INTEGER:
        return False
    guards = (*write.here, *(view.expand(t, writer.spot) for t in write.here))
    return not any(_compares(term, write.target) for term in guards)


def _count(write: Write) -> Expr | None:
    """Give `x + c` or `x - c` if that is what is assigned, bare or in a MIN or MAX that comes too late."""
    value = write.value
    if isinstance(value, Function) and value.name in ("MIN", "MAX", "LIMIT"):
        inner = next((a for a in value.arguments if _steps_on(a, write.target)), None)
        return inner if inner is not None and not _saved(value, inner, write.target.type) else None
    return value if value is not None and _steps_on(value, write.target) else None


def _steps_on(node: Expr, target: Ref) -> bool:
    if not isinstance(node, Binary) or node.op not in (Op.ADD, Op.SUB):
        return False
    left = node.left.same_as(target) and isinstance(node.right, Const)
    return left or (node.op is Op.ADD and node.right.same_as(target) and isinstance(node.left, Const))


def _saved(limit: Function, inner: Expr, kind: ElementaryType) -> bool:
    """Whether a MIN, MAX or LIMIT holds the count before the sum itself runs out of the type."""
    assert isinstance(inner, Binary), "a count is a sum or a difference"
    by = next(float(p.value) for p in inner.children() if isinstance(p, Const))
    by = -by if inner.op is Op.SUB else by
    bounds = [float(a.value) for a in limit.arguments if isinstance(a, Const)]
    if not bounds:
        return True  # held by something else than a constant
    low, high = {"MIN": (kind.least, min(bounds)), "MAX": (max(bounds), kind.most)}.get(
        limit.name, (bounds[0], bounds[-1])
    )
    return high + by <= kind.most if by > 0 else low + by >= kind.least


def _compares(node: Expr, target: Ref) -> bool:
    return any(
        isinstance(part, Binary) and part.op in COMPARISONS and any(p.same_as(target) for p in part.left.walk())
        for part in node.walk()
    ) or any(
        isinstance(part, Binary) and part.op in COMPARISONS and any(p.same_as(target) for p in part.right.walk())
        for part in node.walk()
    )


def _wraps(write: Write, writers: list[Writer]) -> Finding:
    kind = write.target.type
    resets = [w.write for w in writers if isinstance(w.write.value, Const)]
    what = f"{write.target.name} := {write.value} ({write.how}) can run out of {kind.name}"
    mend = f"hold it by min_ or max_ well inside {kind.name}, or let it count only while it is below a bound"
    if resets:
        why = f"only its reset ({resets[0].how} at {resets[0].place}) keeps it below {kind.most}"
        return Finding("note", "counter wraps", what, why, mend, write.place)
    return Finding("warning", "counter wraps", what, f"after {kind.most} comes {kind.least}", mend, write.place)


def check_divisions(view: View) -> Iterator[Finding]:
    """Give the divisions whose divisor is, or can be, zero."""
    for spot, node in view.nodes.items():
        for evaluation in evaluations_of(node):
            yield from _divisions(view, spot, evaluation, evaluation.expression, evaluation.given)


def _divisions(view: View, spot: Spot, evaluation: Evaluation, node: Expr, given: Terms) -> Iterator[Finding]:
    """Look into an expression; `given` grows by what AND, OR and SEL have decided before they look further."""
    if isinstance(node, Binary) and node.op in (Op.DIV, Op.MOD) and _may_be_zero(view, spot, node.right, given):
        surely = isinstance(node.right, Const)
        yield Finding(
            "error" if surely else "warning",
            "division by zero",
            f"{node} ({evaluation.where}) {'divides' if surely else 'can divide'} by zero",
            "the controller would stop there",
            "" if surely else f"do it only where {node.right} <> 0",
            evaluation.place,
        )
    for child, known in _looked_at(node, given):
        yield from _divisions(view, spot, evaluation, child, known)


def _looked_at(node: Expr, given: Terms) -> list[tuple[Expr, Terms]]:
    match node:
        case Binary(op=Op.AND | Op.OR as op) if node.type is BOOL:
            decided = node.left if op is Op.AND else negated(node.left)
            return [(node.left, given), (node.right, (*given, decided))]
        case Function(name="SEL"):
            choice, if_false, if_true = node.arguments
            return [(choice, given), (if_false, (*given, negated(choice))), (if_true, (*given, choice))]
        case _:
            return [(child, given) for child in node.children()]


def _may_be_zero(view: View, spot: Spot, divisor: Expr, given: Terms) -> bool:
    match divisor:
        case Const():
            return not divisor.value
        case Unary(op=Op.NEG) | Function(name="ABS"):
            return _may_be_zero(view, spot, divisor.children()[0], given)
        case Function(name="MAX"):
            if any(isinstance(a, Const) and float(a.value) > 0 for a in divisor.arguments):
                return False
        case Function(name="LIMIT"):
            low, _, high = divisor.arguments
            if (isinstance(low, Const) and float(low.value) > 0) or (isinstance(high, Const) and float(high.value) < 0):
                return False
        case _:
            pass
    zero = Binary(Op.EQ, divisor, of_type(0, divisor.type), BOOL)
    return not view.impossible((*given, zero), spot)
