"""The syntax tree of a Structured Text source: units, declarations, statements, expressions, each with its place.

Reading it from text is parse*.py; what it means is the checker's affair. Rule: plain frozen data, names as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from simplant.errors import Place
from simplant.values import ElementaryType, Value

# Expressions


@dataclass(frozen=True, slots=True)
class Literal:
    """A value; `type` is None where the context decides (a bare number); `enum` is T in `T#name` (`name` in `text`)."""

    place: Place
    value: Value
    type: ElementaryType | None
    text: str
    enum: str = ""


@dataclass(frozen=True, slots=True)
class Field:
    """`.name`."""

    place: Place
    name: str


@dataclass(frozen=True, slots=True)
class Index:
    """`[i, j]`."""

    place: Place
    values: tuple[Expression, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """`.3` or `.%X3`: bit (or byte, word ...) number `number` of a bit string; `size` is X, B, W, D or L."""

    place: Place
    size: str
    number: int


@dataclass(frozen=True, slots=True)
class Deref:
    """`^`: what a reference leads to."""

    place: Place


Selector = Field | Index | Part | Deref


@dataclass(frozen=True, slots=True)
class Access:
    """A variable, or a part of one: `name` (or a direct address `%IX0.0`), then selectors."""

    place: Place
    name: str
    selectors: tuple[Selector, ...] = ()

    def __str__(self) -> str:
        return self.name + "".join(_short(each) for each in self.selectors)

    @property
    def leads(self) -> bool:
        """Whether it goes by way of a reference."""
        return any(isinstance(each, Deref) for each in self.selectors)


def _short(selector: Selector) -> str:
    return f".{selector.name}" if isinstance(selector, Field) else "^" if isinstance(selector, Deref) else "[...]"


@dataclass(frozen=True, slots=True)
class Argument:
    """One argument: positional (`name` empty), `name := value`, or `name => target`."""

    place: Place
    name: str
    value: Expression | None = None
    target: Access | None = None
    inverted: bool = False


@dataclass(frozen=True, slots=True)
class Call:
    """`callee(arguments)`: of a function, or as a statement of a function block instance."""

    place: Place
    callee: Access
    arguments: tuple[Argument, ...]


@dataclass(frozen=True, slots=True)
class Prefix:
    """NOT or minus."""

    place: Place
    operator: str
    operand: Expression


@dataclass(frozen=True, slots=True)
class Infix:
    """Two operands and an operator (in capitals); `place` is that of the operator."""

    place: Place
    operator: str
    left: Expression
    right: Expression


Expression = Literal | Access | Call | Prefix | Infix

# Statements


@dataclass(frozen=True, slots=True)
class Let:
    """`target := value`."""

    place: Place
    target: Access
    value: Expression


@dataclass(frozen=True, slots=True)
class Do:
    """A call as a statement."""

    place: Place
    call: Call


@dataclass(frozen=True, slots=True)
class If:
    """IF with its ELSIFs, and ELSE."""

    place: Place
    arms: tuple[tuple[Expression, tuple[Statement, ...]], ...]
    otherwise: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """CASE: groups of labels (low, high or None) with their statements."""

    place: Place
    selector: Expression
    groups: tuple[tuple[tuple[tuple[Expression, Expression | None], ...], tuple[Statement, ...]], ...]
    otherwise: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class For:
    """FOR variable := first TO last BY step."""

    place: Place
    variable: Access
    first: Expression
    last: Expression
    step: Expression | None
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class While:
    """WHILE."""

    place: Place
    condition: Expression
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    """REPEAT ... UNTIL."""

    place: Place
    body: tuple[Statement, ...]
    until: Expression


@dataclass(frozen=True, slots=True)
class Leave:
    """EXIT, CONTINUE or RETURN."""

    place: Place
    word: str


Statement = Let | Do | If | Case | For | While | Repeat | Leave
