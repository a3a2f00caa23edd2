"""A Python program with its sequences as sequential function charts, the rest of it as Structured Text.

One chart is sequences.py, all else programs.py. Rule: every tag, step and block keeps its name and its place in the
scan; the active step stands in the variable of the sequence, as everywhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from simplant.errors import ProgramError
from simplant.logic.convert.naming import in_capitals
from simplant.logic.convert.programs import SAFETY, Conversion, Converted, checked_python
from simplant.logic.convert.remarks import Remarks
from simplant.logic.convert.sequences import Charted
from simplant.logic.convert.statements import do
from simplant.logic.convert.variables import EXTERNAL, shared
from simplant.logic.lower import FIRST_SCAN, since_ref
from simplant.logic.nodes import Chart, Source, TaskBody
from simplant.logic.program import Program
from simplant.logic.sfc.parts import accesses
from simplant.logic.sfc.tree import Chart as SeveralSteps
from simplant.logic.st.declared import File, Unit, Variable
from simplant.logic.st.tree import Statement


def converted_in_charts(program: Program, *, title: str = "", remarks: Remarks | None = None) -> Converted:
    """Say a Python program with its sequences as charts.

    Args:
        program: complete, with one sequence at least.
        title: of the machine, for the head.
        remarks: what its author wrote beside it.

    Raises:
        ProgramError: it cannot be said; with the place.
    """
    checked_python(program)
    if not program.charts:
        raise ProgramError(f"{program.name} has no sequences", "there is nothing to make a chart of", "use --to st")
    return _InCharts(program, remarks or Remarks("", "")).all(title)


class _InCharts(Conversion):
    def __init__(self, program: Program, remarks: Remarks) -> None:
        super().__init__(program, remarks)
        self.blocks: list[Unit] = []
        self.instances: dict[str, tuple[str, str]] = {}
        for name, chart in program.charts.items():
            self._check_outside(name)
            block = self.naming.new(f"{in_capitals(name)}Chart")
            self.instances[chart.name] = self.naming.new(f"{name}_chart"), block
        self.terms.times = {}

    def _check_outside(self, name: str) -> None:
        """Refuse a step time that is read where there is none: outside the chart."""
        for task in self.program.tasks:
            for source, row in zip(task.body, self.reads[task.name], strict=True):
                mine = isinstance(source, Chart) and source.name == name
                if since_ref(name).name in row and not mine:
                    what = f"the step time of {name} is read outside the sequence"
                    raise ProgramError(what, "a chart keeps the times of its steps to itself", "convert it --to st",
                                       source.place)  # fmt: skip

    def all(self, title: str) -> Converted:
        """Give the whole source."""
        types = tuple(self.declared.types(self.naming))
        bodies = {task.name: self._body(task) for task in self.program.tasks}
        file = self._configured(types, bodies)
        head = "\n\n".join(part for part in (title, self.remarks.head, SAFETY) if part)
        return Converted(replace(file, units=(*self._with_externals(file), *file.units)), self.declared.notes, head)

    def _with_externals(self, file: File) -> Iterator[Unit]:
        """Give the charts, each with what it uses of the globals declared in it."""
        (configuration,) = file.configurations
        _, externals = shared(configuration.variables)
        tags = [v for unit in file.units for v in unit.variables if v.section == EXTERNAL]
        known = {v.name: v for v in (*tags, *externals)}
        for unit in self.blocks:
            assert isinstance(unit.body, SeveralSteps), "these are charts"
            used = {access.name for access in accesses(unit.body)}
            outside = tuple(v for name, v in known.items() if name in used)
            yield replace(unit, variables=(*outside, *unit.variables))

    def _looks_at_first_scan(self, task: TaskBody) -> bool:
        pairs = zip(task.body, self.reads[task.name], strict=True)
        return any(FIRST_SCAN.name in row for source, row in pairs if not isinstance(source, Chart))

    def _hidden(self, task: TaskBody) -> list[Variable]:
        made = [self.declared.hidden(self.terms.first_scan, "R_TRIG")] if self._looks_at_first_scan(task) else []
        return [*made, *(self.declared.hidden(*self.instances[c.name]) for c in self._charts(task))]

    def _statements(self, source: Source, early: set[str]) -> list[Statement]:
        if not isinstance(source, Chart):
            return super()._statements(source, early)
        made = Charted(source, self.terms, self.naming, self.declared.notes)
        instance, block = self.instances[source.name]
        chart = made.chart()
        own = (self.declared.hidden(made.way, "INT"),) if made.way else ()
        self.blocks.append(Unit(self.terms.here(), "FUNCTION_BLOCK", block, None, own, chart))
        return [*made.clear(), do(instance, [], self.terms)]


__all__ = ["converted_in_charts"]
