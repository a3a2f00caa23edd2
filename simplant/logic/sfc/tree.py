"""The source form of a sequential function chart: steps, transitions between sets of steps, named actions.

Reading it from text, printing it, and what it does each have a file of their own beside this one. Rule: plain frozen
data; a chart with several active steps at once is one of these, never the one-step charts of ../nodes.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simplant.errors import Place
from simplant.logic.st.tree import Access, Expression

if TYPE_CHECKING:
    from simplant.logic.st.declared import Body


@dataclass(frozen=True, slots=True)
class Association:
    """An action block of a step: which action (or Boolean variable), how, for how long.

    Args:
        place: where it was written.
        action: name of an action of this chart, or of a Boolean variable.
        qualifier: N, R, S, L, D, P, P0, P1, SD, DS or SL (IEC 61131-3, qualifiers of actions).
        time: of the qualifiers with one.
        indicators: variables that the action is said to work on; for people.
    """

    place: Place
    action: Access
    qualifier: str = "N"
    time: Expression | None = None
    indicators: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """A step, with its action blocks in written order."""

    place: Place
    name: str
    initial: bool = False
    actions: tuple[Association, ...] = ()


@dataclass(frozen=True, slots=True)
class Transition:
    """From all of `sources` to all of `targets`, where the condition holds.

    Args:
        place: where it was written.
        name: empty if it has none.
        sources, targets: names of steps; several are a simultaneous convergence or divergence.
        condition: what lets it fire.
        priority: the lower number goes first of those that leave one step; None: as written, after those with one.
    """

    place: Place
    name: str
    sources: tuple[str, ...]
    targets: tuple[str, ...]
    condition: Expression
    priority: int | None = None


@dataclass(frozen=True, slots=True)
class Action:
    """A named action with a body of its own."""

    place: Place
    name: str
    body: Body


@dataclass(frozen=True, slots=True)
class Chart:
    """The body of a program unit as a chart."""

    place: Place
    steps: tuple[Step, ...]
    transitions: tuple[Transition, ...]
    actions: tuple[Action, ...] = ()
