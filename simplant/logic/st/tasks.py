"""Laying out what a Structured Text file runs: a configuration with its tasks, or one program, block or function alone.

Rule: every declared value has a slot, so that it can be looked at; what a scan makes only for itself has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from simplant.blocks import BLOCKS, BlockType
from simplant.errors import Place
from simplant.expr import Ref
from simplant.expr.places import Home
from simplant.kernel.executable import Slot
from simplant.logic.carried import carried
from simplant.logic.core import Branch, Core, Invoke
from simplant.logic.layout import Layout, written_names
from simplant.logic.st.calling_order import what_begins
from simplant.logic.st.connections import Connections, lost_settings, settings_of
from simplant.logic.st.declared import Configuration, ProgramInstance, Task
from simplant.logic.st.project import Project
from simplant.logic.st.references import led_to
from simplant.logic.st.report import fail
from simplant.logic.st.scope import Frame, Symbol, UnitInfo
from simplant.logic.st.statements import Statements
from simplant.logic.st.types import Array, Cell, Leaf, Scalar, Standard, Struct, StType, elementary, leaves
from simplant.tags import Direction, Tag
from simplant.timebase import Ns
from simplant.values import BOOL, DINT, TIME, Value

_KEPT = ("VAR", "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_EXTERNAL", "RESULT")
LAST = 1_000_000
"""Priority of programs that no task runs: after all tasks."""


@dataclass(slots=True)
class Work:
    """What one task runs, while it is put together."""

    name: str
    period: Ns | None
    priority: int
    core: list[Core] = field(default_factory=list)
    symbols: dict[str, Symbol] = field(default_factory=dict)
    types: dict[str, Scalar] = field(default_factory=dict)
    blocks: dict[str, BlockType] = field(default_factory=dict)
    rows: dict[str, tuple[Value, ...]] = field(default_factory=dict)

    def take(self, frame: Frame, unit: UnitInfo | None = None) -> None:
        """Take over what a frame needs."""
        self.types |= frame.types
        self.blocks |= frame.blocks
        self.rows |= frame.rows
        stored = unit.of(*_KEPT) if unit is not None else []
        for symbol in (*(s for s in stored if s.section != "VAR_EXTERNAL"), *frame.used.values()):
            self.symbols.setdefault(symbol.path, symbol)
            if isinstance(symbol.type, Standard):
                self.blocks[symbol.path] = symbol.type.block


@dataclass(frozen=True, slots=True)
class Laid:
    """A file laid out.

    Args:
        layouts: one for each task, by priority.
        types: of every value that has a slot, by the slot's name.
        inputs, outputs: names of what is given and what comes out, in declared order.
        timers: every instance of a standard timer, by name; its ET is computed when it is looked at.
        programs: names of the program instances of a configuration.
    """

    layouts: tuple[Layout, ...]
    types: dict[str, Scalar]
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    timers: dict[str, BlockType]
    programs: tuple[str, ...] = ()


def lay_out(project: Project, unit: str | None = None, tags: Sequence[Tag] = ()) -> Laid:
    """Lay out a file.

    Args:
        project: read and checked.
        unit: what runs alone; None = the configuration, or the only program, block or function there is.
        tags: a machine's I/O list. Inputs then come from the image, and what a scan makes only for itself has no slot.

    Raises:
        UsageError: it is not clear what to run.
        SourceErrors: a configuration is wrong.
    """
    configurations = [c for c in project.file.configurations if c.programs]
    if unit is None and configurations:
        works = _configured(project, configurations[0])
        project.report.raise_errors()
        places = [s for w in works for s in w.symbols.values()]
        return replace(_laid(project, works, places, tags), programs=tuple(p.name for p in configurations[0].programs))
    chosen = project.unit_named(unit) if unit is not None else what_begins(project.names.units, project.report.name)
    own, frame, core = project.placed(chosen, "")
    project.report.raise_errors()
    work = Work(chosen.tree.name, None, 1, list(core))
    work.take(frame, own)
    return _laid(project, [work], [*own.symbols.values(), *frame.used.values()], tags)


# configurations


def _configured(project: Project, tree: Configuration) -> list[Work]:
    works: dict[str, Work] = {}
    for task in tree.tasks:
        work = project.report.guarded(_task, project, task)
        if work is not None:
            works[_key(task.resource, task.name)] = work
            if sum(t.name.upper() == task.name.upper() for t in tree.tasks) > 1:  # one of each resource
                work.name = f"{task.resource}.{task.name}"
    for number, program in enumerate(tree.programs):
        if program.name.upper() in (p.name.upper() for p in tree.programs[:number]):
            project.report.error(program.place, f"two programs are named {program.name}", length=len(program.name))
    for setting, mend in lost_settings(tree):
        project.report.error(setting.place, f"{'.'.join(setting.path)} is in no program instance", mend=mend)
    for instance in tree.programs:
        project.report.guarded(_program, project, instance, works, tree)
    return sorted((w for w in works.values() if w.core), key=lambda w: w.priority)


def _key(resource: str, task: str) -> str:
    return f"{resource}.{task}".upper()


def _task(project: Project, tree: Task) -> Work:
    frame = Frame(project.names)
    lowering = Statements(frame, project)
    work = Work(tree.name, None, LAST - 1)
    for place, word, value in tree.settings:
        match word:
            case "INTERVAL":
                period = int(lowering.constant(value, elementary(TIME), "the interval"))
                work.period = Ns(period) if period > 0 else None
            case "PRIORITY":
                work.priority = int(lowering.constant(value, elementary(DINT), "the priority"))
            case "SINGLE":
                _single(work, lowering, value, place)
            case _:
                fail(place, f"a task has no {word}", mend="write INTERVAL, PRIORITY or SINGLE", length=len(word))
    work.take(frame)
    return work


def _single(work: Work, lowering: Statements, value: object, place: Place) -> None:
    """A task that runs once for each rising edge of a variable: its programs stand in the first arm of a branch."""
    name, block = f"{work.name}.single", BLOCKS["R_TRIG"]
    condition = lowering.condition(value, "SINGLE")  # type: ignore[arg-type]
    symbol = Symbol(name, name, Standard(block), "VAR", place)
    work.symbols[name], work.blocks[name] = symbol, block
    work.core = [Invoke(name, block, (("CLK", condition),), lowering.origin(place))]


def _program(project: Project, tree: ProgramInstance, works: dict[str, Work], configuration: Configuration) -> None:
    key = _key(tree.resource, tree.task) if tree.task else "%NONE"
    if tree.task and key in (_key(t.resource, t.name) for t in configuration.tasks) and key not in works:
        return  # what is wrong with its task is told already
    if tree.task and key not in works:
        fail(tree.place, f"there is no task {tree.task!r}", mend=", ".join(w.name for w in works.values()))
    unit = project.names.units.get(tree.type.upper())
    if unit is None or unit.tree.kind != "PROGRAM":
        known = [u.tree.name for u in project.names.units.values() if u.tree.kind == "PROGRAM"]
        fail(tree.place, f"there is no program {tree.type!r}", mend=f"there is {', '.join(known)}" if known else "")
    work = works.setdefault(key, Work("background", None, LAST))
    own, frame, core = project.placed(unit, f"{tree.name}.")
    for symbol in own.symbols.values():
        symbol.retain = symbol.retain or tree.retain
    connections = Connections(project, own)
    connections.parameters(tree)
    for setting, inner in settings_of(tree, configuration):
        connections.setting(setting, inner)
    work.take(connections.frame)
    body = (*connections.before, *core, *connections.after)
    single = f"{work.name}.single"
    if single in work.blocks:
        origin = Statements(frame, project).origin(tree.place)
        work.core.append(Branch(((Ref(f"{single}.Q", BOOL), body),), (), origin))
    else:
        work.core += body
    work.take(frame, own)


# layouts


def _laid(project: Project, works: list[Work], symbols: list[Symbol], tags: Sequence[Tag]) -> Laid:
    seen = [*(symbol for work in works for symbol in work.symbols.values()), *project.names.globals.values()]
    homes, led = led_to(seen)
    for work in works:  # every task has all that references lead to
        for symbol in led:
            work.symbols.setdefault(symbol.path, symbol)
    users: dict[str, int] = {}
    for work in works:
        for path in work.symbols:
            users[path] = users.get(path, 0) + 1
    memory = homes if project.declaring.referents else None
    layouts = tuple(_layout(work, users, tags, memory) for work in works)
    types = {n: leaf.type for w in works for leaf in _leaves(w) for n in leaf.names()}
    names = {s.path: s for s in symbols if not s.folded}
    inputs = tuple(s.path for s in names.values() if s.section == "VAR_INPUT" or s.at("%I"))
    outputs = tuple(
        n
        for s in names.values()
        if s.section in ("VAR_OUTPUT", "RESULT", "VAR_IN_OUT") or s.at("%Q")
        for leaf in leaves(s.path, s.type)
        for n in leaf.names()
    )
    timers = dict(t for w in works for s in w.symbols.values() for t in _timers(s.path, s.type))
    return Laid(layouts, types, inputs, outputs, timers)


def _leaves(work: Work) -> Iterator[Leaf]:
    for symbol in work.symbols.values():
        yield from leaves(symbol.path, symbol.type, symbol.initial)


def _timers(name: str, type_: StType) -> Iterator[tuple[str, BlockType]]:
    match type_:
        case Standard() if type_.block.elapsed is not None:
            yield name, type_.block
        case Cell():
            yield from _timers(name, type_.of)
        case Struct():
            for each in type_.fields.values():
                yield from _timers(f"{name}.{each.name}", each.type)
        case Array() if isinstance(type_.of, Standard | Struct | Array):
            for index in product(*(range(low, high + 1) for low, high in type_.ranges)):
                yield from _timers(f"{name}[{', '.join(map(str, index))}]", type_.of)
        case _:
            pass


def _layout(work: Work, users: dict[str, int], tags: Sequence[Tag], homes: tuple[Home, ...] | None) -> Layout:
    core = tuple(work.core)
    led = frozenset(home.name for home in homes or ())  # references may read and write all of it
    kept, written = frozenset(_whole(carried(core), work.blocks)) | led, frozenset(written_names(core)) | led
    order = {tag.name: number for number, tag in enumerate(tags)}
    symbols = sorted(work.symbols.values(), key=lambda s: order.get(s.path, len(order)))
    found = [(s, leaf) for s in symbols for leaf in leaves(s.path, s.type, s.initial)]
    images = [tag.name for tag in tags if tag.direction is Direction.INPUT and tag.name in work.symbols]
    rows = [(s, leaf) for s, leaf in found if leaf.is_row]
    single = [(s, leaf) for s, leaf in found if not leaf.is_row and leaf.name not in images]
    if tags:  # what nobody looks at and no scan takes over has no slot
        single = [(s, n) for s, n in single if "." not in n.name or n.name in kept or users[s.path] > 1]
        single.sort(key=lambda pair: ("." in pair[1].name, (pair[1].name in kept) is ("." not in pair[1].name)))
    slots: list[Slot] = []
    memory, shared = [], []
    for symbol, leaf in (*single, *rows):
        for name, initial in zip(leaf.names(), leaf.initial, strict=True):
            if leaf.name in kept:
                memory.append(len(slots))
            if users[symbol.path] > 1:
                shared.append(len(slots))
            slots.append(Slot(name, initial, symbol.retain, "." not in name and not symbol.hidden, _words(leaf.type)))
    driven = {t.name for t in tags if t.direction is Direction.OUTPUT} & written
    stored = {slot.name for slot in slots} | {leaf.name for _, leaf in rows} | set(images) | set(work.rows)
    types = {leaf.name: leaf.type.base for _, leaf in found} | {n: t.base for n, t in work.types.items()}
    initials = {leaf.name: leaf.initial[0] for _, leaf in found} | {n: t.initial for n, t in work.types.items()}
    return Layout(
        work.name, work.period, work.priority, core, tuple(images), tuple(slots),
        tuple(n for n, slot in enumerate(slots) if slot.name in driven), tuple(shared), tuple(memory),
        tuple(Slot(n, value, shown=False) for n, value in initials.items() if n not in stored), types, work.blocks, "",
        tuple((leaf.name, leaf.count) for _, leaf in rows), tuple(work.rows.items()), homes,
    )  # fmt: skip


def _whole(names: Iterable[str], blocks: Mapping[str, BlockType]) -> Iterator[str]:
    """Give the names; for the ET of a timer all that it stores, since its ET is made of that."""
    for name in names:
        head, _, last = name.rpartition(".")
        yield from (f"{head}.{f.name}" for f in blocks[head].stored) if last == "ET" and head in blocks else (name,)


def _words(type_: Scalar) -> tuple[str, ...]:
    """Give the names of an enumeration whose values are 0, 1, 2 ..."""
    if not type_.words:
        return ()
    by_value = sorted((value, word) for word, value in type_.words.values())
    return tuple(w for _, w in by_value) if [v for v, _ in by_value] == list(range(len(by_value))) else ()


__all__ = ["Laid", "lay_out"]
