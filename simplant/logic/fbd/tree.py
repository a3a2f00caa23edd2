"""The source form of a body that is a graph: blocks, contacts, coils, variables, joined at numbered connection points.

It comes from IEC 61131-10 and TC6 XML; a rung that is series and parallel only is better held as ladder/tree.py. What
it does has a file of its own beside this one. Rule: plain frozen data; every node keeps its local number and place.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from simplant.errors import Place
from simplant.logic.ladder.tree import Action, Sense
from simplant.logic.st.tree import Access, Expression


@dataclass(frozen=True, slots=True)
class Wire:
    """What an input is joined to: a node by number, and its output pin (empty: the only one)."""

    node: int
    pin: str = ""


class Edge(Enum):
    """Edge detection at a pin."""

    NONE = ""
    RISING = "rising"
    FALLING = "falling"


@dataclass(frozen=True, slots=True)
class Input:
    """An input pin: the wires that meet there (several: OR, as in ladder), negated, at an edge."""

    name: str
    wires: tuple[Wire, ...]
    negated: bool = False
    edge: Edge = Edge.NONE


@dataclass(frozen=True, slots=True)
class Output:
    """An output pin."""

    name: str
    negated: bool = False


@dataclass(frozen=True, slots=True)
class Rail:
    """The left power rail: TRUE."""

    number: int
    place: Place


@dataclass(frozen=True, slots=True)
class Source:
    """A value that goes into the network."""

    number: int
    place: Place
    value: Expression
    negated: bool = False


@dataclass(frozen=True, slots=True)
class Sink:
    """A variable that the network gives its value to."""

    number: int
    place: Place
    target: Access
    input: Input


@dataclass(frozen=True, slots=True)
class Contact:
    """A contact in the line of power."""

    number: int
    place: Place
    sense: Sense
    operand: Access
    input: Input


@dataclass(frozen=True, slots=True)
class Coil:
    """A coil."""

    number: int
    place: Place
    action: Action
    target: Access
    input: Input


@dataclass(frozen=True, slots=True)
class Block:
    """A function (no instance) or a function block."""

    number: int
    place: Place
    type: str
    instance: str
    inputs: tuple[Input, ...]
    in_outs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    order: int | None = None


@dataclass(frozen=True, slots=True)
class Connector:
    """A named end of a wire that goes on at each `Continuation` of that name."""

    number: int
    place: Place
    name: str
    input: Input


@dataclass(frozen=True, slots=True)
class Continuation:
    """Where the wire of a connector goes on."""

    number: int
    place: Place
    name: str


@dataclass(frozen=True, slots=True)
class Label:
    """A place to jump to."""

    number: int
    place: Place
    name: str


@dataclass(frozen=True, slots=True)
class Jump:
    """Go on at a label, where the input is TRUE."""

    number: int
    place: Place
    label: str
    input: Input


@dataclass(frozen=True, slots=True)
class Return:
    """Leave the program unit, where the input is TRUE."""

    number: int
    place: Place
    input: Input


Node = Rail | Source | Sink | Contact | Coil | Block | Connector | Continuation | Label | Jump | Return


@dataclass(frozen=True, slots=True)
class Graph:
    """The body of a program unit as a graph: networks in drawn order, nodes as evaluated or drawn."""

    place: Place
    nodes: tuple[Node, ...]
