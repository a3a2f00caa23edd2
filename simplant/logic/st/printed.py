"""Printing a whole source as Structured Text: types, variables, program units, configurations.

Statements are printed_statements.py. Rule: print, read, print gives the same text; what is read from it equals what was
printed, but for places.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Final

from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.draw import draw
from simplant.logic.ladder.tree import Ladder
from simplant.logic.sfc.printed import printed_chart
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.declared import (
    AccessPath,
    ArrayOf,
    Configuration,
    Enumeration,
    FieldInit,
    File,
    Init,
    ListInit,
    Named,
    ProgramInstance,
    RefTo,
    Section,
    Setting,
    Structure,
    Subrange,
    Task,
    TypeName,
    TypeSpec,
    Unit,
    Variable,
)
from simplant.logic.st.printed_expressions import (
    BOUND,
    WIDTH,
    Piece,
    before,
    behind,
    call_pieces,
    filled,
    joined,
    pieces,
    printed_access,
    printed_expression,
)
from simplant.logic.st.printed_statements import STEP, Notes, printed_comment, printed_statements
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Call, Expression, Literal

_REPETITION: Final = re.compile(r"(?!REF\b)\w+ ?\(", re.IGNORECASE)
"""A value that begins so would read as a repetition: `f(1)`, `NOT (a)`."""


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
        parts.append(["TYPE", *(row for each in file.types for row in _type_name(each, known)), "END_TYPE"])
    if file.variables:
        parts.append(list(printed_sections(file.variables, 0, known)))
    parts += [list(printed_unit(unit, known)) for unit in file.units]
    parts += [list(_configuration(each, known)) for each in file.configurations]
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def printed_unit(unit: Unit, notes: Notes | None = None) -> Iterator[str]:
    """Print a program, function block or function, row by row."""
    known = notes or {}
    yield from _note(unit.place, known, 0)
    result = f" : {printed_type(unit.result)}" if unit.result is not None else ""
    yield f"{unit.kind} {unit.name}{result}"
    yield from printed_sections(unit.variables, 0, known)
    yield from _accesses(unit.accesses, 0)
    if unit.variables or unit.accesses:
        yield ""
    yield from _body(unit, known)
    yield f"END_{unit.kind}"


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


def _note(place: object, notes: Notes, indent: int) -> Iterable[str]:
    return printed_comment(notes[place], indent) if place in notes else ()  # type: ignore[index]


# types


def _type_name(node: TypeName, notes: Notes) -> Iterator[str]:
    yield from _note(node.place, notes, STEP)
    yield from _declared(node.name, node.type, node.initial, STEP, notes)


def _declared(head: str, spec: TypeSpec, initial: Init | None, indent: int, notes: Notes) -> Iterator[str]:
    """Print `head : type := initial;`."""
    if isinstance(spec, Structure):
        ending = f" := {printed_initial(initial)};" if initial is not None else ";"
        yield f"{' ' * indent}{head} : STRUCT{' OVERLAP' if spec.overlap else ''}"
        yield from _rows(spec.fields, indent + STEP, notes)
        yield f"{' ' * indent}END_STRUCT{ending}"
        return
    row = before(f"{head} : ", _type_pieces(spec))
    if initial is not None:
        row += before(":= ", _initial_pieces(initial))
    yield from filled(behind(row, ";"), indent, indent + len(head) + 4)


def printed_type(spec: TypeSpec) -> str:
    """Print a type in one row."""
    match spec:
        case Named():
            length = f"[{printed_expression(spec.length)}]" if spec.length is not None else ""
            return f"{spec.name}{length}{' ' + spec.edge if spec.edge else ''}"
        case ArrayOf():
            return f"ARRAY [{', '.join(_range(*each) for each in spec.ranges)}] OF {printed_type(spec.of)}"
        case Structure():
            fields = " ".join(row.strip() for row in _rows(spec.fields, 0, {}))
            return f"STRUCT {'OVERLAP ' if spec.overlap else ''}{fields} END_STRUCT"
        case Enumeration():
            return joined(_type_pieces(spec))
        case Subrange():
            return f"{spec.base} ({_range(spec.low, spec.high)})"
        case RefTo():
            return f"REF_TO {printed_type(spec.of)}"


def _type_pieces(spec: TypeSpec) -> list[Piece]:
    if not isinstance(spec, Enumeration):
        return [Piece(printed_type(spec), 1)]
    words = [w if value is None else f"{w} := {printed_expression(value)}" for _, w, value in spec.names]
    return _listed(f"{spec.base + ' ' if spec.base else ''}(", words, ")")


def _listed(opening: str, items: Sequence[str], closing: str) -> list[Piece]:
    """Give items in pieces, with commas between and something around them."""
    if not items:
        return [Piece(opening + closing, 1)]
    row = [Piece(f"{item},", 1) for item in items[:-1]] + [Piece(items[-1] + closing, 1)]
    return before(opening, row)


def _range(low: Expression, high: Expression) -> str:
    if isinstance(low, Literal) and low.text == "*":
        return "*"
    return f"{printed_expression(low, BOUND)}..{printed_expression(high, BOUND)}"


def printed_initial(node: Init) -> str:
    """Print an initial value in one row."""
    return joined(_initial_pieces(node))


def _initial_pieces(node: Init) -> list[Piece]:
    match node:
        case ListInit():
            return _listed("[", [_item(count, value) for count, value in node.items], "]")
        case FieldInit():
            return _listed("(", [f"{name} := {printed_initial(value)}" for _, name, value in node.items], ")")
        case _:
            return pieces(node, 0, 2)


def _item(count: Expression | None, value: Init | None) -> str:
    inside = printed_initial(value) if value is not None else ""
    if count is not None:
        return f"{printed_expression(count)}({inside})"
    return f"({inside})" if _REPETITION.match(inside) else inside


# variables


def printed_sections(variables: Sequence[Variable], indent: int = 0, notes: Notes | None = None) -> Iterator[str]:
    """Print VAR sections, one for each run of variables of one kind."""
    for section, row in groupby(variables, key=lambda v: v.section):
        yield " " * indent + _head(section)
        yield from _rows(list(row), indent + STEP, notes or {})
        yield f"{' ' * indent}END_VAR"


def _head(section: Section) -> str:
    marks = [word for word, given in (("CONSTANT", section.constant), ("RETAIN", section.retain)) if given]
    return " ".join([section.word, *marks])


def _rows(variables: Sequence[Variable], indent: int, notes: Notes) -> Iterator[str]:
    """Print the rows of a section, those with addresses and those without each in columns."""
    for located, row in groupby(variables, key=_located):
        group = list(row)
        column = max(len(v.name) for v in group) if located else 0
        heads = [f"{v.name:{column}} AT {v.address}" if located else _named(v) for v in group]
        width = max((len(head) for head in heads if len(head) < WIDTH // 3), default=0)
        for variable, head in zip(group, heads, strict=True):
            yield from _row(variable, f"{head:{width}}", indent, notes)


def _row(variable: Variable, head: str, indent: int, notes: Notes) -> Iterator[str]:
    rows = list(_declared(head, variable.type, variable.initial, indent, notes))
    comment = printed_comment(notes[variable.place], 0) if variable.place in notes else []
    if len(comment) == 1 and len(rows) == 1 and len(rows[0]) + 1 + len(comment[0]) <= WIDTH:
        yield f"{rows[0]} {comment[0]}"
    else:
        yield from _note(variable.place, notes, indent)
        yield from rows


def _located(variable: Variable) -> bool:
    return bool(variable.address) and variable.name != variable.address


def _named(variable: Variable) -> str:
    return f"AT {variable.address}" if variable.address else variable.name


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
    yield from _accesses(node.accesses, STEP)
    yield "END_CONFIGURATION"


def _accesses(rows: Sequence[AccessPath], indent: int) -> Iterator[str]:
    if rows:
        yield f"{' ' * indent}VAR_ACCESS"
    for row in rows:
        mark = "READ_WRITE" if row.writes else "READ_ONLY"
        yield f"{' ' * (indent + STEP)}{row.name} : {printed_access(row.path)} : {printed_type(row.type)} {mark};"
    if rows:
        yield f"{' ' * indent}END_VAR"


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
    return filled(before(head, behind(row, ";")), STEP, 2 * STEP)
