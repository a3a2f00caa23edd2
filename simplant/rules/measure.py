"""How far a proposition is from changing: robust semantics over a span, not over samples.

A comparison measures its distance from the level, AND takes the least, OR the greatest, NOT
turns the sign; what is only true or false is infinitely far away. Who asks is the monitor.
Rule: a truth counts with its extremes over the whole span, everything else as it stood at its start.
Source: Fainekos & Pappas 2009, "Robustness of temporal logic specifications for continuous-time signals" (from memory).
"""

from collections.abc import Callable, Sequence
from math import inf
from typing import Final, NamedTuple

from simplant.expr import COMPARISONS, Binary, Const, Expr, Function, Op, Ref, Truth, Unary
from simplant.rules.monitor import Measured, View
from simplant.timebase import Ns
from simplant.values import BOOL, STRING, Value

Band = tuple[Measured, Measured]
"""Least and greatest distance over a span."""
Range = tuple[float, float]

SURE: Final[Band] = ((inf, inf), (inf, inf))
NEVER_SO: Final[Band] = ((-inf, -inf), (-inf, -inf))


class Span(NamedTuple):
    """A span that is over: what was constant in it, and who tells how far the rest went."""

    constants: Sequence[Value]
    first: Ns
    last: Ns
    view: View


Gauge = Callable[[Span], Band]
Number = Callable[[Span], Range]


class Measure:
    """Measures one proposition. It keeps nothing of a run: all monitors of a claim use the same one."""

    __slots__ = ("_gauge", "_leaves", "_scale")

    def __init__(self, claim: Expr, scale: float | None = None) -> None:
        """Prepare to measure `claim`; `scale` is what counts as 1 (None: the level compared with)."""
        self._leaves: list[Expr] = []
        self._scale = scale
        self._gauge = self._proposition(claim)

    def constants(self, view: View) -> list[Value]:
        """Give everything that is constant over the span that begins now."""
        return [view.value(leaf) for leaf in self._leaves]

    def least(self, constants: Sequence[Value], first: Ns, last: Ns, view: View, *, holds: bool) -> Measured:
        """Give a lower bound of the distance over a closed span in which the proposition did not change.

        The sign always agrees with `holds`, whatever the last bit of a crossing says.

        Args:
            constants: as given when the span began.
            first: of the span.
            last: of the span.
            view: tells the extremes of what moved in it.
            holds: the proposition was true.
        """
        fraction, amount = self._gauge(Span(constants, first, last, view))[0]
        if holds:
            return max(fraction, 0.0), max(amount, 0.0)
        return min(fraction, 0.0), min(amount, 0.0)

    def _leaf(self, node: Expr) -> int:
        self._leaves.append(node)
        return len(self._leaves) - 1

    def _proposition(self, node: Expr) -> Gauge:
        match node:
            case Unary(op=Op.NOT, operand=inner) if measurable(inner):
                gauge = self._proposition(inner)
                return lambda span: _turned(gauge(span))
            case Binary(op=Op.AND | Op.OR) if measurable(node):
                return self._joined(node)
            case Binary(op=op) if op in COMPARISONS and measurable(node):
                return self._comparison(node)
            case _:
                index = self._leaf(node)
                return lambda span: SURE if span.constants[index] else NEVER_SO

    def _joined(self, node: Binary) -> Gauge:
        plain_first = sorted((node.left, node.right), key=measurable)
        one, other = (self._proposition(side) for side in plain_first)
        if node.op is Op.AND:
            return lambda span: NEVER_SO if (a := one(span)) is NEVER_SO else _least(a, other(span))
        return lambda span: SURE if (a := one(span)) is SURE else _most(a, other(span))

    def _comparison(self, node: Binary) -> Gauge:
        left, right = self._number(node.left), self._number(node.right)
        level = next((float(s.value) for s in (node.right, node.left) if isinstance(s, Const)), 0.0)
        scale = self._scale or abs(level) or 1.0
        distance = _DISTANCE[node.op]

        def gauge(span: Span) -> Band:
            least, most = distance(left(span), right(span))
            return (least / scale, least), (most / scale, most)

        return gauge

    def _number(self, node: Expr) -> Number:
        match node:
            case Const():
                fixed = (float(node.value),) * 2
                return lambda span: fixed
            case Truth():
                name = node.name
                return lambda span: span.view.extremes(name, span.first, span.last)
            case Ref():
                index = self._leaf(node)
                return lambda span: (float(span.constants[index]), float(span.constants[index]))
            case Unary(operand=inner):
                number = self._number(inner)
                return lambda span: _negated(number(span))
            case Function(name="SEL", arguments=(choice, if_false, if_true)):
                index, no, yes = self._leaf(choice), self._number(if_false), self._number(if_true)
                return lambda span: (yes if span.constants[index] else no)(span)
            case Binary() | Function():
                return self._computed(node)
            case _:
                raise AssertionError(f"{node} is not measurable")

    def _computed(self, node: Binary | Function) -> Number:
        numbers = [self._number(child) for child in node.children()]
        compute = _FUNCTIONS.get(node.name, _same) if isinstance(node, Function) else _ARITHMETIC[node.op]
        return lambda span: compute(*[number(span) for number in numbers])


