"""Expression objects: what a guard, a rung or a claim is made of.

Nodes and their operators live here; evaluating is in evaluate.py, printing in show.py. Python
operators build nodes (`start & ~stop`, `count >= 3`); nothing is computed until someone asks.
Rule: an expression never changes, is hashed by identity, and has no truth value of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, MutableMapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final, NoReturn

from simplant.errors import Place, ProgramError
from simplant.timebase import Ns
from simplant.values import BOOL, INT, LREAL, STRING, TIME, ElementaryType, Value

NOW: Final = "%now"
"""The key under which an environment holds the instant of the scan."""


class Op(Enum):
    """Operators, with the standard's spelling and binding strength (IEC 61131-3:2003, Table 55)."""

    NOT = ("NOT", 8)
    NEG = ("-", 8)
    MUL = ("*", 7)
    DIV = ("/", 7)
    MOD = ("MOD", 7)
    ADD = ("+", 6)
    SUB = ("-", 6)
    LT = ("<", 5)
    GT = (">", 5)
    LE = ("<=", 5)
    GE = (">=", 5)
    EQ = ("=", 4)
    NE = ("<>", 4)
    AND = ("AND", 3)
    XOR = ("XOR", 2)
    OR = ("OR", 1)

    @property
    def spelling(self) -> str:
        """The standard's spelling."""
        return self.value[0]

    @property
    def strength(self) -> int:
        """How tightly it binds; higher is tighter."""
        return self.value[1]


COMPARISONS: Final = frozenset({Op.LT, Op.GT, Op.LE, Op.GE, Op.EQ, Op.NE})
LOGIC: Final = frozenset({Op.AND, Op.OR, Op.XOR})
ARITHMETIC: Final = frozenset({Op.MUL, Op.DIV, Op.MOD, Op.ADD, Op.SUB})


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
        return binary(Op.EQ, self, other)

    def __ne__(self, other: object) -> Expr:  # type: ignore[override]
        return binary(Op.NE, self, other)

    def __lt__(self, other: object) -> Expr:
        return binary(Op.LT, self, other)

    def __le__(self, other: object) -> Expr:
        return binary(Op.LE, self, other)

    def __gt__(self, other: object) -> Expr:
        return binary(Op.GT, self, other)

    def __ge__(self, other: object) -> Expr:
        return binary(Op.GE, self, other)

    def __and__(self, other: object) -> Expr:
        return binary(Op.AND, self, other)

    def __rand__(self, other: object) -> Expr:
        return binary(Op.AND, other, self)

    def __or__(self, other: object) -> Expr:
        return binary(Op.OR, self, other)

    def __ror__(self, other: object) -> Expr:
        return binary(Op.OR, other, self)

    def __xor__(self, other: object) -> Expr:
        return binary(Op.XOR, self, other)

    def __invert__(self) -> Expr:
        if not (self.type is BOOL or self.type.is_bits):
            raise ProgramError(f"NOT needs BOOL or a bit string but {self} is {self.type.name}")
        return Unary(Op.NOT, self, self.type)

    def __neg__(self) -> Expr:
        if not (self.type.is_number or self.type is TIME):
            raise ProgramError(f"minus needs a number but {self} is {self.type.name}")
        return Unary(Op.NEG, self, self.type)

    def __add__(self, other: object) -> Expr:
        return binary(Op.ADD, self, other)

    def __radd__(self, other: object) -> Expr:
        return binary(Op.ADD, other, self)

    def __sub__(self, other: object) -> Expr:
        return binary(Op.SUB, self, other)

    def __rsub__(self, other: object) -> Expr:
        return binary(Op.SUB, other, self)

    def __mul__(self, other: object) -> Expr:
        return binary(Op.MUL, self, other)

    def __rmul__(self, other: object) -> Expr:
        return binary(Op.MUL, other, self)

    def __truediv__(self, other: object) -> Expr:
        return binary(Op.DIV, self, other)

    def __mod__(self, other: object) -> Expr:
        return binary(Op.MOD, self, other)

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
        return _evaluate(self, env)

    def __str__(self) -> str:
        return _show(self)

    def __repr__(self) -> str:
        return f"<{type(self).__name__} {self}>"


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Const(Expr):
    """A literal of a type."""

    value: Value
    type: ElementaryType

    def _own(self) -> tuple[object, ...]:
        return (repr(self.value),)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Ref(Expr):
    """Anything stored that has a name: a tag (`start_pressed`), a block output (`warn.Q`), a chart (`cycle`)."""

    name: str
    type: ElementaryType

    def _own(self) -> tuple[object, ...]:
        return (self.name,)

    def becomes(self, value: object, *, when: Expr | None = None) -> Assignment:
        """Build the action `self := value`, done only where `when` holds, if that is given."""
        return Assignment(self, of_type(value, self.type), when)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Truth(Expr):
    """A truth of the plant, `part.terminal`: what really is, whatever the sensors say. For rules, never for logic."""

    name: str
    type: ElementaryType = field(default=LREAL)

    def _own(self) -> tuple[object, ...]:
        return (self.name,)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Unary(Expr):
    """NOT or minus."""

    op: Op
    operand: Expr
    type: ElementaryType

    def children(self) -> tuple[Expr, ...]:
        """Give the operand."""
        return (self.operand,)

    def _own(self) -> tuple[object, ...]:
        return (self.op,)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Binary(Expr):
    """Two operands and an operator; both operands have one type, but for TIME times a number."""

    op: Op
    left: Expr
    right: Expr
    type: ElementaryType

    def children(self) -> tuple[Expr, ...]:
        """Give left, right."""
        return (self.left, self.right)

    def _own(self) -> tuple[object, ...]:
        return (self.op,)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Function(Expr):
    """A standard function: ABS MIN MAX LIMIT SEL, or a conversion `INT_TO_TIME`."""

    name: str
    arguments: tuple[Expr, ...]
    type: ElementaryType

    def children(self) -> tuple[Expr, ...]:
        """Give the arguments."""
        return self.arguments

    def _own(self) -> tuple[object, ...]:
        return (self.name, len(self.arguments))


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Elapsed(Expr):
    """Time from a stored instant until now (step time); it runs, so it is looked at with care by the sleeping scan."""

    since: Ref
    label: str
    type: ElementaryType = field(default=TIME)

    def _own(self) -> tuple[object, ...]:
        return (self.since.name,)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class TimerElapsed(Expr):
    """ET of a timer instance, computed on reading."""

    instance: str
    block: str
    type: ElementaryType = field(default=TIME)

    def _own(self) -> tuple[object, ...]:
        return (self.instance,)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class StepActive(Expr):
    """True while a chart is in one of the named steps."""

    chart: str
    steps: tuple[str, ...]
    type: ElementaryType = field(default=BOOL)

    def _own(self) -> tuple[object, ...]:
        return (self.chart, self.steps)


