"""A control program written in Python: the tags it may use and its rungs, blocks, charts in order.

The source forms it collects are nodes.py; sequences are sequence.py, what it hands back handles.py. What is
written first runs first in a scan. Rule: whatever can be checked when a line is written is checked there, at its
place.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, Final

from simplant.blocks import BLOCKS, BlockType
from simplant.errors import ProgramError, nearest
from simplant.expr import Assignment, Expr, Ref, of_type
from simplant.logic.handles import AlarmHandle, BlockHandle, TagNames
from simplant.logic.lower import FIRST_SCAN, first_out_ref, overtime_ref
from simplant.logic.machines import Machine, table_of
from simplant.logic.nodes import (
    Alarm,
    AlarmTable,
    Call,
    Coil,
    Instance,
    Move,
    Opaque,
    Rung,
    Source,
    Step,
    TaskBody,
)
from simplant.logic.sequence import Sequence_, rows_of, steps_of
from simplant.place import written_at
from simplant.tags import Direction, Tag
from simplant.timebase import Ns
from simplant.values import BOOL, INT, TIME, ElementaryType, Value


class Program:
    """A control program.

    Args:
        name: for people and files.
        tags: inputs and outputs, from the I/O list.
    """

    def __init__(self, name: str, tags: Iterable[Tag]) -> None:
        self.name: Final = name
        self.declared: Final[dict[str, Tag]] = {tag.name: tag for tag in tags}
        self.tags: Final = TagNames(self.declared.values())
        self.instances: Final[dict[str, Instance]] = {}
        self.charts: Final[dict[str, Sequence_]] = {}
        self.alarm_tables: Final[list[AlarmTable]] = []
        self.free_running: Final[set[str]] = set()
        self._tasks: Final[dict[str, tuple[Ns | None, int, list[Source]]]] = {"main": (None, 1, [])}
        self._task = "main"

    @property
    def tasks(self) -> tuple[TaskBody, ...]:
        """The tasks that have anything to do, in declared order."""
        return tuple(TaskBody(n, tuple(body), period, prio) for n, (period, prio, body) in self._tasks.items() if body)

    @property
    def memories(self) -> TagNames:
        """The program's own memory tags, by attribute or by name, for rules and checks."""
        return TagNames(t for t in self.declared.values() if t.direction is Direction.MEMORY and "." not in t.name)

    def sources(self) -> Iterator[Source]:
        """Give every source node of every task, in order."""
        for task in self.tasks:
            yield from task.body

    @contextmanager
    def task(self, name: str, *, period: Ns, priority: int = 1) -> Iterator[None]:
        """Write what follows into a task of its own; a lower number is a higher priority."""
        before = self._task
        self._tasks.setdefault(name, (period, priority, []))
        self._task = name
        try:
            yield
        finally:
            self._task = before

    def add(self, source: Source) -> None:
        """Append a source node to the present task (the methods below do this)."""
        self._tasks[self._task][2].append(source)

    def next_id(self, kind: str) -> str:
        """Give an id for a new source node: task, kind and number."""
        return f"{self._task}/{kind}{len(self._tasks[self._task][2]) + 1}"

    def declare(self, tag: Tag) -> Ref:
        """Declare a tag of the program's own; raises `ProgramError` if the name is taken."""
        self._check_free(tag.name)
        self.declared[tag.name] = tag
        return Ref(tag.name, tag.type)

    def _check_free(self, name: str) -> None:
        if name in self.declared or name in self.instances or name in self.charts:
            raise ProgramError(f"the name {name!r} is already taken", mend="choose another name", place=written_at())

    def memory(
        self,
        name: str,
        type_: ElementaryType = BOOL,
        *,
        initial: Value | None = None,
        retain: bool = False,
        free_running: bool = False,
        description: str = "",
    ) -> Ref:
        """Declare a memory tag. `free_running`: a heartbeat, excepted from the race check."""
        if free_running:
            self.free_running.add(name)
        return self.declare(
            Tag(
                name,
                type_,
                Direction.MEMORY,
                initial=initial,
                retain=retain,
                description=description,
                place=written_at(),
            )
        )

    @property
    def first_scan(self) -> Ref:
        """TRUE in the first scan after a start."""
        return FIRST_SCAN

    # rungs

    def rung(self, target: Ref, condition: Expr, comment: str = "") -> Ref:
        """`condition` drives the coil `target`."""
        return self._rung(Coil.PLAIN, target, condition, comment)

    def let(self, name: str, condition: Expr, comment: str = "") -> Ref:
        """Name a condition: declare a BOOL memory tag and drive it by a rung, here; `comment` is told with both."""
        return self.rung(self.memory(name, description=comment), condition, comment)

    def set(self, target: Ref, when: Expr, comment: str = "") -> Ref:
        """Set coil: `target` becomes TRUE where `when` holds, and stays."""
        return self._rung(Coil.SET, target, when, comment)

    def reset(self, target: Ref, when: Expr, comment: str = "") -> Ref:
        """Reset coil: `target` becomes FALSE where `when` holds, and stays."""
        return self._rung(Coil.RESET, target, when, comment)

    def _rung(self, coil: Coil, target: Ref, condition: Expr, comment: str) -> Ref:
        self._check_target(target)
        self.add(Rung(self.next_id("rung"), written_at(), target, of_type(condition, BOOL), coil, comment))
        return target

    def move(self, *assignments: Assignment, when: Expr | None = None, comment: str = "") -> None:
        """Do assignments (`count.becomes(count + 1)`), in order, where `when` holds or always."""
        for assignment in assignments:
            self._check_target(assignment.target)
        self.add(Move(self.next_id("move"), written_at(), assignments, when, comment))

    def _check_target(self, target: Ref) -> None:
        tag = self.declared.get(target.name)
        if tag is not None and tag.direction is Direction.INPUT:
            raise ProgramError(
                f"{target.name} is an input and cannot be written",
                mend="write to an output or memory",
                place=written_at(),
            )

    # blocks

    def block(self, name: str, kind: str | BlockType) -> BlockHandle:
        """Declare a block instance without calling it yet (`kind`: "TON", "CTU", or a block of one's own)."""
        self._check_free(name)
        if isinstance(kind, str) and kind not in BLOCKS:
            raise ProgramError(f"there is no block {kind!r}", mend=nearest(kind, BLOCKS), place=written_at())
        block = BLOCKS[kind] if isinstance(kind, str) else kind
        instance = Instance(name, block, written_at())
        self.instances[name] = instance
        return BlockHandle(instance)

    def call(self, handle: BlockHandle, *, when: Expr | None = None, **inputs: object) -> BlockHandle:
        """Call a block instance here; inputs left out keep their last values."""
        fields = {f.name: f.type for f in handle.instance.block.inputs}
        for name in inputs:
            if name not in fields:
                raise ProgramError(
                    f"{handle.instance.block.name} has no input {name!r}",
                    mend=nearest(name, fields),
                    place=written_at(),
                )
        arguments = {name: of_type(value, fields[name]) for name, value in inputs.items()}
        self.add(Call(self.next_id("call"), written_at(), handle.instance, arguments, when))
        return handle

    def ton(self, name: str, condition: Expr, preset: object) -> BlockHandle:
        """Declare and call an on-delay: Q once `condition` has held for `preset`."""
        return self.call(self.block(name, "TON"), IN=condition, PT=preset)

    def tof(self, name: str, condition: Expr, preset: object) -> BlockHandle:
        """Declare and call an off-delay: Q until `condition` has been false for `preset`."""
        return self.call(self.block(name, "TOF"), IN=condition, PT=preset)

    def tp(self, name: str, condition: Expr, preset: object) -> BlockHandle:
        """Declare and call a pulse timer: a rising edge of `condition` gives Q for exactly `preset`."""
        return self.call(self.block(name, "TP"), IN=condition, PT=preset)

    def rising(self, name: str, condition: Expr) -> Expr:
        """Declare and call an R_TRIG; gives its Q: TRUE for the one scan of a rising edge."""
        return self.call(self.block(name, "R_TRIG"), CLK=condition).Q

    def falling(self, name: str, condition: Expr) -> Expr:
        """Declare and call an F_TRIG; gives its Q: TRUE for the one scan of a falling edge."""
        return self.call(self.block(name, "F_TRIG"), CLK=condition).Q

    # sequences, alarms, plain Python

    def sequence(
        self, name: str, steps: Iterable[Step | str | Mapping[str, Any]], *, initial: str = "", retain: bool = False
    ) -> Sequence_:
        """Declare a sequence by its steps; its transitions (and its place in the scan) come with `.transitions`."""
        self._check_free(name)
        place = written_at()
        listed = steps_of(steps, place)
        for step in listed:
            for action in (*step.entry, *step.exit, *step.during):
                self._check_target(action.target)
        sequence = Sequence_(self, name, listed, initial or listed[0].name, place, retain=retain)
        self.charts[name] = sequence
        for step in listed:
            if step.limit is not None:
                self.declared[overtime_ref(name, step.name).name] = _internal(overtime_ref(name, step.name).name, BOOL)
        return sequence

    def sequence_from(self, name: str, machine: Machine, *, retain: bool = False) -> Sequence_:
        """Take over a `transitions` Machine of one's own as a sequence; it runs at this place of the scan.

        Its conditions must be Boolean expressions, its `on_enter`, `on_exit` and `before` assignments
        (`tag.becomes(...)`), its `auto_transitions` off; what its triggers are called does not matter. The Machine is
        read here and never fired.

        Raises:
            ProgramError: it does what a scan cannot do (`machines.table_of` lists it), or holds plain functions.
        """
        states, initial, rows = table_of(machine)
        sequence = self.sequence(name, states, initial=initial, retain=retain)
        sequence.transitions(rows)
        return sequence

    def alarms(self, name: str, reset: Expr, rows: Sequence[Alarm]) -> AlarmHandle:
        """Declare a table of latched alarms with one first-out; it is worked through here, from top to bottom.

        Each alarm becomes a memory tag of its name: TRUE from its cause until `reset` finds the cause gone.

        Returns:
            The results: `.first_out`, `.any`, and each alarm by name. Only what is written below the table can name
            them, so it acts on an alarm in the scan of its cause.

        Raises:
            ProgramError: a name is taken, or is `any` or `first_out`.
        """
        for row in rows:
            if row.name in ("any", "first_out", "table"):
                mend = "choose another name"
                raise ProgramError(f"an alarm cannot be named {row.name!r}", "its table uses it", mend, written_at())
            self.memory(row.name, description=row.text)
        table = AlarmTable(self.next_id("alarms"), written_at(), name, tuple(rows), of_type(reset, BOOL))
        self.memory(first_out_ref(name).name, INT, description=f"first-out of {name}")
        self.alarm_tables.append(table)
        self.add(table)
        return AlarmHandle(table)

    def python(self, function: Callable[..., object], *, reads: Sequence[Ref], writes: Sequence[Ref]) -> None:
        """Call plain Python each scan: gets the values of `reads`, returns those of `writes` (a tuple, or one value).

        It is simulated, but cannot be printed, covered or exported, and the program never sleeps.
        """
        self.add(Opaque(self.next_id("python"), written_at(), function, tuple(reads), tuple(writes)))


def _internal(name: str, type_: ElementaryType) -> Tag:
    """Make a tag whose name no user can write (it has a dot)."""
    tag = Tag("internal", type_)
    object.__setattr__(tag, "name", name)
    return tag


def since_tag(chart: str) -> Tag:
    """Make the tag that holds when a chart's step was entered."""
    return _internal(f"{chart}.since", TIME)


__all__ = ["AlarmHandle", "BlockHandle", "Program", "TagNames", "rows_of", "since_tag"]
