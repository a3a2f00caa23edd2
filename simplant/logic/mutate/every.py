"""Every mutant of a program: its sources in order, then its tags and charts as they begin.

The mistakes themselves are beside this file. What a scan writes before it reads it begins as nothing anyone sees, and
is left alone. Rule: the same program gives the same mutants in the same order, each with a text of its own.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Final

from simplant.errors import Place, ProgramError
from simplant.logic.layout import layouts
from simplant.logic.mutate.charts import of_chart
from simplant.logic.mutate.expressions import Surroundings
from simplant.logic.mutate.mutant import Mutant, with_chart, with_tag
from simplant.logic.mutate.statements import of_alarms, of_call, of_move, of_rung
from simplant.logic.mutate.text import of_text
from simplant.logic.nodes import AlarmTable, Call, Chart, Move, Rung, Source
from simplant.logic.program import Program
from simplant.logic.st.prepared import TextProgram
from simplant.tags import Direction, Tag
from simplant.timebase import Ns, ms
from simplant.values import BOOL

_SCAN: Final = ms(10)


def mutants(program: Program, *, scan: Ns = _SCAN) -> tuple[Mutant, ...]:
    """Give every mutant of a program.

    Args:
        program: complete, all its sequences with their transitions.
        scan: the period of its task, by which times are made longer and shorter, ns.

    Source: what is changed follows the kinds of fault published for programs of IEC 61131-3 languages, from memory:
    Enoiu, Sundmark, Causevic, Feldt, Pettersson, Mutation-based test generation for PLC embedded software (2017).
    """
    told: dict[str, Mutant] = {}
    for mutant in of_text(program, scan) if isinstance(program, TextProgram) else _in_python(program, scan):
        if mutant.before != mutant.after:
            told.setdefault(str(mutant), mutant)
    return tuple(told.values())


def _in_python(program: Program, scan: Ns) -> Iterator[Mutant]:
    around = Surroundings(program, scan)
    for source in program.sources():
        yield from _of(source, around)
    yield from _beginnings(program)


def _of(source: Source, around: Surroundings) -> Iterator[Mutant]:
    match source:
        case Rung():
            yield from of_rung(source, around)
        case Move():
            yield from of_move(source, around)
        case Call():
            yield from of_call(source, around)
        case AlarmTable():
            yield from of_alarms(source, around)
        case Chart():
            yield from of_chart(source, around)
        case _:  # plain Python is not looked into
            pass


def _beginnings(program: Program) -> Iterator[Mutant]:
    read_first = {layout.slots[n].name for layout in layouts(program) for n in layout.carried}
    for tag in program.declared.values():
        if tag.direction is Direction.MEMORY and tag.name in read_first and "." not in tag.name:
            yield from _of_tag(program, tag)
    for chart in program.charts.values():
        make = partial(with_chart, program, chart, initial=chart.initial, retain=not chart.retain)
        needed = f"a run in which the power fails while {chart.name} has left {chart.initial}"
        yield Mutant("initial", chart.place, chart.name, _kept(chart.retain), _kept(not chart.retain), make, needed)


def _kept(retain: object) -> str:
    return "kept over a restart" if retain else "lost at a restart"


def _of_tag(program: Program, tag: Tag) -> Iterator[Mutant]:
    place = tag.place or Place(program.name)
    retain = replace(tag, retain=not tag.retain)
    yield Mutant(
        "initial", place, tag.name, _kept(tag.retain), _kept(retain.retain), lambda: with_tag(program, retain),
        f"a run in which the power fails after {tag.name} was written",
    )  # fmt: skip
    assert tag.initial is not None, "a tag always has an initial value"
    if isinstance(tag.initial, str):
        return
    try:
        other = replace(tag, initial=not tag.initial if tag.type is BOOL else tag.initial * 10 + 1)
    except ProgramError:  # at the end of its range
        return
    yield Mutant(
        "initial", place, tag.name, f"begins as {tag.initial}", f"as {other.initial}", lambda: with_tag(program, other),
        f"a run in which {tag.name} is looked at before it is first written",
    )  # fmt: skip
