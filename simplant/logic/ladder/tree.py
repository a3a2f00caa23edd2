"""The source form of a ladder body: rungs of contacts in series and parallel, coils, blocks, jumps.

Reading it from a drawing, drawing it, and what it does each have a file of their own beside this one. Rule: plain
frozen data; every element keeps the place in the drawing where it stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from simplant.errors import Place
from simplant.logic.st.tree import Access, Expression


class Sense(Enum):
    """What a contact looks at (IEC 61131-3, contacts of ladder diagrams)."""

    OPEN = "| |"
    CLOSED = "|/|"
    RISING = "|P|"
    FALLING = "|N|"


class Action(Enum):
    """What a coil does with the power that reaches it (IEC 61131-3, coils of ladder diagrams)."""

    PLAIN = "( )"
    NEGATED = "(/)"
    SET = "(S)"
    RESET = "(R)"
    RISING = "(P)"
    FALLING = "(N)"


@dataclass(frozen=True, slots=True)
class Contact:
    """A test of one Boolean variable."""

    place: Place
    sense: Sense
    operand: Access


@dataclass(frozen=True, slots=True)
class Coil:
    """Drives one Boolean variable."""

    place: Place
    action: Action
    target: Access


@dataclass(frozen=True, slots=True)
class Pin:
    """One pin of a block that is not in the line of power: an input's value, or where an output goes."""

    place: Place
    name: str
    value: Expression | None = None
    target: Access | None = None
    inverted: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """A function or a function block in the rung; power enters at one pin and leaves at another.

    Args:
        place: of its type in the drawing.
        type: name of the function or of the function block's type.
        instance: name of the function block's instance; empty for a function.
        power_in: the pin that power reaches (IN, CLK, CU, EN ...); empty: none, and it stands at the left rail.
        power_out: the pin that power leaves from (Q, ENO ...); empty: none, and nothing follows it.
        pins: the other pins that are connected, inputs before outputs; the result of a function is its pin OUT.
    """

    place: Place
    type: str
    instance: str
    power_in: str
    power_out: str
    pins: tuple[Pin, ...] = ()


@dataclass(frozen=True, slots=True)
class Jump:
    """Go on at the rung with a label, where power reaches this."""

    place: Place
    label: str


@dataclass(frozen=True, slots=True)
class Return:
    """Leave the program unit, where power reaches this."""

    place: Place


@dataclass(frozen=True, slots=True)
class Series:
    """Elements one after the other, from left to right; none at all: a plain wire."""

    elements: tuple[Element, ...]


@dataclass(frozen=True, slots=True)
class Parallel:
    """Branches between the same two points, from top to bottom; they may end in coils at the right rail."""

    branches: tuple[Series, ...]


Element = Contact | Coil | Block | Jump | Return | Parallel


@dataclass(frozen=True, slots=True)
class Rung:
    """One rung between the rails: label (empty: none), comment, and what stands on it (nothing: no drawing at all)."""

    place: Place
    label: str
    comment: str
    line: Series


@dataclass(frozen=True, slots=True)
class Ladder:
    """The body of a program unit as rungs, done from top to bottom."""

    place: Place
    rungs: tuple[Rung, ...]


def elements(line: Series) -> Iterator[Element]:
    """Give everything on a line, each parallel before what stands in it: their numbers count so, from 0."""
    for element in line.elements:
        yield element
        if isinstance(element, Parallel):
            for branch in element.branches:
                yield from elements(branch)


def ends(line: Series) -> bool:
    """Say whether no power leaves a line at its right end: a jump, a return or a block without power out is there."""
    match line.elements[-1:]:
        case (Jump() | Return(),):
            return True
        case (Block() as block,):
            return not block.power_out
        case (Parallel() as parallel,):
            return all(ends(branch) for branch in parallel.branches)
        case _:
            return False
