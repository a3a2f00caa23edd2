"""A program, block or function alone on a table: inputs by time, outputs by scan, compared with what is expected.

Reading and writing tables is table_file.py. No plant, no wiring: values go straight into variables. Rule: values hold
until the next row; a row counts from the first scan at or after its time.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from simplant.blocks import BlockType
from simplant.blocks.steps import STEP
from simplant.errors import SimplantError, UsageError, nearest
from simplant.expr import NOW
from simplant.kernel.executable import Executable
from simplant.logic.compile import compile_task
from simplant.logic.layout import Layout
from simplant.timebase import Ns
from simplant.values import TIME, ElementaryType, Value


@dataclass(frozen=True, slots=True)
class Column:
    """A variable on the table: its type, and how its values are read and shown.

    Args:
        name: as declared.
        type: what it holds.
        words: names of its values, if it is an enumeration or a chart: name -> value.
        long: it is an LDATE, LTOD or LDT, which is written so.
    """

    name: str
    type: ElementaryType
    words: Mapping[str, int] = field(default_factory=dict)
    long: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """The values of some columns from an instant on."""

    time: Ns
    values: Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class Difference:
    """The first value that is not as expected."""

    time: Ns
    column: Column
    expected: Value
    found: Value


@dataclass(frozen=True, slots=True)
class Bench:
    """What runs.

    Args:
        layouts: one for each task, by priority.
        columns: every variable by its name.
        inputs, outputs: names of what is given and what comes out.
        timers: timer instances, whose ET is computed.
        constants: what is named and never changes, with its value; it is only shown.
        programs: program instances, whose variables need not be named with them where only one has such a name.
    """

    layouts: Sequence[Layout]
    columns: Mapping[str, Column]
    inputs: Sequence[str]
    outputs: Sequence[str]
    timers: Mapping[str, BlockType] = field(default_factory=dict)
    programs: Sequence[str] = ()
    constants: Mapping[str, tuple[Column, Value]] = field(default_factory=dict)

    def column(self, name: str) -> Column:
        """Find a variable, letter case not counting; raises `UsageError` with the nearest names."""
        found = [c for c in (self._column(_plain(n)) for n in (name, *(f"{p}.{name}" for p in self.programs))) if c]
        if len(found) > 1 and _plain(found[0].name) != _plain(name):
            raise UsageError(f"several programs have a variable {name!r}", mend=", ".join(c.name for c in found))
        if found:
            return found[0]
        short = dict.fromkeys(n.partition(".")[2] if n.partition(".")[0] in self.programs else n for n in self.columns)
        told = [n for n in short if "." not in n or "." in name]  # fields of a block only beside a field
        raise UsageError(f"there is no variable {name!r}", mend=nearest(name, told))

    def _column(self, wanted: str) -> Column | None:
        for known, column in self.columns.items():
            if _plain(known) == wanted:
                return column
        for known, (constant, _) in self.constants.items():
            if _plain(known) == wanted:
                return constant
        for known, block in self.timers.items():
            time = "T" if block is STEP else "ET"
            if wanted == f"{_plain(known)}.{time}":
                return Column(f"{known}.{time}", TIME)
        return None


def _plain(name: str) -> str:
    return name.upper().replace(" ", "")


@dataclass(slots=True)
class _Task:
    """One task on the table."""

    executable: Executable
    period: Ns
    names: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        self.names = tuple(slot.name for slot in self.executable.slots)


def run_table(
    bench: Bench, rows: Sequence[Row], scan: Ns, until: Ns, compiled: Callable[[Layout], Executable] = compile_task
) -> Iterator[tuple[Ns, dict[str, Value]]]:
    """Run on a table of inputs.

    Args:
        bench: what runs.
        rows: inputs, in order of time.
        scan: period of tasks that have none of their own.
        until: the last instant at which a scan may begin.
        compiled: makes a task run; the walker does as well.

    Yields:
        Each instant at which any task ran, and all values after it (the same dictionary every time).

    Raises:
        SimplantError: a scan failed; its text says when.
    """
    tasks = [_Task(compiled(layout), layout.period or scan) for layout in bench.layouts]
    given = [name for task in tasks for name in task.executable.inputs]
    values: dict[str, Value] = {name: bench.columns[name].type.default for name in given}
    for task in tasks:
        values.update((slot.name, slot.initial) for slot in task.executable.slots)
    held: dict[str, Value] = {}
    following, now = 0, 0
    while now <= until:
        while following < len(rows) and rows[following].time <= now:
            held.update(rows[following].values)
            following += 1
        values.update(held)
        values[NOW] = now
        for task in tasks:
            if now % task.period == 0:
                _scan(task, values, Ns(now))
        yield Ns(now), values
        now = min(now - now % task.period + task.period for task in tasks)


def _scan(task: _Task, values: dict[str, Value], now: Ns) -> None:
    executable = task.executable
    inputs = tuple(values[name] for name in executable.inputs)
    state = tuple(values[name] for name in task.names)
    try:
        after, _ = executable.run(inputs, state, now)
    except SimplantError as error:
        raise type(error)(error.what, error.why, error.mend, error.place) from error
    values.update(zip(task.names, after, strict=True))


def look(values: Mapping[str, Value], column: Column, bench: Bench) -> Value:
    """Give what a column shows now."""
    if column.name in bench.constants:
        return bench.constants[column.name][1]
    path, _, last = column.name.rpartition(".")
    block = bench.timers.get(path) if last in ("ET", "T") else None
    if block is None or block.elapsed is None:
        return values[column.name]
    state = block.state(*(values[f"{path}.{f.name}"] for f in block.stored))
    return block.elapsed(state, Ns(int(values[NOW])))


def first_difference(
    bench: Bench, found: Iterator[tuple[Ns, dict[str, Value]]], expected: Sequence[Row]
) -> Difference | None:
    """Compare a run with what is expected; a value that is not given is not looked at."""
    held: dict[str, Value] = {}
    columns = {name: bench.column(name) for row in expected for name in row.values}
    following = 0
    for now, values in found:
        while following < len(expected) and expected[following].time <= now:
            held = {**held, **expected[following].values}
            following += 1
        for name, wanted in held.items():
            there = look(values, columns[name], bench)
            if there != wanted:
                return Difference(now, columns[name], wanted, there)
    return None
