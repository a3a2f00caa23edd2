"""One Structured Text file as a whole: read, checked, its functions and blocks as routines, its programs as tasks.

What runs is a `Layout` for each task (compile.py, walk.py). Rule: everything in a file is checked, also what nobody
calls; and all mistakes are told together.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Final

from simplant.blocks import BlockType
from simplant.errors import Place, UsageError, nearest
from simplant.expr import Const, Expr, Ref
from simplant.logic.carried import carried
from simplant.logic.core import Assign, Copy, Core, Invoke, Perform, Routine, Row
from simplant.logic.layout import written_names
from simplant.logic.names import nodes
from simplant.logic.st.accesses import check_accesses, told_open_addresses
from simplant.logic.st.addresses import canonical
from simplant.logic.st.bodies import in_statements
from simplant.logic.st.calling_order import LONGEST, calling_order, in_a_circle
from simplant.logic.st.declare import Declaring
from simplant.logic.st.declared import File, Named, Variable
from simplant.logic.st.faces import reader_of
from simplant.logic.st.library import units_named
from simplant.logic.st.parse import parse
from simplant.logic.st.references import as_cell, globals_referred
from simplant.logic.st.report import Fault, Report, fail
from simplant.logic.st.scope import Frame, Names, Symbol, UnitInfo
from simplant.logic.st.source_text import read_source
from simplant.logic.st.statements import Statements, returns
from simplant.logic.st.types import Leaf, Scalar, Standard, leaves
from simplant.logic.st.versions import version_of
from simplant.values import DINT

_REF: Final = re.compile(r"\bREF\s*\(", re.IGNORECASE)
_ENO: Final = re.compile(r"\bENO\s*:=|=>\s*ENO\b", re.IGNORECASE)
Reader = Callable[[Report], File]
"""Reads the text of a report; mistakes go into it, and what could be read is given."""


class Project:
    """A source, read and checked.

    Args:
        text: the source.
        name: of the file, for places.
        strict: what the standard disallows is an error.
        tags: variables that are there from outside (the I/O list), as globals.
        read: what reads this kind of source (faces.py).

    Attributes:
        written: the source as read, each body in its own form; `file` is it with every body as statements.
        report: everything that was found; `report.raise_errors()` raises if it cannot run.
    """

    def __init__(
        self, text: str, name: str, *, strict: bool = False, tags: Iterable[Symbol] = (), read: Reader = parse
    ) -> None:
        self.report = Report(name, text, strict)
        self.written = read(self.report)
        self.file = in_statements(self.written, self.report)
        self.names = Names(self.report)
        self._lowering: list[str] = []
        for tag in tags:
            self.names.globals[tag.name.upper()] = tag
            if tag.address:
                self.names.located[canonical(tag.address)] = tag
        self.declaring = Declaring(self.names, self.file.types, self.file.units, units_named(text))
        self.declaring.has_done = "ENO" in text.upper() and _ENO.search(text) is not None
        self._references(text)
        self._globals()
        for unit in self.names.units.values():
            self.report.guarded(self._declare, unit)
        ordered, too_deep = calling_order(self.names.units)
        for unit in too_deep:
            what = f"above {unit.tree.name} more than {LONGEST} units call one another in a row"
            self.report.error(unit.tree.place, what, mend="call some of them one after the other")
        for unit in [] if too_deep else ordered:
            self.report.guarded(self.routine, unit, unit.tree.place)
        for referent in self.declaring.referents:
            self.report.guarded(referent.type)
        told_open_addresses(self.file, self.names, self.report)
        check_accesses(self.file, self.names, self.declaring, self.report)

    def _references(self, text: str) -> None:
        """Find the globals that references lead to."""
        if "REF" in text.upper() and _REF.search(text) is not None:
            self.declaring.has_references, self.declaring.referred = True, globals_referred(self.file)
        for name in self.declaring.referred & self.names.globals.keys():
            as_cell(self.names.globals[name], None)

    def _globals(self) -> None:
        """Declare globals and types: constants first, since types may be as long as they say."""
        waiting = [*self.file.variables, *(v for c in self.file.configurations for v in c.variables)]
        frame = Frame(self.names)
        for variable in [v for v in waiting if v.section.constant]:
            with suppress(Fault):  # what it needs is not there yet, or it is told below
                self._global(variable, frame)
                waiting.remove(variable)
        self.declaring.all_types()
        for variable in waiting:
            self.report.guarded(self._global, variable, frame)

    def _global(self, variable: Variable, frame: Frame) -> None:
        symbol = self.declaring.symbol(variable, "", frame)
        key = variable.name.upper()
        known = self.names.globals.get(key)
        if known is not None and known.place.file == symbol.place.file:
            why = "one name is one variable in all resources of a configuration here"
            mend = "give one of them another name"
            fail(variable.place, f"the global {variable.name} is declared twice", why, mend, len(variable.name))
        self.names.globals.setdefault(key, symbol)

    def _declare(self, unit: UnitInfo) -> None:
        if unit.tree.kind == "FUNCTION":
            self.declaring.declare(unit, "")
        else:
            self.declaring.struct_of(unit, Named(unit.tree.place, unit.tree.name))

    # routines

    def routine(self, unit: UnitInfo, place: Place) -> Routine:
        """Give what a function or function block became.

        Raises:
            Fault: it calls itself.
        """
        if unit.routine is None:
            if unit.busy or len(self._lowering) > LONGEST:
                in_a_circle(place, unit.tree.name, self._lowering)
            unit.busy = True
            self._lowering.append(unit.tree.name)
            try:
                unit.routine = self._routine(unit)
            finally:
                unit.busy = False
                self._lowering.pop()
        return unit.routine

    def version(self, unit: UnitInfo, ranges: dict[str, tuple[tuple[int, int], ...]]) -> UnitInfo:
        """Give a unit as a call needs it: see versions.py."""
        return version_of(unit, ranges, self.declaring)

    def _routine(self, unit: UnitInfo) -> Routine:
        frame = Frame(self.names, unit)
        body = (*self._first_rows(unit, frame), *self.body_of(unit, frame))
        unit.externals = {p: s for p, s in frame.used.items() if s.is_global}
        kept = (
            ("VAR_INPUT", "VAR_IN_OUT")
            if unit.tree.kind == "FUNCTION"
            else ("VAR_INPUT", "VAR_OUTPUT", "VAR", "VAR_IN_OUT")
        )
        passed = [s for s in unit.of(*kept) if not s.is_global]
        known = {s.path for s in passed}
        own = [s for s in unit.of("VAR", "VAR_OUTPUT", "VAR_TEMP", "RESULT") if s.path not in known and not s.is_global]
        given_back = [n for n in _leaves(unit.given_back()) if n.is_row]
        parameters = [*_leaves((*passed, *unit.externals.values())), *given_back]
        rows = {n.name for n in given_back}
        local = [n for n in _leaves(own) if n.name not in rows]
        written = set(written_names(body))
        given = [leaf for leaf in parameters if not leaf.is_row and leaf.name in written]
        results = [n.name for n in given]
        if unit.tree.kind == "FUNCTION":
            results += [n.name for n in _leaves(unit.given_back()) if not n.is_row]
        types = {leaf.name: leaf.type.base for leaf in (*parameters, *local)}
        types |= {name: scalar.base for name, scalar in frame.types.items()}
        held: list[tuple[str, object]] = [(n.name, n.initial if n.is_row else n.initial[0]) for n in local]
        held += list(frame.rows.items())
        for symbol in (*passed, *own):
            frame.blocks |= _instances(symbol)
        timed = any(isinstance(n, Invoke) or (isinstance(n, Perform) and n.routine.timed) for n in nodes(body))
        return Routine(unit.tree.name, tuple(n.name for n in parameters), tuple(results), tuple(held), body, types,
                       frame.blocks, timed)  # fmt: skip

    def _first_rows(self, unit: UnitInfo, frame: Frame) -> Iterator[Core]:
        """Let the arrays that a function gives back begin as declared; they are rows of its caller."""
        origin = Statements(frame, self).origin(unit.tree.place)
        for leaf in _leaves(unit.given_back()):
            if leaf.is_row:
                first, zero = frame.fresh("first"), Const(0, DINT)
                frame.rows[first], frame.types[first] = leaf.initial, leaf.type
                yield Copy(leaf.name, zero, first, zero, leaf.count, origin)

    def body_of(self, unit: UnitInfo, frame: Frame) -> tuple[Core, ...]:
        """Lower the statements of a unit, with what comes before them."""
        lowering = Statements(frame, self)
        made: list[Core] = []
        for symbol in unit.symbols.values():
            if symbol.edge and isinstance(symbol.type, Scalar):
                hidden = f"{symbol.path}.edge"
                edge = unit.symbols[f"{symbol.name}.edge"].type
                assert isinstance(edge, Standard), "an edge is found by a standard block"
                origin, base = lowering.origin(symbol.place), symbol.type.base
                made.append(Invoke(hidden, edge.block, (("CLK", Ref(symbol.path, base)),), origin))
                made.append(Assign(symbol.path, Ref(f"{hidden}.Q", base), origin))
                frame.blocks[hidden] = edge.block
        return (*made, *lowering.body(unit.tree.statements))

    # programs

    def unit_named(self, name: str) -> UnitInfo:
        """Find a unit; raises `UsageError` with the nearest names."""
        found = self.names.units.get(name.upper())
        if found is None:
            known = [u.tree.name for u in self.names.units.values()]
            raise UsageError(f"there is no program, function block or function {name!r}", mend=nearest(name, known))
        return found

    def placed(self, unit: UnitInfo, prefix: str) -> tuple[UnitInfo, Frame, tuple[Core, ...]]:
        """Put the body of a program (or of a block or function that runs alone) into a task.

        Args:
            unit: what runs.
            prefix: what the names of its variables begin with.

        Returns:
            It with variables of its own, its frame, and its statements.
        """
        own = UnitInfo(unit.tree)
        self.declaring.declare(own, prefix)
        frame = Frame(self.names, own)
        origin_of = Statements(frame, self).origin
        if unit.tree.kind != "FUNCTION" and not returns(unit.tree.statements):
            fresh, body = list(self._fresh(own, frame)), self.body_of(own, frame)
            needed = carried(body)  # most are written before anything reads them
            return own, frame, (*(node for node in fresh if node.target in needed), *body)
        routine = self.routine(unit, unit.tree.place)
        inner = {s.path: own.symbols[k].path for k, s in unit.symbols.items()}
        names = {leaf.name: _moved(leaf.name, inner) for s in unit.symbols.values() for leaf in leaves(s.path, s.type)}
        rows = {leaf.name for s in (*unit.symbols.values(), *unit.externals.values()) for leaf in leaves(s.path, s.type)
                if leaf.is_row}  # fmt: skip
        arguments: list[Expr | Row] = []
        for name in routine.parameters:
            outer = names.get(name, name)
            arguments.append(Row(outer) if name in rows else Ref(outer, routine.types[name]))
        frame.used |= unit.externals
        results = tuple(names.get(name, name) for name in routine.results)
        return own, frame, (Perform(routine, tuple(arguments), results, origin_of(unit.tree.place)),)

    def _fresh(self, unit: UnitInfo, frame: Frame) -> Iterator[Assign]:
        """Give VAR_TEMP variables their initial values at the start of each scan."""
        for leaf in _leaves(unit.of("VAR_TEMP")):
            frame.types[leaf.name] = leaf.type
            if leaf.is_row:
                frame.rows[leaf.name] = leaf.initial
            else:
                value = Const(leaf.initial[0], leaf.type.base)
                yield Assign(leaf.name, value, Statements(frame, self).origin(unit.tree.place))


def _moved(name: str, paths: dict[str, str]) -> str:
    root = next(p for p in paths if name == p or name.startswith(f"{p}."))
    return paths[root] + name[len(root) :]


def _leaves(symbols: Iterable[Symbol]) -> Iterator[Leaf]:
    for symbol in symbols:
        yield from leaves(symbol.path, symbol.type, symbol.initial)


def _instances(symbol: Symbol) -> dict[str, BlockType]:
    return {symbol.path: symbol.type.block} if isinstance(symbol.type, Standard) else {}


def read_project(path: Path, *, strict: bool = False) -> Project:
    """Read a file; raises `SourceErrors` with all that is wrong in it."""
    project = open_project(path, strict=strict)
    project.report.raise_errors()
    return project


def open_project(path: Path, *, strict: bool = False) -> Project:
    """Read a file, right or wrong; raises `UsageError` if it cannot be read at all."""
    try:
        text = read_source(path)
    except OSError as error:
        raise UsageError(f"{path} cannot be read", error.strerror or str(error), "check the path") from None
    return Project(text, str(path), strict=strict, read=reader_of(path))


__all__ = ["Project", "open_project", "read_project"]