@dataclass(frozen=True, slots=True)
class Assignment:
    """The action `target := value`, done only where `when` holds, if given."""

    target: Ref
    value: Expr
    when: Expr | None = None
    place: Place | None = None

    def __call__(self, env: MutableMapping[str, Value]) -> None:
        """Do it on tag values by name; so it can stand as a callback in a `transitions` table."""
        if self.when is None or self.when(env):
            env[self.target.name] = self.value(env)


def of_type(value: object, wanted: ElementaryType) -> Expr:
    """Give a Python value as a constant of a type, or an expression as it is.

    Raises:
        ProgramError: the value is not of that type or out of its range.
    """
    if isinstance(value, Expr):
        if value.type is not wanted:
            raise ProgramError(
                f"{value} is {value.type.name} where {wanted.name} is wanted",
                mend=f"convert it: to_type({value}, {wanted.name})",
            )
        return value
    return Const(wanted.check(value), wanted)  # type: ignore[arg-type]  # `check` refuses what is no value


def natural(value: object) -> Expr:
    """Give a Python value as a constant of its natural type (bool BOOL, int INT, float LREAL, str STRING)."""
    if isinstance(value, Expr):
        return value
    for kind, wanted in ((bool, BOOL), (int, INT), (float, LREAL), (str, STRING)):
        if isinstance(value, kind):
            return Const(wanted.check(value), wanted)
    raise ProgramError(f"{value!r} cannot stand in an expression", f"it is of Python type {type(value).__name__}")


def _pair(left: object, right: object) -> tuple[Expr, Expr]:
    """Give both operands as expressions of one type; a literal takes the type of the other side."""
    if isinstance(left, Expr) and not isinstance(right, Expr):
        return left, of_type(right, left.type)
    if isinstance(right, Expr) and not isinstance(left, Expr):
        return of_type(left, right.type), right
    return natural(left), natural(right)


def _result(op: Op, left: Expr, right: Expr) -> ElementaryType:
    """Give the type of a binary node, or raise if the operands do not fit it."""
    if op in LOGIC and (left.type is BOOL or left.type.is_bits):
        return left.type
    if op in COMPARISONS and (left.type is not BOOL or op in {Op.EQ, Op.NE}):
        return BOOL
    if op in ARITHMETIC and (left.type.is_number or (left.type is TIME and op in {Op.ADD, Op.SUB})):
        if op is Op.MOD and not left.type.is_integer:
            raise ProgramError(f"MOD needs integers but {left} is {left.type.name}")
        return left.type
    raise ProgramError(f"{op.spelling} cannot join {left} and {right}", f"they are {left.type.name}")


def binary(op: Op, left: object, right: object) -> Expr:
    """Build a checked binary node.

    Raises:
        ProgramError: the operands do not fit each other or the operator.
    """
    a, b = _pair(left, right)
    if a.type is not b.type:
        raise ProgramError(
            f"{op.spelling} joins {a} ({a.type.name}) and {b} ({b.type.name})",
            "both sides must be of one type",
            f"convert one: to_type({b}, {a.type.name})",
        )
    return Binary(op, a, b, _result(op, a, b))


_evaluate: Callable[[Expr, Mapping[str, Value]], Value]
_show: Callable[[Expr], str]


def install(evaluate: Callable[[Expr, Mapping[str, Value]], Value], show: Callable[[Expr], str]) -> None:
    """Bind evaluation and printing to the nodes (done once by the package)."""
    global _evaluate, _show
    _evaluate, _show = evaluate, show


def now_of(env: Mapping[str, Value]) -> Ns:
    """Give the instant of an environment."""
    return Ns(int(env[NOW]))
