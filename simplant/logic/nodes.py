"""The source forms of a control program: rungs, block calls, charts, alarm tables, plain Python.

What they lower to is core.py; how they are written in Python is program.py and sequence.py.
Rule: plain data, each with an id and the place it was written, checked by check/ and never run.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum

from simplant.blocks import BlockType
from simplant.errors import Place
from simplant.expr import Assignment, Expr, Ref
from simplant.timebase import Ns


class Coil(Enum):
    """What a rung does with its power flow (IEC 61131-3, coils of ladder diagrams)."""

    PLAIN = "( )"
    NEGATED = "(/)"
    SET = "(S)"
    RESET = "(R)"


@dataclass(frozen=True, slots=True)
class Rung:
    """`condition` drives `target`."""

    id: str
    place: Place
    target: Ref
    condition: Expr
    coil: Coil = Coil.PLAIN
    comment: str = ""


@dataclass(frozen=True, slots=True)
class Move:
    """Assignments, done where `when` holds (or always)."""

    id: str
    place: Place
    assignments: tuple[Assignment, ...]
    when: Expr | None = None
    comment: str = ""


@dataclass(frozen=True, slots=True)
class Instance:
    """A block instance: its name and type."""

    name: str
    block: BlockType
    place: Place


@dataclass(frozen=True, slots=True)
class Call:
    """One call of a block instance; inputs left out keep their values. `when`: called only there (rarely right)."""

    id: str
    place: Place
    instance: Instance
    arguments: Mapping[str, Expr]
    when: Expr | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a sequence.

    Args:
        name: unique in its chart.
        drive: Boolean tags that are TRUE while a step that drives them is active, FALSE otherwise.
        entry, exit: assignments done in the scan that enters or leaves.
        during: assignments done in every scan in which the step is active, after the transitions.
        limit: longest time in the step; when it is reached the chart goes to `on_limit`.
        on_limit: the step to go to; None with a limit: only `overtime` is raised.
        description: for people.
    """

    name: str
    drive: tuple[Ref, ...] = ()
    entry: tuple[Assignment, ...] = ()
    exit: tuple[Assignment, ...] = ()
    during: tuple[Assignment, ...] = ()
    limit: Ns | None = None
    on_limit: str | None = None
    description: str = ""


@dataclass(frozen=True, slots=True)
class Transition:
    """One ordered row of a chart: from `source`, where `guard` holds, to `dest`."""

    id: str
    place: Place
    source: str
    dest: str
    guard: Expr
    actions: tuple[Assignment, ...] = ()


@dataclass(frozen=True, slots=True)
class Chart:
    """A sequence: one step active; at most one transition a scan; guards tried in written order."""

    id: str
    place: Place
    name: str
    initial: str
    steps: tuple[Step, ...]
    transitions: tuple[Transition, ...]
    retain: bool = False

    def step(self, name: str) -> Step:
        """Give a step by name."""
        return next(s for s in self.steps if s.name == name)

    @property
    def names(self) -> tuple[str, ...]:
        """The step names in declared order: their numbers in the chart's tag."""
        return tuple(s.name for s in self.steps)


@dataclass(frozen=True, slots=True)
class Alarm:
    """One row of an alarm table: latched from `cause` until reset, and only once the cause is gone."""

    name: str
    cause: Expr
    text: str
    action: str = ""


@dataclass(frozen=True, slots=True)
class AlarmTable:
    """Alarms with one first-out: the number of the alarm that came first, kept until all are reset."""

    id: str
    place: Place
    name: str
    alarms: tuple[Alarm, ...]
    reset: Expr


@dataclass(frozen=True, slots=True)
class Opaque:
    """A plain Python function of `reads` giving new values for `writes`: simulated, but it cannot be printed."""

    id: str
    place: Place
    function: Callable[..., object]
    reads: tuple[Ref, ...]
    writes: tuple[Ref, ...]


Source = Rung | Move | Call | Chart | AlarmTable | Opaque


@dataclass(frozen=True, slots=True)
class TaskBody:
    """What one task runs: its source nodes in order. Period and the like of None are the controller's own."""

    name: str
    body: tuple[Source, ...]
    period: Ns | None = None
    priority: int = 1
    declared: Mapping[str, Instance] = field(default_factory=dict)
