"""Laying out what a Structured Text file runs: a configuration with its tasks, or one program, block or function alone.

Rule: every declared value has a slot, so that it can be looked at; what a scan makes only for itself has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from simplant.blocks import BlockType
from simplant.errors import UsageError
from simplant.expr.places import Home
from simplant.kernel.executable import Slot
from simplant.logic.carried import carried
from simplant.logic.layout import Layout, written_names
from simplant.logic.st.calling_order import what_begins
from simplant.logic.st.project import Project
from simplant.logic.st.references import led_to
from simplant.logic.st.scope import Symbol, UnitInfo
from simplant.logic.st.types import Array, Cell, Leaf, Scalar, Standard, Struct, StType, leaves
from simplant.logic.st.works import Work, configured
from simplant.tags import Direction, Tag
from simplant.values import Value


@dataclass(frozen=True, slots=True)
class Laid:
    """A file laid out.

    Args:
        layouts: one for each task, by priority.
        types: of every value that has a slot, by the slot's name.
        inputs, outputs: names of what is given and what comes out, in declared order.
        timers: every instance of a standard timer, by name; its ET is computed when it is looked at.
        programs: names of the program instances of a configuration.
        constants: what has no slot since its value stands wherever it is named: its type and value, by name.
    """

    layouts: tuple[Layout, ...]
    types: dict[str, Scalar]
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    timers: dict[str, BlockType]
    programs: tuple[str, ...] = ()
    constants: dict[str, tuple[Scalar, Value]] = field(default_factory=dict)


def lay_out(project: Project, unit: str | None = None, tags: Sequence[Tag] = ()) -> Laid:
    """Lay out a file.

    Args:
        project: read and checked.
        unit: what runs alone; None = the configuration, or the only program, block or function there is.
        tags: a machine's I/O list. Inputs then come from the image, and what a scan makes only for itself has no slot.

    Raises:
        UsageError: it is not clear what to run, or it does not run alone.
        SourceErrors: a configuration is wrong.
    """
    configurations = [c for c in project.file.configurations if c.programs]
    if unit is None and configurations:
        works = configured(project, configurations[0])
        project.report.raise_errors()
        places = [s for w in works for s in w.symbols.values()]
        programs = configurations[0].programs
        known = _constants(project, {f"{p.name}.": project.names.units[p.type.upper()] for p in programs})
        return replace(_laid(project, works, places, tags), programs=tuple(p.name for p in programs), constants=known)
    chosen = project.unit_named(unit) if unit is not None else what_begins(project.names.units, project.report.name)
    own, frame, core = project.placed(chosen, "")
    project.report.raise_errors()
    _runs_alone(chosen)
    work = Work(chosen.tree.name, None, 1, list(core))
    work.take(frame, own)
    laid = _laid(project, [work], [*own.symbols.values(), *frame.used.values()], tags)
    return replace(laid, constants=_constants(project, {"": own}))


def _runs_alone(unit: UnitInfo) -> None:
    """Refuse a unit with ARRAY[*]: nobody says how long that is."""
    for symbol in unit.symbols.values():
        if isinstance(symbol.type, Array) and symbol.type.open:
            what = f"{unit.tree.name} does not run alone: {symbol.name} is an ARRAY[*]"
            mend = f"write a PROGRAM that calls {unit.tree.name}, or give {symbol.name} bounds"
            raise UsageError(what, "each call says how long it is", mend, unit.tree.place)


def _constants(project: Project, units: Mapping[str, UnitInfo]) -> dict[str, tuple[Scalar, Value]]:
    """Give the constants of units, by what the names of their variables begin with, and of all globals."""
    own = [(f"{before}{s.name}", s) for before, unit in units.items() for s in unit.symbols.values()]
    folded = [(name, s) for name, s in (*own, *((g.name, g) for g in project.names.globals.values())) if s.folded]
    every = (leaf for name, s in folded for leaf in leaves(name, s.type, s.initial))
    return {name: (leaf.type, value) for leaf in every for name, value in zip(leaf.names(), leaf.initial, strict=True)}


# layouts


def _laid(project: Project, works: list[Work], symbols: list[Symbol], tags: Sequence[Tag]) -> Laid:
    referred = project.declaring.has_references
    seen = [*(symbol for work in works for symbol in work.symbols.values()), *project.names.globals.values()]
    homes, led = led_to(seen if referred else ())
    for work in works:  # every task has all that references lead to
        for symbol in led:
            work.symbols.setdefault(symbol.path, symbol)
    users: dict[str, int] = {}
    for work in works:
        for path in work.symbols:
            users[path] = users.get(path, 0) + 1
    memory = homes if homes or project.declaring.referents else None
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
