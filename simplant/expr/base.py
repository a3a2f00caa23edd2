"""What every expression can do: Python's operators build nodes, and nothing is computed until someone asks.

The kinds of nodes are nodes.py; how operands are checked and joined is build.py; the package binds
these to the hooks below when it is first imported. Rule: an expression never changes, is hashed by identity, and
has no truth value of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Final, NoReturn

from simplant.errors import ProgramError
from simplant.expr.operators import Op
from simplant.timebase import Ns
from simplant.values import BOOL, TIME, ElementaryType, Value

NOW: Final = "%now"
"""The key under which an environment holds the instant of the scan."""


class Hooks:
    """What the operators of the base class need from files above it."""

    binary: Callable[[Op, object, object], Expr]
    unary: Callable[[Op, Expr], Expr]
    evaluate: Callable[[Expr, Mapping[str, Value]], Value]
    show: Callable[[Expr], str]


_hooks = Hooks()


class Expr:
    """Base of all expressions; see the module for what the operators do."""

    __slots__ = ()
    type: ElementaryType

    def __bool__(self) -> NoReturn:
        raise ProgramError(
            f"the expression {self} was used as a Python truth value",
            "`and`, `or`, `not`, `if` and chained comparisons decide at once; an expression is decided at each scan",
            "use & for AND, | for OR, ~ for NOT, and parentheses around comparisons",
        )

    __hash__ = object.__hash__

    def __eq__(self, other: object) -> Expr:  # type: ignore[override]
        return _hooks.binary(Op.EQ, self, other)

    def __ne__(self, other: object) -> Expr:  # type: ignore[override]
        return _hooks.binary(Op.NE, self, other)

    def __lt__(self, other: object) -> Expr:
        return _hooks.binary(Op.LT, self, other)

    def __le__(self, other: object) -> Expr:
        return _hooks.binary(Op.LE, self, other)

    def __gt__(self, other: object) -> Expr:
        return _hooks.binary(Op.GT, self, other)

    def __ge__(self, other: object) -> Expr:
        return _hooks.binary(Op.GE, self, other)

    def __and__(self, other: object) -> Expr:
        return _hooks.binary(Op.AND, self, other)

    def __rand__(self, other: object) -> Expr:
        return _hooks.binary(Op.AND, other, self)

    def __or__(self, other: object) -> Expr:
        return _hooks.binary(Op.OR, self, other)

    def __ror__(self, other: object) -> Expr:
        return _hooks.binary(Op.OR, other, self)

    def __xor__(self, other: object) -> Expr:
        return _hooks.binary(Op.XOR, self, other)

    def __invert__(self) -> Expr:
        if not (self.type is BOOL or self.type.is_bits):
            raise ProgramError(f"NOT needs BOOL or a bit string but {self} is {self.type.name}")
        return _hooks.unary(Op.NOT, self)

    def __neg__(self) -> Expr:
        if not (self.type.is_number or self.type is TIME):
            raise ProgramError(f"minus needs a number but {self} is {self.type.name}")
        return _hooks.unary(Op.NEG, self)

    def __add__(self, other: object) -> Expr:
        return _hooks.binary(Op.ADD, self, other)

    def __radd__(self, other: object) -> Expr:
        return _hooks.binary(Op.ADD, other, self)

    def __sub__(self, other: object) -> Expr:
        return _hooks.binary(Op.SUB, self, other)

    def __rsub__(self, other: object) -> Expr:
        return _hooks.binary(Op.SUB, other, self)

    def __mul__(self, other: object) -> Expr:
        return _hooks.binary(Op.MUL, self, other)

    def __rmul__(self, other: object) -> Expr:
        return _hooks.binary(Op.MUL, other, self)

    def __truediv__(self, other: object) -> Expr:
        return _hooks.binary(Op.DIV, self, other)

    def __rtruediv__(self, other: object) -> Expr:
        return _hooks.binary(Op.DIV, other, self)

    def __mod__(self, other: object) -> Expr:
        return _hooks.binary(Op.MOD, self, other)

    def __rmod__(self, other: object) -> Expr:
        return _hooks.binary(Op.MOD, other, self)

    def implies(self, other: object) -> Expr:
        """Build NOT self OR other."""
        return ~self | other

    def same_as(self, other: Expr) -> bool:
        """Say whether two expressions are built alike (`==` builds a comparison instead)."""
        if type(self) is not type(other) or self.type is not other.type:
            return False
        return self._own() == other._own() and all(
            a.same_as(b) for a, b in zip(self.children(), other.children(), strict=True)
        )

    def children(self) -> tuple[Expr, ...]:
        """Give the direct sub-expressions, left to right."""
        return ()

    def walk(self) -> Iterator[Expr]:
        """Give this expression and all below it, outermost first."""
        yield self
        for child in self.children():
            yield from child.walk()

    def _own(self) -> tuple[object, ...]:
        """Give what distinguishes this node besides its children (their number included)."""
        return (len(self.children()),)

    def __call__(self, env: Mapping[str, Value]) -> Value:
        """Evaluate on tag values by name; so an expression can stand as a condition in a `transitions` table."""
        return _hooks.evaluate(self, env)

    def __str__(self) -> str:
        return _hooks.show(self)

    def __repr__(self) -> str:
        return f"<{type(self).__name__} {self}>"


def install(
    binary: Callable[[Op, object, object], Expr],
    unary: Callable[[Op, Expr], Expr],
    evaluate: Callable[[Expr, Mapping[str, Value]], Value],
    show: Callable[[Expr], str],
) -> None:
    """Bind building, evaluating and printing to the operators (done once by the package)."""
    _hooks.binary, _hooks.unary, _hooks.evaluate, _hooks.show = binary, unary, evaluate, show


def now_of(env: Mapping[str, Value]) -> Ns:
    """Give the instant of an environment."""
    return Ns(int(env[NOW]))
