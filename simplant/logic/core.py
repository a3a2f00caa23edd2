"""The small core that compiler and walker run: assign, invoke, branch, stamp, opaque call.

Lowering from the source forms is in lower.py. Rule: every core node keeps the id and place of the
source node it came from, so that errors, coverage and mutation can speak in the source form.
"""

from collections.abc import Callable
from dataclasses import dataclass

from simplant.blocks import BlockType
from simplant.errors import Place, ProgramError, SimplantError
from simplant.expr import Expr


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
    """The body of the first arm whose condition holds, else `otherwise`."""

    arms: tuple[tuple[Expr, tuple["Core", ...]], ...]
    otherwise: tuple["Core", ...]
    origin: Origin


@dataclass(frozen=True, slots=True)
class PythonCall:
    """`writes := function(*reads)`."""

    function: Callable[..., object]
    reads: tuple[str, ...]
    writes: tuple[str, ...]
    origin: Origin


Core = Assign | Stamp | Invoke | Branch | PythonCall


def blamed(error: Exception, place: Place | None) -> SimplantError:
    """Give what a scan raised as an error at the author's line, unless it names a place of its own."""
    if isinstance(error, SimplantError):
        return type(error)(error.what, error.why, error.mend, error.place or place)
    return ProgramError(
        f"the program raised {type(error).__name__}: {error}", "plain Python failed in a scan", place=place
    )
