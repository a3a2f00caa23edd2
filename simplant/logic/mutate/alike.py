"""Whether two conditions are the same: every combination of what they read is tried.

Comparisons, steps and contacts count as independent bits, which they may not be: so conditions found the same are so,
and those found different may yet never differ in the machine. Rule: at most `MOST` bits are tried.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from typing import Final

from simplant.expr import Binary, Const, Expr, Op, Unary
from simplant.values import BOOL

MOST: Final = 12
_LOGIC: Final = {Op.AND: lambda a, b: a and b, Op.OR: lambda a, b: a or b, Op.XOR: lambda a, b: a != b}


@dataclass(frozen=True, slots=True)
class Difference:
    """What two conditions differ in.

    Args:
        tried: how many combinations there are; 0 = too many, none was tried.
        at: what each bit is where they first differ, by its text; None if they never do.
        before: what the first condition is there.
    """

    tried: int
    at: Mapping[str, bool] | None
    before: bool = False

    @property
    def none(self) -> bool:
        """Whether it is shown that there is none."""
        return self.tried > 0 and self.at is None


def difference(before: Expr, after: Expr) -> Difference:
    """Try every combination of the bits that two Boolean conditions read."""
    bits = list(dict.fromkeys((*_bits(before), *_bits(after))))
    if before.type is not BOOL or len(bits) > MOST:
        return Difference(0, None)
    for values in product((False, True), repeat=len(bits)):
        given = dict(zip(bits, values, strict=True))
        was = _value(before, given)
        if was != _value(after, given):
            return Difference(2 ** len(bits), _needed(before, after, given), was)
    return Difference(2 ** len(bits), None)


def _needed(before: Expr, after: Expr, given: Mapping[str, bool]) -> dict[str, bool]:
    """Leave out the bits that do not matter where two conditions differ."""
    needed = dict(given)
    for bit in given:
        rest = [b for b in given if b not in needed or b == bit]
        if all(
            _value(before, tried) != _value(after, tried)
            for values in product((False, True), repeat=len(rest))
            for tried in ({**given, **dict(zip(rest, values, strict=True))},)
        ):
            del needed[bit]
    return needed


def _bits(node: Expr) -> list[str]:
    match node:
        case Binary(op=op) if op in _LOGIC and node.type is BOOL:
            return [*_bits(node.left), *_bits(node.right)]
        case Unary(op=Op.NOT) if node.type is BOOL:
            return _bits(node.operand)
        case Const():
            return []
        case _:
            return [str(node)]


def _value(node: Expr, given: Mapping[str, bool]) -> bool:
    match node:
        case Binary(op=op) if op in _LOGIC and node.type is BOOL:
            return bool(_LOGIC[op](_value(node.left, given), _value(node.right, given)))
        case Unary(op=Op.NOT) if node.type is BOOL:
            return not _value(node.operand, given)
        case Const():
            return bool(node.value)
        case _:
            return given[str(node)]
