"""The syntax tree of declarations: types, variables, program units, configurations.

Expressions and statements are tree.py. Rule: plain frozen data, names as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from simplant.errors import Place
from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.tree import Ladder
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.tree import Access, Argument, Expression, Statement


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
    """STRUCT ... END_STRUCT; `overlap`: its fields share their bytes."""

    place: Place
    fields: tuple[Variable, ...]
    overlap: bool = False


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


@dataclass(frozen=True, slots=True)
class RefTo:
    """REF_TO type."""

    place: Place
    of: TypeSpec


TypeSpec = Named | ArrayOf | Structure | Enumeration | Subrange | RefTo


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
    """One declared name; `hidden`: a body in another form than statements needs it, nobody wrote it."""

    place: Place
    name: str
    type: TypeSpec
    initial: Init | None = None
    address: str = ""
    section: Section = Section("VAR")
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class TypeName:
    """One row of a TYPE block."""

    place: Place
    name: str
    type: TypeSpec
    initial: Init | None


Body = tuple[Statement, ...] | Ladder | Graph | Chart


@dataclass(frozen=True, slots=True)
class AccessPath:
    """One row of a VAR_ACCESS: the name under which others reach a variable, and whether they may write it."""

    place: Place
    name: str
    path: Access
    type: TypeSpec
    writes: bool = False


@dataclass(frozen=True, slots=True)
class Unit:
    """A PROGRAM, FUNCTION_BLOCK or FUNCTION; its body as it was written (bodies.py turns any into statements)."""

    place: Place
    kind: str
    name: str
    result: TypeSpec | None
    variables: tuple[Variable, ...]
    body: Body
    accesses: tuple[AccessPath, ...] = ()

    @property
    def statements(self) -> tuple[Statement, ...]:
        """The body of a unit that bodies.py has lowered, or that was written so."""
        assert isinstance(self.body, tuple), "a body in another form is lowered before anybody looks at its statements"
        return self.body


@dataclass(frozen=True, slots=True)
class Task:
    """A TASK of a resource."""

    place: Place
    name: str
    settings: tuple[tuple[Place, str, Expression], ...]
    resource: str = ""


@dataclass(frozen=True, slots=True)
class ProgramInstance:
    """PROGRAM name WITH task : type (arguments); `blocks`: instances in it that tasks of their own run."""

    place: Place
    name: str
    task: str
    type: str
    arguments: tuple[Argument, ...] = ()
    retain: bool = False
    resource: str = ""
    blocks: tuple[tuple[Place, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Setting:
    """One row of a VAR_CONFIG: the variable `resource.program.block.name`, its address, its first value."""

    place: Place
    path: tuple[str, ...]
    address: str
    type: TypeSpec
    initial: Init | None


@dataclass(frozen=True, slots=True)
class Configuration:
    """A CONFIGURATION with all that its resources hold."""

    place: Place
    name: str
    variables: tuple[Variable, ...]
    tasks: tuple[Task, ...]
    programs: tuple[ProgramInstance, ...]
    settings: tuple[Setting, ...] = ()
    accesses: tuple[AccessPath, ...] = ()


@dataclass(frozen=True, slots=True)
class File:
    """A whole source."""

    types: tuple[TypeName, ...]
    units: tuple[Unit, ...]
    variables: tuple[Variable, ...]
    configurations: tuple[Configuration, ...]
