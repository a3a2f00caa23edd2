"""Every mutant of a program that was read from a text or a drawing: its statements in order, then how things begin.

A ladder or a chart is looked at as the statements that it became; places lead into the source. Rule: the same program
gives the same mutants in the same order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Final

from simplant.logic.mutate.mutant import Mutant
from simplant.logic.mutate.text_kinds import known
from simplant.logic.mutate.text_statements import mistakes
from simplant.logic.program import Program
from simplant.logic.st.built import truth
from simplant.logic.st.declared import File, Named, Section, Unit, Variable
from simplant.logic.st.prepared import TextProgram
from simplant.logic.st.printed_declarations import printed_initial
from simplant.timebase import Ns

_BLOCKS: Final = {
    "TON": ("TOF", "TP"), "TOF": ("TON", "TP"), "TP": ("TON", "TOF"), "R_TRIG": ("F_TRIG",), "F_TRIG": ("R_TRIG",),
}  # fmt: skip


def of_text(program: TextProgram, scan: Ns) -> Iterator[Mutant]:
    """Give the mutants of a program's text."""
    file = program.project.file
    steps = {name: tuple(chart.steps) for name, chart in program.charts.items()}
    for number, unit in enumerate(file.units):
        put = partial(_with_unit, file, number)
        around = known(file, unit, program.io, steps, scan)
        for found in mistakes(unit.statements, around):
            make = _making(program, put(replace(unit, body=found.body)))
            yield Mutant(found.kind, found.place, found.where, found.before, found.after, make, found.needed,
                         found.conditions, found.inside)  # fmt: skip
        yield from _declarations(program, unit, put)


def _with_unit(file: File, number: int, unit: Unit) -> File:
    return replace(file, units=(*file.units[:number], unit, *file.units[number + 1 :]))


def _making(program: TextProgram, file: File) -> Callable[[], Program]:
    return partial(program.of, file)


def _declarations(program: TextProgram, unit: Unit, put: Callable[[Unit], File]) -> Iterator[Mutant]:
    """Give the mutants of how variables begin, whether they are kept, and of the types of blocks."""
    read_first = {layout.slots[n].name for layout in program.laid for n in layout.carried}
    for number, variable in enumerate(unit.variables):

        def make(other: Variable, number: int = number) -> Callable[[], Program]:
            changed = (*unit.variables[:number], other, *unit.variables[number + 1 :])
            return _making(program, put(replace(unit, variables=changed)))

        name = variable.name
        kind = variable.type.name.upper() if isinstance(variable.type, Named) else ""
        for other in _BLOCKS.get(kind, ()):
            needed = f"a run in which the input of {name} comes and goes"
            changed = replace(variable, type=Named(variable.type.place, other))
            yield Mutant("timer", variable.place, name, kind, other, make(changed), needed)
        if name in read_first and not variable.address and variable.section in (Section("VAR"), _RETAINED):
            yield from _beginning(variable, make)


_RETAINED: Final = Section("VAR", retain=True)


def _beginning(variable: Variable, make: Callable[[Variable], Callable[[], Program]]) -> Iterator[Mutant]:
    name, retained = variable.name, variable.section.retain
    kept, lost = "kept over a restart", "lost at a restart"
    other = replace(variable, section=replace(variable.section, retain=not retained))
    before, after = (kept, lost) if retained else (lost, kept)
    needed = f"a run in which the power fails after {name} was written"
    yield Mutant("initial", variable.place, name, before, after, make(other), needed)
    if isinstance(variable.type, Named) and variable.type.name.upper() == "BOOL":
        told = printed_initial(variable.initial) if variable.initial is not None else "FALSE"
        flipped = truth(variable.place, value=told.upper() not in ("TRUE", "1", "BOOL#1"))
        needed = f"a run in which {name} is looked at before it is first written"
        yield Mutant("initial", variable.place, name, f"begins as {told}", f"as {flipped.text}",
                     make(replace(variable, initial=flipped)), needed)  # fmt: skip
