"""The small core that compiler and walker run: assign, invoke, branch, stamp, opaque call.

Lowering from the source forms is in lower.py. Rule: every core node keeps the id and place of the
source node it came from, so that errors, coverage and mutation can speak in the source form.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum

from simplant.blocks import BlockType
from simplant.errors import Place, ProgramError, SimplantError
from simplant.expr import Expr
from simplant.values import ElementaryType


@dataclass(frozen=True, slots=True)
class Origin:
    """The source node a core node came from."""

    id: str
    place: Place


@dataclass(frozen=True, slots=True)
class Assign:
    """`target := value`."""

    target: str
    value: Expr
    origin: Origin


@dataclass(frozen=True, slots=True)
class Stamp:
    """`target := now`: the instant a step was entered."""

    target: str
    origin: Origin


@dataclass(frozen=True, slots=True)
class Invoke:
    """Call a block instance with the given inputs; the others keep their values."""

    instance: str
    block: BlockType
    arguments: tuple[tuple[str, Expr], ...]
    origin: Origin


@dataclass(frozen=True, slots=True)
class Branch:
    """The body of the first arm whose condition holds, else `otherwise`; `places`: of the arms, if not all there."""

    arms: tuple[tuple[Expr, tuple["Core", ...]], ...]
    otherwise: tuple["Core", ...]
    origin: Origin
    places: tuple[Place, ...] = ()

    def of_arm(self, number: int) -> Origin:
        """Give the origin of an arm, counted from 0."""
        return Origin(self.origin.id, self.places[number]) if self.places else self.origin


@dataclass(frozen=True, slots=True)
class PythonCall:
    """`writes := function(*reads)`."""

    function: Callable[..., object]
    reads: tuple[str, ...]
    writes: tuple[str, ...]
    origin: Origin


@dataclass(frozen=True, slots=True)
class Loop:
    """Again and again: `head`, out if `condition` does not hold, `body`, `step`; None: out only by a `Leave`."""

    head: tuple["Core", ...]
    condition: Expr | None
    body: tuple["Core", ...]
    step: tuple["Core", ...]
    origin: Origin


class Exit(Enum):
    """What a `Leave` leaves."""

    LOOP = "break"
    PASS = "continue"
    ROUTINE = "return"


@dataclass(frozen=True, slots=True)
class Leave:
    """Leave the innermost loop, this pass of it (its step is not done), or the routine."""

    what: Exit
    origin: Origin


@dataclass(frozen=True, slots=True)
class Store:
    """`row[index] := value`, counting from 0."""

    target: str
    index: Expr
    value: Expr
    origin: Origin


@dataclass(frozen=True, slots=True)
class Copy:
    """Copy `count` values from one row into another, each from an offset."""

    target: str
    offset: Expr
    source: str
    source_offset: Expr
    count: int
    origin: Origin


@dataclass(frozen=True, slots=True)
class Locate:
    """Let names stand for the rows at the place that a reference leads to, until the next such.

    Args:
        reference: the place.
        label: the reference for people.
        at: a name for the number of the place among those of its size in its row.
        rows: a name for each row, and what stands behind the place in the row's own name.
        origin: where it was written.
    """

    reference: Expr
    label: str
    at: str
    rows: tuple[tuple[str, str], ...]
    origin: Origin


@dataclass(frozen=True, slots=True)
class Row:
    """A row given to a routine: the row itself, or a copy of it."""

    name: str
    copied: bool = False


@dataclass(frozen=True, slots=True)
class Routine:
    """Something called that is no standard block: a function, or the body of a user's function block.

    Args:
        name: for people.
        parameters: names of single values and rows, in order; rows are changed in place.
        results: the single values given back.
        local: other values of its own, and what each holds when it begins (a tuple for a row).
        body: what it does.
        types: elementary type of each name.
        blocks: block type of each standard block's instance in it.
        timed: it has timers, so it says when time alone could change what it does.
    """

    name: str
    parameters: tuple[str, ...]
    results: tuple[str, ...]
    local: tuple[tuple[str, object], ...]
    body: tuple["Core", ...]
    types: Mapping[str, ElementaryType]
    blocks: Mapping[str, BlockType]
    timed: bool


@dataclass(frozen=True, slots=True)
class Perform:
    """Call a routine: `results := routine(arguments)`."""

    routine: Routine
    arguments: tuple[Expr | Row, ...]
    results: tuple[str, ...]
    origin: Origin


Core = Assign | Stamp | Invoke | Branch | PythonCall | Loop | Leave | Store | Copy | Perform | Locate
Structured = Loop | Leave | Store | Copy | Perform | Locate
"""What only the standard's textual language has."""


def blamed(error: Exception, place: Place | None) -> SimplantError:
    """Give what a scan raised as an error at the author's line, unless it names a place of its own."""
    if isinstance(error, SimplantError):
        return type(error)(error.what, error.why, error.mend, error.place or place)
    return ProgramError(
        f"the program raised {type(error).__name__}: {error}", "plain Python failed in a scan", place=place
    )
