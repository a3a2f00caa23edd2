"""Values made of bare numbers alone, whose type the surroundings decide: `NOT 16#0F`, `SHL(1, n)`, `SEL(b, 1, 2)`.

Until then the numbers in them have the type that they have alone, and bit strings are as long as can be. Who asks for
a type is adapt.py. Rule: only the bare numbers get the type; a choice, a count or an exponent keeps its own.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from simplant.expr import Address, Binary, Const, Element, Expr, Function, Op, Pointed, Ref, TimerElapsed, Unary
from simplant.expr.rows import row_signs
from simplant.values import ElementaryType

_FIRST: Final = ("SHL", "SHR", "ROL", "ROR", "EXPT")
_BEHIND: Final = ("SEL", "MUX")
_LOGIC: Final = (Op.AND, Op.OR, Op.XOR, Op.NOT)


def is_constant(expr: Expr) -> bool:
    """Say whether an expression is known before the program runs."""
    return all(not isinstance(n, Ref | Element | TimerElapsed | Pointed | Address) for n in expr.walk())


def numbers(expr: Expr) -> list[Const]:
    """Give the bare numbers in a value."""
    if isinstance(expr, Const):
        return [expr]
    return [number for part in _open(expr) for number in numbers(part)]


def is_reckoned(expr: Expr) -> bool:
    """Say whether numbers are reckoned with in a value, which bit strings cannot be."""
    reckons = expr.op not in _LOGIC if isinstance(expr, Unary | Binary) else row_signs(expr) != ""
    return reckons or any(is_reckoned(part) for part in _open(expr))


def is_shifted(expr: Expr) -> bool:
    """Say whether bits are shifted in a value, which a single one cannot be."""
    shifts = isinstance(expr, Function) and expr.name in _FIRST
    return shifts or any(is_shifted(part) for part in _open(expr))


def retyped(expr: Expr, base: ElementaryType, number: Callable[[Const], Expr]) -> Expr:
    """Give a value with its type decided; `number` gives a bare number as that type."""
    match expr:
        case Const():
            return number(expr)
        case Unary():
            return replace(expr, operand=retyped(expr.operand, base, number), type=base)
        case Binary():
            left, right = retyped(expr.left, base, number), retyped(expr.right, base, number)
            return Binary(expr.op, left, right, base)
        case Function():
            first = 1 if expr.name in _BEHIND else 0
            arguments = [*expr.arguments]
            for place, part in enumerate(_open(expr), first):
                arguments[place] = retyped(part, base, number)
            return Function(expr.name, tuple(arguments), base)
        case _:
            raise AssertionError("what is made of bare numbers is one of these")


def _open(expr: Expr) -> tuple[Expr, ...]:
    """Give the parts that have the type of the whole."""
    match expr:
        case Function(name=name) if name in _FIRST:
            return expr.arguments[:1]
        case Function(name=name) if name in _BEHIND:
            return expr.arguments[1:]
        case _:
            return expr.children()
