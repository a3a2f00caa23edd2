"""What an expression written in a table may name: tags, steps of charts, truths of the plant.

Reading the expression is expr/read.py. Rule: only what a run shows can be named, so a rule never speaks of
something that nobody can look up.
"""

from collections.abc import Callable, Iterable, Iterator

from simplant.expr import Expr, Ref, StepActive
from simplant.logic.program import Program
from simplant.wiring.io_list import IoList


def words_of(
    program: Program, io: IoList, truths: Iterable[str], truth: Callable[[str], Expr]
) -> Iterator[tuple[str, Expr]]:
    """Give each name and what it stands for (`start_pressed`, `cycle.aim`, `wheel.speed`), the program's own first.

    Args:
        program: the main controller's.
        io: the I/O list; its points are tags, so what they are made of inside is left out.
        truths: names of all truths.
        truth: makes an expression of one.
    """
    for name, tag in program.declared.items():
        if "." not in name:
            yield name, Ref(name, tag.type)
    for chart, sequence in program.charts.items():
        for step in sequence.steps:
            yield f"{chart}.{step}", StepActive(chart, (step,))
    for name in truths:
        if name.partition(".")[0] not in io:
            yield name, truth(name)
