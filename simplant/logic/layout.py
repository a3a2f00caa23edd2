"""Where each value of a program lives: inputs, slots, outputs, shared tags, one layout per task.

Compiler and walker both run on it, so their states can be compared slot by slot. Rule: every
value that a scan may read before writing it has a slot (first sentence of the sleeping scan).
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from simplant.blocks import BlockType
from simplant.errors import ProgramError
from simplant.expr.places import Home
from simplant.kernel.executable import Slot
from simplant.logic.carried import carried
from simplant.logic.check.findings import Finding
from simplant.logic.core import (
    Assign,
    Branch,
    Copy,
    Core,
    Invoke,
    Leave,
    Locate,
    Loop,
    Perform,
    PythonCall,
    Row,
    Stamp,
    Store,
)
from simplant.logic.lower import FIRST_SCAN, lower_task, overtime_ref, since_ref
from simplant.logic.names import expressions, nodes, read_names
from simplant.logic.nodes import Instance
from simplant.logic.program import Program
from simplant.logic.sfc.tree import Chart
from simplant.tags import Direction, Tag
from simplant.timebase import Ns
from simplant.values import TIME, ElementaryType, Value


@dataclass(frozen=True, slots=True)
class Layout:
    """One task, ready to be compiled or walked.

    `carried` are the slots that a scan reads before writing (carried.py); `passing` the hidden values that it writes
    before reading, which are no state at all: mostly inputs of blocks. `types` gives the type of every name, `blocks`
    the block type of every instance it calls or reads.
    """

    task: str
    period: Ns | None
    priority: int
    core: tuple[Core, ...]
    inputs: tuple[str, ...]
    slots: tuple[Slot, ...]
    outputs: tuple[int, ...]
    shared: tuple[int, ...]
    carried: tuple[int, ...]
    passing: tuple[Slot, ...]
    types: dict[str, ElementaryType]
    blocks: dict[str, BlockType]
    restless: str
    rows: tuple[tuple[str, int], ...] = ()
    """Names that hold a row of values, and how many: the last slots, in this order."""
    own_rows: tuple[tuple[str, tuple[Value, ...]], ...] = ()
    """Rows that a scan makes for itself, and what they hold when it begins."""
    memory: tuple[Home, ...] | None = None
    """Rows that references lead to, in one order for all tasks; None: there are no references."""


class Prepared(Program):
    """A program whose tasks come laid out: written in Structured Text (st/prepared.py), not in Python.

    Args:
        name: for people and files.
        tags: inputs and outputs from the I/O list, and the program's own variables.
        laid: one layout for each task.
        findings: what its reader has to say.

    Attributes:
        hidden: names of variables that lowering a drawing made.
        charts_of_units: bodies that are charts with several active steps, by the name of their unit.
    """

    def __init__(self, name: str, tags: Iterable[Tag], laid: Iterable[Layout], findings: Iterable[Finding]) -> None:
        super().__init__(name, tags)
        self.laid = tuple(laid)
        self.findings = tuple(findings)
        self.charts_of_units: Mapping[str, Chart] = {}
        self.hidden: frozenset[str] = frozenset()


def layouts(program: Program) -> list[Layout]:
    """Lay out every task of a program.

    Raises:
        ProgramError: a name is used that is not declared, or a sequence was declared without transitions.
    """
    if isinstance(program, Prepared):
        return list(program.laid)
    for chart in program.charts.values():
        if chart.chart is None:
            raise ProgramError(
                f"sequence {chart.name!r} has steps but no transitions",
                mend="call .transitions([...])",
                place=chart.place,
            )
    steps = {name: tuple(chart.steps) for name, chart in program.charts.items()}
    cores = {task.name: lower_task(task.body, steps) for task in program.tasks}
    used = {name: frozenset(_whole_blocks(program, _names(core))) for name, core in cores.items()}
    written = {name: frozenset(written_names(core)) for name, core in cores.items()}
    return [_layout(program, t.name, t.period, t.priority, cores, used, written) for t in program.tasks]


def _layout(
    program: Program,
    task: str,
    period: Ns | None,
    priority: int,
    cores: dict[str, tuple[Core, ...]],
    used: dict[str, frozenset[str]],
    written: dict[str, frozenset[str]],
) -> Layout:
    mine = used[task]
    others = frozenset().union(*(names for other, names in used.items() if other != task))
    tags = {name: tag for name, tag in program.declared.items() if name in mine}
    inputs = tuple(name for name, tag in tags.items() if tag.direction is Direction.INPUT)
    kept = frozenset(_whole_blocks(program, carried(cores[task]), only="ET"))
    values = [s for s in _slots(program, mine) if s.name not in inputs]
    outputs = {name for name, tag in tags.items() if tag.direction is Direction.OUTPUT and name in written[task]}
    crossing = mine & others - {FIRST_SCAN.name}
    slots = _in_order((s for s in values if s.shown or s.name in kept | crossing), kept)
    types = {name: tag.type for name, tag in tags.items()} | {s.name: _slot_type(program, s.name) for s in values}
    unknown = mine - set(types)
    if unknown:
        raise ProgramError(
            f"{sorted(unknown)[0]!r} is used but not declared", mend="declare it with program.memory(...)"
        )
    return Layout(
        task,
        period,
        priority,
        cores[task],
        inputs,
        slots,
        tuple(n for n, s in enumerate(slots) if s.name in outputs),
        tuple(n for n, s in enumerate(slots) if s.name in crossing),
        tuple(n for n, s in enumerate(slots) if s.name in kept),
        tuple(s for s in values if not s.shown and s.name not in kept | crossing),
        types,
        {name: instance.block for name, instance in program.instances.items() if f"{name}.{_first(instance)}" in mine},
        _restless(cores[task]),
    )


def _in_order(slots: Iterable[Slot], kept: frozenset[str]) -> tuple[Slot, ...]:
    """Put what the trace shows first, and what is carried from scan to scan side by side: each is one slice."""
    return tuple(sorted(slots, key=lambda s: (not s.shown, (s.name in kept) is s.shown)))


def _first(instance: Instance) -> str:
    return instance.block.stored[0].name


def _whole_blocks(program: Program, names: Iterable[str], only: str = "") -> Iterator[str]:
    """Give the names; for one field of a block (`only` this one, if given) all that it stores: ET is made of them."""
    for name in names:
        head, _, field = name.partition(".")
        if field and head in program.instances and only in ("", field):
            yield from (f"{head}.{f.name}" for f in program.instances[head].block.stored)
        else:
            yield name


def _restless(core: Iterable[Core]) -> str:
    for node in nodes(core):
        if isinstance(node, PythonCall):
            return f"plain Python at {node.origin.place}"
    return ""


def _slots(program: Program, used: frozenset[str]) -> Iterator[Slot]:
    """Give all stored values in use: first what the trace shows, then the inner ones."""
    first_outs = {f"{t.name}_first_out": ("none", *(a.name for a in t.alarms)) for t in program.alarm_tables}
    for name, tag in program.declared.items():
        if name in used and tag.direction is not Direction.INPUT and "." not in name:
            assert tag.initial is not None, "a tag always has an initial value"
            yield Slot(name, tag.initial, tag.retain, words=first_outs.get(name, ()))
    for name, chart in program.charts.items():
        if name in used:
            names = tuple(chart.steps)
            yield Slot(name, names.index(chart.initial), chart.retain, words=names)
    yield from _inner(program, used)


def _inner(program: Program, used: frozenset[str]) -> Iterator[Slot]:
    for name, chart in program.charts.items():
        if since_ref(name).name in used:
            yield Slot(since_ref(name).name, 0, shown=False)
        overtimes = (overtime_ref(name, step).name for step in chart.steps)
        yield from (Slot(overtime, initial=False, shown=False) for overtime in overtimes if overtime in used)
    for name, instance in program.instances.items():
        if f"{name}.{_first(instance)}" in used:
            for field in instance.block.stored:
                yield Slot(f"{name}.{field.name}", field.initial, shown=False)
    if FIRST_SCAN.name in used:
        yield Slot(FIRST_SCAN.name, initial=True, shown=False)


def _slot_type(program: Program, name: str) -> ElementaryType:
    if name in program.declared:
        return program.declared[name].type
    if name == FIRST_SCAN.name:
        return FIRST_SCAN.type
    head, _, field = name.partition(".")
    if head in program.instances:
        return next(f.type for f in program.instances[head].block.stored if f.name == field)
    return program.charts[head].number.type if not field else TIME


def written_names(core: Iterable[Core]) -> Iterator[str]:
    """Give every name that some node writes."""
    for node in nodes(core):
        match node:
            case Assign() | Stamp():
                yield node.target
            case Invoke():
                yield from (f"{node.instance}.{f.name}" for f in node.block.stored)
            case PythonCall():
                yield from node.writes
            case Store() | Copy():
                yield node.target
            case Perform():
                yield from node.results
                yield from (a.name for a in node.arguments if isinstance(a, Row))
            case Branch() | Loop() | Leave() | Locate():  # what references lead to is known to st/tasks.py
                pass


def _names(core: tuple[Core, ...]) -> Iterator[str]:
    yield from written_names(core)
    for node in nodes(core):
        for expression in expressions(node):
            yield from read_names(expression)
        if isinstance(node, PythonCall):
            yield from node.reads
