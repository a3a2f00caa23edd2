"""How far a proposition is from changing: robust semantics over a span, not over samples.

A comparison measures its distance from the level, AND takes the least, OR the greatest, NOT
turns the sign; what is only true or false is infinitely far away. Who asks is the monitor.
Rule: a truth counts with its extremes over the whole span, everything else as it stood at its start.
Source: Fainekos & Pappas 2009, "Robustness of temporal logic specifications for continuous-time signals" (from memory).
"""

from collections.abc import Callable
from math import inf
from typing import Final

from simplant.expr import COMPARISONS, Binary, Const, Expr, Function, Op, Ref, Truth, Unary
from simplant.rules.monitor import Measured, View
from simplant.timebase import Ns
from simplant.values import BOOL, STRING, Value

Band = tuple[Measured, Measured]
"""Least and greatest distance over a span."""
Range = tuple[float, float]

SURE: Final[Band] = ((inf, inf), (inf, inf))
NEVER_SO: Final[Band] = ((-inf, -inf), (-inf, -inf))


class Measure:
    """Measures one proposition; make one for each monitor."""

    __slots__ = ("_band", "_first", "_last", "_leaves", "_scale", "_values", "_view")

    _first: Ns
    _last: Ns
    _view: View

    def __init__(self, claim: Expr, scale: float | None = None) -> None:
        """Prepare to measure `claim`; `scale` is what counts as 1 (None: the level compared with)."""
        self._leaves: list[Expr] = []
        self._values: list[Value] = []
        self._scale = scale
        self._band = self._proposition(claim)

    def look(self, view: View) -> None:
        """Remember everything that is constant over the span that begins now."""
        self._values = [view.value(leaf) for leaf in self._leaves]

    def least(self, first: Ns, last: Ns, view: View, *, holds: bool) -> Measured:
        """Give a lower bound of the distance over a closed span in which the proposition did not change.

        The sign always agrees with `holds`, whatever the last bit of a crossing says.
        """
        self._first, self._last, self._view = first, last, view
        fraction, amount = self._band(self)[0]
        if holds:
            return max(fraction, 0.0), max(amount, 0.0)
        return min(fraction, 0.0), min(amount, 0.0)

    def _leaf(self, node: Expr) -> int:
        self._leaves.append(node)
        return len(self._leaves) - 1

    def _proposition(self, node: Expr) -> Callable[["Measure"], Band]:
        match node:
            case Unary(op=Op.NOT, operand=inner) if measurable(inner):
                band = self._proposition(inner)
                return lambda m: _turned(band(m))
            case Binary(op=Op.AND | Op.OR) if measurable(node):
                return self._joined(node)
            case Binary(op=op) if op in COMPARISONS and measurable(node):
                return self._comparison(node)
            case _:
                index = self._leaf(node)
                return lambda m: SURE if m._values[index] else NEVER_SO

    def _joined(self, node: Binary) -> Callable[["Measure"], Band]:
        plain_first = sorted((node.left, node.right), key=measurable)
        one, other = (self._proposition(side) for side in plain_first)
        if node.op is Op.AND:
            return lambda m: NEVER_SO if (a := one(m)) is NEVER_SO else _least(a, other(m))
        return lambda m: SURE if (a := one(m)) is SURE else _most(a, other(m))

    def _comparison(self, node: Binary) -> Callable[["Measure"], Band]:
        left, right = self._number(node.left), self._number(node.right)
        level = next((float(s.value) for s in (node.right, node.left) if isinstance(s, Const)), 0.0)
        scale = self._scale or abs(level) or 1.0
        distance = _DISTANCE[node.op]

        def band(m: "Measure") -> Band:
            least, most = distance(left(m), right(m))
            return (least / scale, least), (most / scale, most)

        return band

    def _number(self, node: Expr) -> Callable[["Measure"], Range]:
        match node:
            case Const():
                fixed = float(node.value)
                return lambda m: (fixed, fixed)
            case Truth():
                name = node.name
                return lambda m: m._view.extremes(name, m._first, m._last)
            case Ref():
                index = self._leaf(node)
                return lambda m: (float(m._values[index]), float(m._values[index]))
            case Unary(operand=inner):
                number = self._number(inner)
                return lambda m: _negated(number(m))
            case Function(name="SEL", arguments=(choice, if_false, if_true)):
                index, no, yes = self._leaf(choice), self._number(if_false), self._number(if_true)
                return lambda m: (yes if m._values[index] else no)(m)
            case Binary() | Function():
                return self._computed(node)
            case _:
                raise AssertionError(f"{node} is not measurable")

    def _computed(self, node: Binary | Function) -> Callable[["Measure"], Range]:
        numbers = [self._number(child) for child in node.children()]
        compute = _FUNCTIONS.get(node.name, _same) if isinstance(node, Function) else _ARITHMETIC[node.op]
        return lambda m: compute(*[number(m) for number in numbers])


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
