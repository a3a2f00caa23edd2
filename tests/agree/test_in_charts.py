"""A Python program whose sequences became sequential function charts does the same, scan for scan.

The same of Structured Text is test_converted.py. Rule: everything that can be seen is compared; of an error only the
place differs.
"""

from random import Random

import pytest

from simplant import BOOL, TIME, Direction, go
from simplant.errors import ProgramError
from simplant.logic.convert.in_charts import converted_in_charts
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.parse import parse
from simplant.logic.st.prepared import prepared
from simplant.logic.st.printed import printed
from simplant.logic.st.report import SourceErrors
from simplant.logic.xml.read import read_xml
from simplant.logic.xml.write import write_xml
from tests.agree.programs import Author
from tests.agree.stories import seen
from tests.agree.twins import authored, lines, scenarios, with_logic

REFUSED = ("step time of", "kept over a restart", "and does something on the way", "looks at the first scan")


class Sequencer(Author):
    """Writes programs whose step times nobody looks at but the sequences themselves."""

    def chart(self):
        rnd, name = self.rnd, self.name("chart")
        names = [f"s{i}" for i in range(rnd.randint(2, 4))]
        driven = [self.program.memory(f"m_{name}_drives_{i}") for i in range(2)]
        steps = [self.step(n, names, driven) for n in names]
        sequence = self.program.sequence(name, steps, initial=rnd.choice(names))
        before = list(self.elapsed)
        self.elapsed.append(sequence.time)
        rows = []
        for _ in range(rnd.randint(2, 6)):
            guard = self.bit(2) if rnd.random() < 0.5 else self.compare(sequence.time, self.constant(TIME))
            source, dest = rnd.sample(names, 2)
            rows.append(go(source, dest, guard, *self.actions()))
        sequence.transitions(rows)
        self.elapsed = before
        self.reads[BOOL] += [*driven, *(sequence[n] for n in names), sequence.among(*names[:2])]
        if any(s.limit is not None for s in steps):
            self.reads[BOOL].append(sequence.overtime())
        return sequence

    timed_chart = chart

    def write(self):
        self.chart()
        return super().write()


FORMS = ("text", "tc6", "iec")
"""The standard's text, and both editions of XML."""


def said(program, form):
    """A program with charts in a form, and what reads it."""
    whole = converted_in_charts(program)
    if form == "text":
        return printed(whole.file, whole.notes, whole.head), parse
    return write_xml(whole.file, "random", edition=form, head=whole.head, notes=whole.notes), read_xml


def in_charts(program, form):
    """The program with charts, read again; None where it cannot be said, which is told."""
    io = [t for t in program.declared.values() if t.direction is not Direction.MEMORY and "." not in t.name]
    try:
        text, reader = said(program, form)
    except ProgramError as error:
        if any(reason in error.what for reason in REFUSED):
            return None
        raise
    try:
        return prepared(text, "random.st", io, read=reader)
    except SourceErrors as error:  # a constant divisor, which the text may not have
        if "division by 0" in str(error):
            return None
        raise


@pytest.mark.slow
@pytest.mark.parametrize("form", FORMS)
def test_random_programs(form):
    """Sequences among blocks, alarms, calculations; forces, power cuts; charts asleep and awake."""
    compared = 0
    for seed in range(FORMS.index(form), 48, 3):
        program = Sequencer(Random(seed), tasks=1, opaque=False).write()
        text = in_charts(program, form)
        if text is not None:
            compared += 1
            assert seen(Random(-seed), text) == seen(Random(-seed), program), seed
    assert compared >= 4


@pytest.mark.slow
@pytest.mark.parametrize("form", FORMS)
def test_comet_toss(form, tmp_path):
    """Some scenarios, every tag, every truth; what changes at one instant is compared in one order."""
    machine = authored("comet_toss")
    text, _ = said(machine.program, form)
    assert any(isinstance(unit.body, Chart) for unit in converted_in_charts(machine.program).file.units)
    file = tmp_path / f"made.{'st' if form == 'text' else 'xml'}"
    file.write_text(text, encoding="utf-8")
    twin = with_logic("comet_toss", tmp_path, str(file))
    for path in scenarios("comet_toss")[FORMS.index(form) :: 9]:
        assert sorted(lines(twin, path)) == sorted(lines(machine, path)), path.stem
