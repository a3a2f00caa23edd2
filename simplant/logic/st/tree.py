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


Selector = Field | Index | Part


@dataclass(frozen=True, slots=True)
class Access:
    """A variable, or a part of one: `name` (or a direct address `%IX0.0`), then selectors."""

    place: Place
    name: str
    selectors: tuple[Selector, ...] = ()

    def __str__(self) -> str:
        return self.name + "".join(f".{s.name}" if isinstance(s, Field) else "[...]" for s in self.selectors)


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

# Declarations


@dataclass(frozen=True, slots=True)
class Named:
    """A type by name, with the length of a STRING, or the edge of an input (R_EDGE, F_EDGE)."""

    place: Place
    name: str
    length: Expression | None = None
    edge: str = ""


@dataclass(frozen=True, slots=True)
class ArrayOf:
    """ARRAY [low..high, ...] OF type."""

    place: Place
    ranges: tuple[tuple[Expression, Expression], ...]
    of: TypeSpec


@dataclass(frozen=True, slots=True)
class Structure:
    """STRUCT ... END_STRUCT."""

    place: Place
    fields: tuple[Variable, ...]


@dataclass(frozen=True, slots=True)
class Enumeration:
    """(red, green := 5), on a base type if one is given."""

    place: Place
    names: tuple[tuple[Place, str, Expression | None], ...]
    base: str = ""


@dataclass(frozen=True, slots=True)
class Subrange:
    """INT (low..high)."""

    place: Place
    base: str
    low: Expression
    high: Expression


TypeSpec = Named | ArrayOf | Structure | Enumeration | Subrange


@dataclass(frozen=True, slots=True)
class ListInit:
    """[1, 2, 3(0)]: (how often or None, value)."""

    place: Place
    items: tuple[tuple[Expression | None, Init | None], ...]


@dataclass(frozen=True, slots=True)
class FieldInit:
    """(name := value, ...)."""

    place: Place
    items: tuple[tuple[Place, str, Init], ...]


Init = Expression | ListInit | FieldInit


@dataclass(frozen=True, slots=True)
class Section:
    """The VAR section of a declaration: VAR, VAR_INPUT ..., and CONSTANT, RETAIN."""

    word: str
    constant: bool = False
    retain: bool = False


@dataclass(frozen=True, slots=True)
class Variable:
    """One declared name."""

    place: Place
    name: str
    type: TypeSpec
    initial: Init | None = None
    address: str = ""
    section: Section = Section("VAR")


@dataclass(frozen=True, slots=True)
class TypeName:
    """One row of a TYPE block."""

    place: Place
    name: str
    type: TypeSpec
    initial: Init | None


@dataclass(frozen=True, slots=True)
class Unit:
    """A PROGRAM, FUNCTION_BLOCK or FUNCTION."""

    place: Place
    kind: str
    name: str
    result: TypeSpec | None
    variables: tuple[Variable, ...]
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Task:
    """A TASK of a resource."""

    place: Place
    name: str
    settings: tuple[tuple[Place, str, Expression], ...]


@dataclass(frozen=True, slots=True)
class ProgramInstance:
    """PROGRAM name WITH task : type (arguments)."""

    place: Place
    name: str
    task: str
    type: str
    arguments: tuple[Argument, ...] = ()
    retain: bool = False


@dataclass(frozen=True, slots=True)
class Configuration:
    """A CONFIGURATION with all that its resources hold."""

    place: Place
    name: str
    variables: tuple[Variable, ...]
    tasks: tuple[Task, ...]
    programs: tuple[ProgramInstance, ...]


@dataclass(frozen=True, slots=True)
class File:
    """A whole source."""

    types: tuple[TypeName, ...]
    units: tuple[Unit, ...]
    variables: tuple[Variable, ...]
    configurations: tuple[Configuration, ...]
