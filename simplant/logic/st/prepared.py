"""A machine's control program in Structured Text: bound to the I/O list, its variables as tags for rules and traces.

A variable at an address (`start AT %IX0.2 : BOOL`) is the tag of that address; a VAR_EXTERNAL or undeclared name that
is a tag is that tag. An enumeration `X_first_out` with names `none, a, b ...` that are all BOOL variables is the
first-out of an alarm table X, and the comments beside these (`what happened; what to do`) are its texts; any other by
which a CASE chooses, or that a MOVE in a rung sets, is a sequence. Rule: what the file says beyond that is its affair.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from simplant.errors import Place, ProgramError
from simplant.expr import Const, Ref
from simplant.files import shown
from simplant.logic.check.findings import Finding
from simplant.logic.ladder.tree import Block, Ladder, elements
from simplant.logic.layout import Prepared
from simplant.logic.nodes import Alarm, AlarmTable, Step
from simplant.logic.sequence import Sequence_
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.comments import beside
from simplant.logic.st.declared import File
from simplant.logic.st.faces import reader_of
from simplant.logic.st.lints import lints
from simplant.logic.st.parse import parse
from simplant.logic.st.project import Project, Reader
from simplant.logic.st.report import Mistake
from simplant.logic.st.scope import Symbol
from simplant.logic.st.source_text import read_source
from simplant.logic.st.statements import every
from simplant.logic.st.tasks import Laid, lay_out
from simplant.logic.st.tree import Case, Let, Literal
from simplant.logic.st.types import Scalar, elementary
from simplant.tags import Tag, name_problem
from simplant.values import BOOL, TYPES


class TextProgram(Prepared):
    """A machine's program with the source that it was read from.

    Attributes:
        project: the source, read and checked.
        io: the I/O list that it is bound to.
    """

    project: Project
    io: tuple[Tag, ...]

    def of(self, file: File) -> "TextProgram":
        """Give the program that another tree of the same source is; raises `SourceErrors`."""
        report = self.project.report
        symbols = [_symbol(tag) for tag in self.io]
        project = Project(report.text, report.name, tags=symbols, read=lambda _: file)
        return _program(project, self.io, self.charts_of_units, ())


def read_program(path: Path, tags: Sequence[Tag], *, strict: bool = False) -> TextProgram:
    """Read a machine's program.

    Args:
        path: the file.
        tags: the I/O list.
        strict: what the standard disallows is an error.

    Raises:
        SourceErrors: with all that is wrong in it.
    """
    name = shown(path)
    try:
        text = read_source(path)
    except OSError as error:
        raise ProgramError(f"{name} cannot be read", error.strerror or str(error), "name it in machine.toml") from None
    return prepared(text, name, tags, strict=strict, read=reader_of(path))


def prepared(text: str, name: str, tags: Sequence[Tag], *, strict: bool = False, read: Reader = parse) -> TextProgram:
    """Make a machine's program of the text of a file; `read` is what reads its kind (faces.py).

    Raises:
        SourceErrors: with all that is wrong in it.
    """
    project = Project(text, name, strict=strict, tags=[_symbol(tag) for tag in tags], read=read)
    project.report.raise_errors()
    charts = {u.name: u.body for u in project.written.units if isinstance(u.body, Chart)}
    return _program(project, tags, charts, [*project.report.mistakes, *lints(project)])


def _program(
    project: Project, tags: Sequence[Tag], charts: Mapping[str, Chart], mistakes: Iterable[Mistake]
) -> TextProgram:
    project.report.raise_errors()
    name, laid = project.report.name, lay_out(project, tags=tags)
    layouts = laid.layouts
    if len(layouts) == 1 and not project.file.configurations:  # its draws are those of a task that Python names so
        layouts = (replace(layouts[0], task="main"),)
    program = TextProgram(Path(name).stem, [*tags, *_own(laid, tags, name)], layouts, map(_finding, mistakes))
    program.project, program.io, program.charts_of_units = project, tuple(tags), charts
    program.hidden = _hidden(project, charts)
    program.alarm_tables.extend(_alarm_tables(project, laid))
    for chart in _sequences(project, laid, program):
        program.charts[chart.name] = chart
        del program.declared[chart.name]
    return program


def _hidden(project: Project, charts: Mapping[str, Chart]) -> frozenset[str]:
    """Give the names of variables that lowering drawings made, and nobody wrote."""
    steps = {step.name for chart in charts.values() for step in chart.steps}
    variables = [v for unit in project.file.units for v in unit.variables]
    return frozenset(v.name for v in variables if v.hidden) - steps - {v.name for v in variables if not v.hidden}


def _symbol(tag: Tag) -> Symbol:
    place = tag.place or Place("io.csv")
    return Symbol(tag.name, tag.name, elementary(tag.type), "VAR_GLOBAL", place, tag.initial, address=tag.address)


def _own(laid: Laid, tags: Sequence[Tag], file: str) -> Iterator[Tag]:
    """Give the program's own variables as tags, as far as a tag can be of their type and name."""
    taken = {tag.name for tag in tags}
    for layout in laid.layouts:
        for slot in layout.slots:
            type_ = laid.types[slot.name].base
            usable = slot.shown and type_.name in TYPES and not name_problem(slot.name)
            if usable and slot.name not in taken:
                taken.add(slot.name)
                yield Tag(slot.name, type_, initial=slot.initial, retain=slot.retain, place=Place(file))


