"""What each task of a configuration runs: its program instances with what they are joined to, and blocks by themselves.

Laying it out is tasks.py, joining connections.py. Rule: a program with a task that is wrong is told with it, not twice.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from simplant.blocks import BLOCKS, BlockType
from simplant.errors import Place, nearest
from simplant.expr import Ref
from simplant.logic.core import Branch, Core, Invoke
from simplant.logic.st.connections import Connections, lost_settings, settings_of
from simplant.logic.st.declared import Configuration, ProgramInstance, Task
from simplant.logic.st.fields import is_instance
from simplant.logic.st.parts import every
from simplant.logic.st.project import Project
from simplant.logic.st.report import fail
from simplant.logic.st.scope import Frame, Symbol, UnitInfo
from simplant.logic.st.statements import Statements
from simplant.logic.st.tree import Access, Call, Do
from simplant.logic.st.types import Scalar, Standard, elementary
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


def configured(project: Project, tree: Configuration) -> list[Work]:
    """Put together what each task of a configuration runs, by priority; mistakes go into the report."""
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
    used = {_key_of(program) for program in tree.programs}
    return sorted((w for key, w in works.items() if key in used or w.core), key=lambda w: w.priority)


def _key(resource: str, task: str) -> str:
    return f"{resource}.{task}".upper()


def _key_of(program: ProgramInstance) -> str:
    return _key(program.resource, program.task) if program.task else "%NONE"


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
    key = _key_of(tree)
    if tree.task and key in (_key(t.resource, t.name) for t in configuration.tasks) and key not in works:
        return  # what is wrong with its task is told already
    if tree.task and key not in works:
        fail(tree.place, f"there is no task {tree.task!r}", mend=nearest(tree.task, (w.name for w in works.values())))
    unit = project.names.units.get(tree.type.upper())
    if unit is None or unit.tree.kind != "PROGRAM":
        known = [u.tree.name for u in project.names.units.values() if u.tree.kind == "PROGRAM"]
        fail(tree.place, f"there is no program {tree.type!r}", mend=f"there is {', '.join(known)}" if known else "")
    work = works.setdefault(key, Work("background", None, LAST))
    own, frame, core = project.placed(unit, f"{tree.name}.")
    for symbol in own.symbols.values():
        symbol.retain = symbol.retain or tree.retain
    connections = Connections(project, own)
    resources = {t.resource.upper() for t in configuration.tasks} | {p.resource.upper() for p in configuration.programs}
    connections.parameters(tree, resources - project.names.globals.keys())
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
    for place, name, task in tree.blocks:
        project.report.guarded(_block, project, own, (place, name), works.get(_key(tree.resource, task)))


def _block(project: Project, own: UnitInfo, named: tuple[Place, str], work: Work | None) -> None:
    """Let a task of its own run an instance of a function block in a program."""
    place, name = named
    symbol = own.symbols.get(name.upper())
    if work is None or symbol is None or not is_instance(symbol.type):
        what = "there is no such task" if work is None else f"{own.tree.name} has no instance {name}"
        fail(place, what, mend="declare it", length=len(name))
    if any(isinstance(n, Do) and n.call.callee.name.upper() == name.upper() for n in every(own.tree.statements)):
        project.report.warn(place, f"{name} is called in {own.tree.name} as well", "both run it", length=len(name))
    frame = Frame(project.names, own)
    work.core += Statements(frame, project).statement(Do(place, Call(place, Access(place, name), ())))
    work.take(frame)
    work.symbols.setdefault(symbol.path, symbol)
