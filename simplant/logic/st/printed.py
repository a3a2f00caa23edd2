"""Printing a whole source as Structured Text: types, variables, program units, configurations.

Statements are printed_statements.py. Rule: print, read, print gives the same text; what is read from it equals what was
printed, but for places.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.draw import draw
from simplant.logic.ladder.tree import Ladder
from simplant.logic.sfc.printed import printed_chart
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.comments import Below, marked
from simplant.logic.st.declared import (
    Configuration,
    File,
    ProgramInstance,
    Setting,
    Task,
    Unit,
)
from simplant.logic.st.printed_declarations import (
    printed_accesses,
    printed_initial,
    printed_note,
    printed_sections,
    printed_type,
    printed_type_name,
)
from simplant.logic.st.printed_expressions import (
    Piece,
    before,
    behind,
    call_pieces,
    filled,
    joined,
    printed_expression,
)
from simplant.logic.st.printed_statements import STEP, Notes, printed_comment, printed_statements
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Call


def printed(file: File, notes: Notes | None = None, head: str = "") -> str:
    """Print a source.

    Args:
        file: what to print.
        notes: comments, by the place of the unit, statement or variable that they belong to.
        head: a comment at the very top.

    Returns:
        Its text, with the line end of the last row; bodies in their own form: statements, drawing or chart.

    Raises:
        Fault: a body has no form as text.
    """
    known = notes or {}
    parts = [printed_comment(head)] if head else []
    if file.types:
        parts.append(["TYPE", *(row for each in file.types for row in printed_type_name(each, known)), "END_TYPE"])
    if file.variables:
        parts.append(list(printed_sections(file.variables, 0, known)))
    parts += [list(printed_unit(unit, known)) for unit in file.units]
    parts += [list(_configuration(each, known)) for each in file.configurations]
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def printed_unit(unit: Unit, notes: Notes | None = None) -> Iterator[str]:
    """Print a program, function block or function, row by row."""
    known = notes or {}
    yield from printed_note(unit.place, known, 0)
    result = f" : {printed_type(unit.result)}" if unit.result is not None else ""
    yield f"{unit.kind} {unit.name}{result}"
    yield from printed_sections(unit.variables, 0, known)
    yield from printed_accesses(unit.accesses, 0)
    if unit.variables or unit.accesses:
        yield ""
    yield from _body(unit, known)
    yield f"END_{unit.kind}"
    yield from printed_note(marked(Below, unit.place), known, 0)


def _body(unit: Unit, notes: Notes) -> Iterable[str]:
    match unit.body:
        case Chart():
            return printed_chart(unit.body, notes)
        case Ladder():
            return draw(unit.body).splitlines()
        case Graph():
            fail(
                unit.place,
                f"the body of {unit.name} is a network of blocks that is no ladder",
                "text has no form for it",
            )
        case _:
            return printed_statements(unit.body, 0, notes)


# configurations


def _configuration(node: Configuration, notes: Notes) -> Iterator[str]:
    yield f"CONFIGURATION {node.name}"
    yield from printed_sections(node.variables, STEP, notes)
    resources = [*(task.resource for task in node.tasks), *(program.resource for program in node.programs)]
    for resource in dict.fromkeys(resources):
        yield from _resource(node, resource)
    if node.settings:
        yield "  VAR_CONFIG"
        yield from (f"    {_setting(each)};" for each in node.settings)
        yield "  END_VAR"
    yield from printed_accesses(node.accesses, STEP)
    yield "END_CONFIGURATION"


def _resource(node: Configuration, name: str) -> Iterator[str]:
    """Give what one resource runs; "": what stands in no resource."""
    if name:
        yield f"  RESOURCE {name} ON any"
    for task in (t for t in node.tasks if t.resource == name):
        yield f"  TASK {task.name} ({_settings(task)});"
    for program in (p for p in node.programs if p.resource == name):
        yield from _instance(program)
    if name:
        yield "  END_RESOURCE"


def _setting(node: Setting) -> str:
    where = f" AT {node.address}" if node.address else ""
    value = f" := {printed_initial(node.initial)}" if node.initial is not None else ""
    return f"{'.'.join(node.path)}{where} : {printed_type(node.type)}{value}"


def _settings(node: Task) -> str:
    return ", ".join(f"{word} := {printed_expression(value)}" for _, word, value in node.settings)


def _instance(node: ProgramInstance) -> list[str]:
    task = f" WITH {node.task}" if node.task else ""
    head = f"PROGRAM {'RETAIN ' if node.retain else ''}{node.name}{task} : "
    row = [Piece(node.type, 0)]
    if node.arguments:
        row = call_pieces(Call(node.place, Access(node.place, node.type), node.arguments))
    if node.blocks:
        inside = [joined(row).removeprefix(f"{node.type}(").removesuffix(")")] if node.arguments else []
        inside += [f"{name} WITH {task}" for _, name, task in node.blocks]
        row = [Piece(f"{node.type}({', '.join(inside)})", 0)]
    return filled(before(head, behind(row, ";")), STEP, 2 * STEP)
