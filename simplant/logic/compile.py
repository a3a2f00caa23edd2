"""Compile a program to one Python function per task.

Expressions are emit.py, blocks inline.py, the state's layout layout.py; the plain oracle is
walk.py. This is the one file that runs made source, and it makes it from checked nodes only.
Rule: the function is pure: (inputs, state, now) -> (state after, due).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import repeat
from typing import Any, Final

from simplant.errors import Place, ProgramError, SimplantError
from simplant.expr import Const, Elapsed, Expr, TimerElapsed
from simplant.expr.places import Memory, Places
from simplant.kernel.executable import Executable, Run
from simplant.logic.compile_structured import BUDGET, branch_lines, structured_lines
from simplant.logic.core import (
    Assign,
    Branch,
    Copy,
    Core,
    Invoke,
    Leave,
    Locate,
    Loop,
    Origin,
    Perform,
    PythonCall,
    Routine,
    Stamp,
    Store,
    blamed,
)
from simplant.logic.emit import Emitter, Turn, looks_at_time
from simplant.logic.inline import ELAPSED, LINES
from simplant.logic.layout import Layout
from simplant.logic.lower import FIRST_SCAN
from simplant.logic.names import expressions, nodes
from simplant.timebase import NEVER

MOST_INDENTED: Final = 60
"""Branches within branches that a program may have (CPython itself refuses 100 indents)."""


@dataclass(slots=True)
class _Writer:
    """Collects lines of one function, and which source node each came from."""

    layout: Layout
    lines: list[str] = field(default_factory=list)
    origins: list[Origin | None] = field(default_factory=list)
    emitter: Emitter = field(init=False)
    routines: dict[int, str] = field(default_factory=dict)
    result: str = ""

    def __post_init__(self) -> None:
        self.emitter = Emitter(local_name)

    def put(self, text: str, depth: int, origin: Origin | None = None) -> None:
        if depth > MOST_INDENTED:
            raise ProgramError(
                f"branches are nested more than {MOST_INDENTED} deep", place=origin.place if origin else None
            )
        self.lines.append("    " * depth + text)
        self.origins.append(origin)

    def done(self) -> tuple[str, list[Origin | None], dict[str, object]]:
        """End the function; give its text, the origin of each line, and the objects it calls."""
        self.put("except Exception as error:", 1)
        self.put("raise blame(error) from error", 2)
        return "\n".join(self.lines), self.origins, self.emitter.constants

    def times(self, given: Iterable[Expr], depth: int, origin: Origin) -> None:
        """Before a statement: report when its looks at running times could turn."""
        for expression in given:
            turns, volatile = looks_at_time(expression)
            timers = (r for r in (*volatile, *(t.running for t in turns)) if isinstance(r, TimerElapsed))
            for timer in {r.instance: r for r in timers}.values():
                self._timer(timer, depth, origin)
            for turn in turns:
                self._turn(turn, depth, origin)
            for running in volatile:
                live = "" if isinstance(running, Elapsed) else f"if {local_name(f'{running.instance}.live')}: "
                self.put(f"{live}due = now + 1", depth, origin)

    def _timer(self, timer: TimerElapsed, depth: int, origin: Origin) -> None:
        """Read ET into a local, and whether it runs."""
        block = self.layout.blocks[timer.instance]
        if block.name in ELAPSED:
            names = {n: local_name(f"{timer.instance}.{n}") for n in ("PT", "Q", "start", "ET", "live")}
            for line in ELAPSED[block.name]:
                self.put(line.format(**names), depth, origin)
            return
        stored = ", ".join(local_name(f"{timer.instance}.{f.name}") for f in block.stored)
        make, elapsed, due = (self.emitter.bind("b", f) for f in (block.state, block.elapsed, block.due))
        self.put(f"s = {make}({stored})", depth, origin)
        self.put(f"{local_name(f'{timer.instance}.ET')} = {elapsed}(s, now)", depth, origin)
        self.put(f"{local_name(f'{timer.instance}.live')} = {due}(s, now) != {NEVER}", depth, origin)

    def _turn(self, turn: Turn, depth: int, origin: Origin) -> None:
        running, live = turn.running, ""
        if isinstance(running, Elapsed):
            since = local_name(running.since.name)
        else:
            plain = self.layout.blocks[running.instance].name in ELAPSED  # what ET counts from is stored
            since = local_name(f"{running.instance}.start") if plain else f"now - {self.emitter.text(running)}"
            live = f"{local_name(f'{running.instance}.live')} and "
        for after in turn.after:
            bound = self.emitter.text(turn.bound)
            self.put(f"d = {since} + {bound}{' + 1' if after else ''}", depth, origin)
            self.put(f"if {live}now < d < due: due = d", depth, origin)

    def body(self, core: Sequence[Core], depth: int) -> None:
        for node in core:
            self.statement(node, depth)
        if not core:
            self.put("pass", depth)

    def statement(self, node: Core, depth: int) -> None:
        if not isinstance(node, Loop):  # it looks at time in every pass
            self.times(expressions(node), depth, node.origin)
        match node:
            case Assign():
                self.put(f"{local_name(node.target)} = {self.emitter.text(node.value)}", depth, node.origin)
            case Stamp():
                self.put(f"{local_name(node.target)} = now", depth, node.origin)
            case Invoke():
                self._invoke(node, depth)
            case Branch():
                branch_lines(node, self, depth)
            case PythonCall():
                self._python(node, depth)
            case Loop() | Leave() | Store() | Copy() | Perform() | Locate():
                structured_lines(node, self, depth, local_name)

    def routine(self, node: Perform) -> str:
        """Give the name of a routine's function, compiled when it is first called."""
        known = self.routines.get(id(node.routine))
        if known is None:
            known = self.routines[id(node.routine)] = self.emitter.bind(
                "r", _make(f"<{node.routine.name}>", *_routine_source(node.routine))
            )
        return known

    def _invoke(self, node: Invoke, depth: int) -> None:
        names = {f.name: local_name(f"{node.instance}.{f.name}") for f in node.block.stored}
        if node.arguments:
            values = ", ".join(self.emitter.text(value) for _, value in node.arguments)
            self.put(f"{', '.join(names[n] for n, _ in node.arguments)} = {values}", depth, node.origin)
        if node.block.name in LINES:
            known = {n: self.emitter.text(value) for n, value in node.arguments if isinstance(value, Const)}
            for line in LINES[node.block.name]:
                self.put(line.format(**names | known), depth, node.origin)
            return
        make, step, due = (self.emitter.bind("b", f) for f in (node.block.state, node.block.step, node.block.due))
        stored = ", ".join(names.values())
        self.put(f"{stored}, = s = {step}({make}({stored}), now)", depth, node.origin)
        self.put(f"d = {due}(s, now)", depth, node.origin)
        self.put("if d < due: due = d", depth, node.origin)

    def _python(self, node: PythonCall, depth: int) -> None:
        call = f"{self.emitter.bind('p', node.function)}({', '.join(local_name(n) for n in node.reads)})"
        targets = ", ".join(local_name(n) for n in node.writes)
        self.put(f"{targets} = {call}" if targets else call, depth, node.origin)
        for name in node.writes:
            check = self.emitter.bind("t", self.layout.types[name].check)
            self.put(f"{local_name(name)} = {check}({local_name(name)})", depth, node.origin)


