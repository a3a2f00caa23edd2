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
    """What an input is joined to: a node by number, and the output pin of a block (empty: the only output there is)."""

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
class RightRail:
    """The right power rail, with all that ends there; it does nothing."""

    number: int
    place: Place
    input: Input


@dataclass(frozen=True, slots=True)
class Remark:
    """A comment in the drawing."""

    number: int
    place: Place
    text: str


@dataclass(frozen=True, slots=True)
class Source:
    """A value that goes into the network."""

    number: int
    place: Place
    value: Expression
    negated: bool = False
    edge: Edge = Edge.NONE


@dataclass(frozen=True, slots=True)
class Sink:
    """A variable that the network gives its value to; a wire from here goes on with that variable."""

    number: int
    place: Place
    target: Access
    input: Input
    order: int | None = None


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
    order: int | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """A function (no instance) or a function block; `order`: the number that the drawing gives its evaluation."""

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
    order: int | None = None


@dataclass(frozen=True, slots=True)
class Return:
    """Leave the program unit, where the input is TRUE."""

    number: int
    place: Place
    input: Input
    order: int | None = None


Actor = Sink | Coil | Block | Jump | Return
"""What is evaluated for what it does, once each time its network is."""

Node = Rail | RightRail | Remark | Source | Contact | Connector | Continuation | Label | Actor


@dataclass(frozen=True, slots=True)
class Graph:
    """The body of a program unit as a graph; its nodes as drawn, from top to bottom, then from left to right."""

    place: Place
    nodes: tuple[Node, ...]


def inputs_of(node: Node) -> tuple[Input, ...]:
    """Give the input pins of a node."""
    match node:
        case Block():
            return (*node.inputs, *node.in_outs)
        case Rail() | Remark() | Source() | Continuation() | Label():
            return ()
        case _:
            return (node.input,)