def measure_of(claim: Expr, scale: float | None) -> Measure | None:
    """Give what measures a proposition; None if it cannot be measured."""
    return Measure(claim, scale) if measurable(claim) else None


def numbers_in(node: Expr) -> tuple[str, ...]:
    """Give the names in the comparisons of a proposition that can be measured, each once."""
    match node:
        case Unary(op=Op.NOT) | Binary(op=Op.AND | Op.OR) if node.type is BOOL:
            return tuple(dict.fromkeys(name for child in node.children() for name in numbers_in(child)))
        case Binary() if measurable(node):
            return tuple(dict.fromkeys(each.name for each in node.walk() if isinstance(each, Ref | Truth)))
        case _:
            return ()


def measurable(node: Expr) -> bool:
    """Say whether a proposition has a comparison of numbers that can be measured."""
    match node:
        case Unary(op=Op.NOT):
            return measurable(node.operand)
        case Binary(op=Op.AND | Op.OR) if node.type is BOOL:
            return measurable(node.left) or measurable(node.right)
        case Binary(op=op) if op in COMPARISONS:
            return all(_countable(side) for side in node.children())
        case _:
            return False


def _countable(node: Expr) -> bool:
    if node.type is BOOL or node.type is STRING:
        return False
    match node:
        case Const() | Ref() | Truth():
            return True
        case Unary(op=Op.NEG) | Binary(op=Op.ADD | Op.SUB | Op.MUL):
            return all(_countable(child) for child in node.children())
        case Binary(op=Op.DIV, left=divided, right=Const(value=divisor)) if divisor:
            return _countable(divided)
        case Function(name="SEL", arguments=(_, if_false, if_true)):
            return _countable(if_false) and _countable(if_true)
        case Function() if node.name in _FUNCTIONS or "_TO_" in node.name:
            return all(_countable(child) for child in node.children())
        case _:
            return False


def _turned(band: Band) -> Band:
    if band is SURE:
        return NEVER_SO
    if band is NEVER_SO:
        return SURE
    (a, b), (c, d) = band
    return (-c, -d), (-a, -b)


def _least(a: Band, b: Band) -> Band:
    return min(a[0], b[0]), min(a[1], b[1])


def _most(a: Band, b: Band) -> Band:
    return max(a[0], b[0]), max(a[1], b[1])


def _above(a: Range, b: Range) -> Range:
    return a[0] - b[1], a[1] - b[0]


def _apart(a: Range, b: Range) -> Range:
    least, most = _absolute(_above(a, b))
    return (-inf if least == 0.0 else least), (-inf if most == 0.0 else most)


def _negated(a: Range) -> Range:
    return -a[1], -a[0]


def _absolute(a: Range) -> Range:
    low, high = abs(a[0]), abs(a[1])
    return (0.0 if a[0] < 0.0 < a[1] else min(low, high)), max(low, high)


def _product(a: Range, b: Range) -> Range:
    corners = [x * y for x in a for y in b]
    return min(corners), max(corners)


def _same(a: Range) -> Range:
    return a


_DISTANCE: Final[dict[Op, Callable[[Range, Range], Range]]] = {
    Op.GT: _above,
    Op.GE: _above,
    Op.LT: lambda a, b: _above(b, a),
    Op.LE: lambda a, b: _above(b, a),
    Op.NE: _apart,
    Op.EQ: lambda a, b: _negated(_apart(a, b)),
}
_ARITHMETIC: Final[dict[Op, Callable[..., Range]]] = {
    Op.ADD: lambda a, b: (a[0] + b[0], a[1] + b[1]),
    Op.SUB: _above,
    Op.MUL: _product,
    Op.DIV: lambda a, b: tuple(sorted((a[0] / b[0], a[1] / b[0]))),
}
_FUNCTIONS: Final[dict[str, Callable[..., Range]]] = {
    "ABS": _absolute,
    "MIN": lambda *each: (min(a for a, _ in each), min(b for _, b in each)),
    "MAX": lambda *each: (max(a for a, _ in each), max(b for _, b in each)),
}
