"""From any body to statements: what a ladder, a graph or a chart does, said in Structured Text.

Each form is lowered in its own package; types, names and the core are then the affair of one checker. Rule: a lowered
unit differs from the written one only in body and hidden variables; every statement keeps its place in the source.
"""

from dataclasses import replace

from simplant.logic.fbd.lower import statements_of_graph
from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.lower import lowered
from simplant.logic.ladder.tree import Ladder
from simplant.logic.sfc.checks import errors_of
from simplant.logic.sfc.lowered import statements_of_chart
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.declared import File, Unit
from simplant.logic.st.report import Fault, Report


def in_statements(file: File, report: Report) -> File:
    """Give a file with every body as statements; one that has no meaning is told in the report and left empty."""
    return replace(file, units=tuple(_told(unit, report, file) for unit in file.units))


def _told(unit: Unit, report: Report, file: File) -> Unit:
    errors = errors_of(unit, unit.body) if isinstance(unit.body, Chart) else []
    for mistake in errors:
        report.add(mistake)
    if errors:
        return replace(unit, body=())
    try:
        return statements_of(unit, file)
    except Fault as fault:
        report.add(fault.mistake)
        return replace(unit, body=())


def statements_of(unit: Unit, file: File | None = None) -> Unit:
    """Give one unit with its body as statements, and the hidden variables that they need declared in it.

    Args:
        unit: with its body in any form.
        file: where it stands: what else a drawing may call.

    Raises:
        Fault: its drawing or chart has no meaning, at the place.
    """
    match unit.body:
        case tuple():
            return unit
        case Chart():
            return statements_of_chart(unit, unit.body, lambda each: statements_of(each, file))
        case Ladder():
            return lowered(unit, unit.body)
        case Graph():
            return statements_of_graph(unit, unit.body, file)