def _alarm_tables(project: Project, laid: Laid) -> Iterator[AlarmTable]:
    place = Place(project.report.name)
    for name, scalar in laid.types.items():
        words = [word for word, _ in (scalar.words or {}).values()]
        if name.endswith("_first_out") and words[:1] == ["none"] and all(_is_bool(laid, w) for w in words[1:]):
            said = _said(project)
            alarms = tuple(_alarm(word, said.get(word.upper(), "")) for word in words[1:])
            yield AlarmTable(name, place, name.removesuffix("_first_out"), alarms, Const(value=False, type=BOOL))


def _said(project: Project) -> dict[str, str]:
    """Give the comments beside variables, by their names in capitals."""
    variables = [v for unit in project.file.units for v in unit.variables]
    notes = beside(project.report.text, variables)
    return {v.name.upper(): notes[v.place] for v in variables if v.place in notes}


def _alarm(name: str, comment: str) -> Alarm:
    """Make an alarm of its variable, with the comment beside it: what happened; what to do."""
    text, _, action = comment.partition("; ")
    return Alarm(name, Ref(name, BOOL), text or name.replace("_", " "), action)


def _sequences(project: Project, laid: Laid, program: Prepared) -> Iterator[Sequence_]:
    """Give the enumerations by which a CASE chooses as sequences."""
    statements = [node for unit in project.file.units for node in every(unit.statements)]
    chosen = {str(node.selector).upper() for node in statements if isinstance(node, Case)}
    chosen |= _told_by_charts(program) | set(_moved_in_rungs(project))
    first_outs = {table.id for table in program.alarm_tables}
    places = {v.name.upper(): v.place for unit in project.file.units for v in unit.variables}
    for slot in (slot for layout in laid.layouts for slot in layout.slots if slot.shown and slot.words):
        key = slot.name.upper()
        if key in chosen and slot.name in program.declared and slot.name not in first_outs:
            steps = tuple(Step(word) for word in slot.words)
            place = places.get(key, Place(project.report.name))
            first = slot.words[int(slot.initial)]
            if slot.name not in program.charts:
                yield Sequence_(program, slot.name, steps, first, place, retain=slot.retain)


def _told_by_charts(program: Prepared) -> set[str]:
    """Give what actions of charts set to a name of an enumeration (`cycle := CycleStep#aim`): the step, for others."""
    found: set[str] = set()
    for chart in program.charts_of_units.values():
        for action in chart.actions:
            for node in every(action.body) if isinstance(action.body, tuple) else ():
                if isinstance(node, Let) and isinstance(node.value, Literal) and node.value.enum:
                    found.add(str(node.target).upper())
    return found


def _moved_in_rungs(project: Project) -> Iterator[str]:
    """Give what a MOVE in a rung sets."""
    for unit in project.written.units:
        for rung in unit.body.rungs if isinstance(unit.body, Ladder) else ():
            blocks = (e for e in elements(rung.line) if isinstance(e, Block) and e.type.upper() == "MOVE")
            yield from (str(pin.target).upper() for block in blocks for pin in block.pins if pin.target is not None)


def _is_bool(laid: Laid, name: str) -> bool:
    found = laid.types.get(name)
    return isinstance(found, Scalar) and found.base is BOOL


def _finding(mistake: Mistake) -> Finding:
    severity = "warning" if mistake.severity == "warning" else "error"
    return Finding(severity, "text", mistake.what, mistake.why, mistake.mend, mistake.place)  # type: ignore[arg-type]