def local_name(name: str) -> str:
    """Give the Python local for a stored value: `warn.Q` is `v_warn__Q`."""
    return "v_" + name.replace(".", "__").replace("%", "at_")


def source_of(layout: Layout) -> tuple[str, list[Origin | None], dict[str, object]]:
    """Write the function of one task: its text, the origin of each line, and the objects it calls."""
    writer = _Writer(layout)
    writer.put("def scan(inputs, state, now):", 0)
    writer.put("try:", 1)
    single = [s.name for s in layout.slots][: len(layout.slots) - sum(count for _, count in layout.rows)]
    for names, whole in ((layout.inputs, "inputs"), (single, f"state[:{len(single)}]" if layout.rows else "state")):
        if names:
            writer.put(f"{', '.join(local_name(n) for n in names)}, = {whole}", 2)
    _rows(layout, writer, len(single))
    writer.put(f"due = {NEVER}", 2)
    for slot in layout.passing:
        block = layout.blocks.get(slot.name.rpartition(".")[0])
        if block is not None and block.name not in LINES:  # it is called with all that it stores
            initial = writer.emitter.text(Const(slot.initial, layout.types[slot.name]))
            writer.put(f"{local_name(slot.name)} = {initial}", 2)
    writer.body(layout.core, 2)
    if any(s.name == FIRST_SCAN.name for s in layout.slots):
        writer.put(f"{local_name(FIRST_SCAN.name)} = False", 2)
    result = _named(single) + "".join(f"*{local_name(n)}, " for n, _ in layout.rows)
    writer.put(f"return ({result}), due", 2)
    return writer.done()


