"""The kinds of expression nodes: what a guard, a rung or a claim is made of.

What every expression can do is base.py; building them from operands is build.py, evaluating
evaluate.py, printing show.py. Rule: plain frozen data.
"""

from __future__ import annotations

from collections.abc import Callable, MutableMapping
from dataclasses import dataclass, field

from simplant.errors import Place, ProgramError
from simplant.expr.base import Expr
from simplant.expr.operators import Op
from simplant.place import written_at
from simplant.values import BOOL, LREAL, REFERENCE, TIME, ElementaryType, Value


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
        return Assignment(self, of_type(value, self.type), when, written_at())


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
class Element(Expr):
    """One value of a row: `row` is its name, `index` counts from 0; `cell`: people name it without an index."""

    row: str
    index: Expr
    type: ElementaryType
    cell: bool = False

    def children(self) -> tuple[Expr, ...]:
        """Give the index."""
        return (self.index,)

    def _own(self) -> tuple[object, ...]:
        return (self.row,)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Pointed(Expr):
    """One value at the place that a reference leads to (places.py): `ref^.field`, with `index` counted from there.

    Args:
        reference: the place.
        label: the reference for people.
        suffix: names of fields behind the place: `.field`.
        index: into the arrays behind the place, from 0.
        type: of the value.
    """

    reference: Expr
    label: str
    suffix: str
    index: Expr
    type: ElementaryType

    def children(self) -> tuple[Expr, ...]:
        """Give the reference and the index."""
        return (self.reference, self.index)

    def _own(self) -> tuple[object, ...]:
        return (self.suffix,)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Address(Expr):
    """REF of the place in a row at `index`; `behind` is what stands behind the place in the names of the row."""

    row: str
    index: Expr
    behind: str
    type: ElementaryType = field(default=REFERENCE)

    def children(self) -> tuple[Expr, ...]:
        """Give the index."""
        return (self.index,)

    def _own(self) -> tuple[object, ...]:
        return (self.row, self.behind)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Checked(Expr):
    """A value that goes through a check (a range, a length), which gives it back or raises `ProgramError`."""

    value: Expr
    check: Callable[[Value], Value]
    type: ElementaryType

    def children(self) -> tuple[Expr, ...]:
        """Give the value."""
        return (self.value,)

    def _own(self) -> tuple[object, ...]:
        return (self.check,)


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
    place: Place | None = field(default=None, compare=False)

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
