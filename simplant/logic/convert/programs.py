"""A whole Python program as a source of Structured Text: its variables at their addresses, its tasks, its comments.

What stands in a scan is statements.py and charts.py. Rule: every tag, step and block keeps its name, its place in the
scan and its value after a start; what cannot be said is refused with its name and place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from simplant.errors import Place, ProgramError
from simplant.logic.convert.charts import count_time, needs_before, needs_first_scan, of_chart
from simplant.logic.convert.naming import Naming
from simplant.logic.convert.remarks import Remarks
from simplant.logic.convert.statements import check_block, do, of_alarms, of_call, of_move, of_rung, plain_python
from simplant.logic.convert.terms import TRUE, Terms
from simplant.logic.convert.variables import EXTERNAL, PLAIN, TEMPORARY, Declared, shared, words_of
from simplant.logic.layout import Prepared, written_names
from simplant.logic.lower import FIRST_SCAN, lower, overtime_ref, since_ref
from simplant.logic.names import expressions, nodes, read_names
from simplant.logic.nodes import AlarmTable, Call, Chart, Move, Opaque, Rung, Source, TaskBody
from simplant.logic.program import Program
from simplant.logic.st.declared import Configuration, File, ProgramInstance, TypeName, Unit, Variable
from simplant.logic.st.declared import Task as DeclaredTask
from simplant.logic.st.printed_statements import Notes
from simplant.logic.st.tree import Literal, Statement
from simplant.values import DINT, TIME

SAFETY: Final = (
    "No safety function may rest on this program. Emergency stop, guard interlocking and other safety functions "
    "belong in safety-rated hardware chosen from a risk assessment (ISO 12100, ISO 13849-1, IEC 60204-1). That the "
    "program was tested in a simulation proves nothing about the safety of the real machine."
)
"""Stands at the head of every converted program."""


@dataclass(frozen=True, slots=True)
class Converted:
    """A program as a source of Structured Text.

    Args:
        file: the source.
        notes: its comments.
        head: the comment at its top.
    """

    file: File
    notes: Notes
    head: str


def converted(program: Program, *, title: str = "", remarks: Remarks | None = None) -> Converted:
    """Say a Python program in Structured Text.

    Args:
        program: complete, all its sequences with their transitions.
        title: of the machine, for the head.
        remarks: what its author wrote beside it.

    Raises:
        ProgramError: it cannot be said: plain Python, a block of one's own, a name; with the place.
    """
    checked_python(program)
    return Conversion(program, remarks or Remarks("", "")).all(title)


def checked_python(program: Program) -> None:
    """Refuse a program that is not Python; raises `ProgramError`."""
    if isinstance(program, Prepared):
        raise ProgramError(f"{program.name} is not written in Python", "it is read from a file of its own")


class Conversion:
    """Says one program; in_charts.py says its sequences otherwise."""

    def __init__(self, program: Program, remarks: Remarks) -> None:
        self.program, self.remarks = program, remarks
        self.steps = {name: tuple(chart.steps) for name, chart in program.charts.items()}
        self.naming = Naming(_own_names(program))
        self.reads = {task.name: [_reads(s, self.steps) for s in task.body] for task in program.tasks}
        read = {name for rows in self.reads.values() for row in rows for name in row}
        timed = [name for name in program.charts if since_ref(name).name in read]
        limits = {c: [overtime_ref(c, s).name for s in chart.steps] for c, chart in program.charts.items()}
        self.terms = Terms(
            words=words_of(program, self.naming),
            times={name: self.naming.new(f"{name}_time") for name in timed},
            overtimes={c: self.naming.new(f"{c}_overtime") for c, names in limits.items() if read & set(names)},
            asked=frozenset(name for names in limits.values() for name in names if name in read),
            first_scan=self.naming.new(FIRST_SCAN.name),
        )
        self.before = {name: self.naming.new(f"{name}_was") for name in program.charts}
        self.declared = Declared(program, self.terms)
        self.elsewhere = frozenset(c for c in timed if self._is_read_elsewhere(c))

    def all(self, title: str) -> Converted:
        """Give the whole source."""
        types = tuple(self.declared.types(self.naming))
        tasks = self.program.tasks
        bodies = {task.name: self._body(task) for task in tasks}
        if len(tasks) == 1 and tasks[0].period is None:
            (task,) = tasks
            variables = [*self.declared.variables(self._used(task)), *self._hidden(task)]
            file = File(types, (self._unit(self.program.name, variables, bodies[task.name]),), (), ())
        else:
            file = self._configured(types, bodies)
        return Converted(file, self.declared.notes, "\n\n".join(p for p in (title, self.remarks.head, SAFETY) if p))

    def _configured(self, types: tuple[TypeName, ...], bodies: dict[str, list[Statement]]) -> File:
        """Give tasks in a configuration, with all that they share as globals."""
        used = {task.name: self._used(task) for task in self.program.tasks}
        every = self.declared.variables(frozenset().union(*used.values()))
        timers = [self.declared.hidden(self.terms.times[name], "TON") for name in sorted(self.elsewhere)]
        globals_, externals = shared(v for v in (*every, *timers) if v.section != EXTERNAL)
        units, tasks, instances = [], [], []
        for task in self.program.tasks:
            named = {name.partition(".")[0] for name in used[task.name]}
            named |= {self.terms.overtimes[c] for c in self.terms.overtimes if c in named}
            named |= {self.terms.times[c] for c in self.elsewhere if c in named}
            outside = [v for v in (*externals, *(v for v in every if v.section == EXTERNAL)) if v.name in named]
            unit = self._unit(f"{self.program.name}_{task.name}", [*outside, *self._hidden(task)], bodies[task.name])
            units.append(unit)
            name = self.naming.new(task.name)
            tasks.append(DeclaredTask(self.terms.here(), name, tuple(self._settings(task))))
            instances.append(ProgramInstance(self.terms.here(), self.naming.new(f"{task.name}_run"), name, unit.name))
        whole = self.naming.new(f"{self.program.name}_tasks")
        configuration = Configuration(self.terms.here(), whole, tuple(globals_), tuple(tasks), tuple(instances))
        return File(types, tuple(units), (), (configuration,))

    def _settings(self, task: TaskBody) -> Iterator[tuple[Place, str, Literal]]:
        for word, value, type_ in (("INTERVAL", task.period, TIME), ("PRIORITY", task.priority, DINT)):
            if value is not None:
                literal = self.terms.literal(value, type_)
                assert isinstance(literal, Literal), "no period and no priority is negative"
                yield self.terms.here(), word, literal

    def _unit(self, name: str, variables: list[Variable], body: list[Statement]) -> Unit:
        return Unit(self.terms.here(), "PROGRAM", self.naming.new(name), None, tuple(variables), tuple(body))

    # what a task uses

    def _used(self, task: TaskBody) -> frozenset[str]:
        written = (n for source in task.body for n in written_names(lower(source, self.steps)))
        return frozenset(name for row in self.reads[task.name] for name in row) | frozenset(written)

    def _charts(self, task: TaskBody) -> list[Chart]:
        return [source for source in task.body if isinstance(source, Chart)]

    def _hidden(self, task: TaskBody) -> list[Variable]:
        """Give what only the conversion needs, in this task."""
        made = [self.declared.hidden(self.terms.first_scan, "R_TRIG")] if self._looks_at_first_scan(task) else []
        charts = self._charts(task)
        timed = self.terms.times.keys() - self.elsewhere
        made += [self.declared.hidden(self.terms.times[c.name], "TON") for c in charts if c.name in timed]
        made += [
            self.declared.hidden(self.before[c.name], self.terms.words[c.name].type, TEMPORARY)
            for c in charts
            if needs_before(c, self.terms)
        ]
        return [*(v for v in made if v.section == PLAIN), *(v for v in made if v.section == TEMPORARY)]

    def _looks_at_first_scan(self, task: TaskBody) -> bool:
        pairs = zip(task.body, self.reads[task.name], strict=True)
        return any(needs_first_scan(s) if isinstance(s, Chart) else FIRST_SCAN.name in row for s, row in pairs)

    # what a task does

    def _body(self, task: TaskBody) -> list[Statement]:
        made: list[Statement] = []
        if self._looks_at_first_scan(task):
            made.append(do(self.terms.first_scan, [("CLK", TRUE)], self.terms))
        early = {c.name for c in self._charts(task) if self._is_early(c, task)}
        for name in self.terms.times:
            made += count_time(name, self.terms) if name in early else []
        for source in task.body:
            self.terms.place = source.place
            statements = self._statements(source, early)
            self._note(source, statements)
            made += statements
        return made

    def _is_early(self, chart: Chart, task: TaskBody) -> bool:
        """Say whether something above a chart reads its step time."""
        above = self.reads[task.name][: task.body.index(chart)]
        return any(since_ref(chart.name).name in row for row in above)

    def _is_read_elsewhere(self, chart: str) -> bool:
        """Say whether another task than that of a sequence reads its step time: its timer is a global then.

        Until the sequence has run for the first time the timer has not begun, where a Python program counts from 0.
        """
        mine = next(t.name for t in self.program.tasks if any(c.name == chart for c in self._charts(t)))
        rows = (row for task, found in self.reads.items() if task != mine for row in found)
        return any(since_ref(chart).name in row for row in rows)

    def _statements(self, source: Source, early: set[str]) -> list[Statement]:
        match source:
            case Rung():
                return of_rung(source, self.terms)
            case Move():
                return of_move(source, self.terms)
            case Call():
                check_block(source.instance)
                return of_call(source, self.terms)
            case Chart():
                first = [] if source.name in early else count_time(source.name, self.terms)
                return [*first, *of_chart(source, self.before[source.name], self.terms, self.declared.notes)]
            case AlarmTable():
                return of_alarms(source, self.terms)
            case Opaque():
                raise plain_python(source)

    def _note(self, source: Source, statements: list[Statement]) -> None:
        comment = getattr(source, "comment", "")
        if isinstance(source, Rung) and comment == self.program.declared[source.target.name].description:
            comment = ""
        above = self.remarks.at(source.place.file, source.place.line)
        known = {Chart: "the steps of the sequence", AlarmTable: "alarms, latched until a reset finds the cause gone"}
        text = "\n".join(dict.fromkeys(part for part in (above, comment) if part)) or known.get(type(source), "")
        if text and statements:
            self.declared.notes[statements[0].place] = text


def _own_names(program: Program) -> Iterator[tuple[str, Place]]:
    nowhere = Place(program.name)
    for tag in program.declared.values():
        if "." not in tag.name:
            yield tag.name, tag.place or nowhere
    for instance in program.instances.values():
        yield instance.name, instance.place
    for chart in program.charts.values():
        yield chart.name, chart.place


def _reads(source: Source, steps: dict[str, tuple[str, ...]]) -> frozenset[str]:
    core = tuple(nodes(lower(source, steps)))
    found = {name for node in core for each in expressions(node) for name in read_names(each)}
    return frozenset(found)


__all__ = ["SAFETY", "Conversion", "Converted", "checked_python", "converted"]