def _rows(layout: Layout, writer: _Writer, start: int) -> None:
    """Take rows out of the state, make those of the scan itself, and begin the budget of loops."""
    for name, count in layout.rows:
        writer.put(f"{local_name(name)} = list(state[{start}:{start + count}])", 2)
        start += count
    for name, values in layout.own_rows:
        writer.put(f"{local_name(name)} = list({writer.emitter.bind('w', values)})", 2)
    passes = f"{writer.emitter.bind('n', repeat)}(None, {BUDGET})"
    if layout.memory is not None:
        memory, places = writer.emitter.bind("m", Memory), writer.emitter.bind("p", Places(layout.memory))
        writer.put(f"left = [{passes}, {memory}({places}, ({_named(h.name for h in layout.memory)}))]", 2)
    elif any(isinstance(node, Loop | Perform) for node in nodes(layout.core)):
        writer.put(f"left = {f'[{passes}]' if _loops(layout.core) else None}", 2)


def _named(names: Iterable[str]) -> str:
    """Give the locals of names, each with a comma behind it."""
    return "".join(f"{local_name(name)}, " for name in names)


def _loops(core: Iterable[Core]) -> bool:
    """Say whether there is a loop, here or in a routine that is called."""
    return any(isinstance(n, Loop) or (isinstance(n, Perform) and _loops(n.routine.body)) for n in nodes(core))


def _routine_source(routine: Routine) -> tuple[str, list[Origin | None], dict[str, object]]:
    """Write the function of a routine."""
    writer = _Writer(_alone(routine))
    writer.result = _named(routine.results) + ("due, " if routine.timed else "")
    writer.result = f"({writer.result})"
    parameters = ", ".join(["left", *(["now"] if routine.timed else []), *map(local_name, routine.parameters)])
    writer.put(f"def scan({parameters}):", 0)
    writer.put("try:", 1)
    writer.put(f"due = {NEVER}", 2)
    for name, value in routine.local:
        given = (
            f"list({writer.emitter.bind('w', value)})" if isinstance(value, tuple) else writer.emitter.bind("w", value)
        )
        writer.put(f"{local_name(name)} = {given}", 2)
    writer.body(routine.body, 2)
    writer.put(f"return {writer.result}", 2)
    return writer.done()


def _alone(routine: Routine) -> Layout:
    """Lay out a routine by itself: it has no state of its own."""
    types, blocks = dict(routine.types), dict(routine.blocks)
    return Layout(routine.name, None, 1, routine.body, (), (), (), (), (), (), types, blocks, "")


def compile_task(layout: Layout) -> Executable:
    """Compile one task."""
    run: Run = _make(f"<task {layout.task}>", *source_of(layout))
    return Executable(
        layout.inputs, layout.slots, layout.outputs, layout.shared, run, layout.restless, layout.carried
    )  # fmt: skip


def _make(label: str, text: str, origins: Sequence[Origin | None], objects: Mapping[str, object]) -> Any:
    def blame(error: Exception) -> SimplantError:
        return _blame(error, label, origins)

    return made(text, label, {**objects, "blame": blame})["scan"]


def made(text: str, label: str, objects: Mapping[str, object]) -> dict[str, Any]:
    """Run made source on the objects it uses; give what it defines. This is the one place where that is done."""
    space = dict(objects)
    exec(compile(text, label, "exec"), space)
    return space


def _blame(error: Exception, label: str, origins: Sequence[Origin | None]) -> SimplantError:
    """Say at which of the author's lines a scan failed."""
    place: Place | None = None
    trace = error.__traceback__
    while trace is not None:
        if trace.tb_frame.f_code.co_filename == label:
            origin = origins[trace.tb_lineno - 1]
            place = origin.place if origin else None
        trace = trace.tb_next
    return blamed(error, place)


__all__ = ["compile_task", "local_name", "made", "source_of"]
