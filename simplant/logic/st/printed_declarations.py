"""Printing declarations of Structured Text: types, first values, VAR sections.

Whole sources are printed.py, statements printed_statements.py. Rule: variables with addresses stand in columns, and a
comment beside its variable where there is room.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Final

from simplant.logic.st.declared import (
    AccessPath,
    ArrayOf,
    Enumeration,
    FieldInit,
    Init,
    ListInit,
    Named,
    RefTo,
    Section,
    Structure,
    Subrange,
    TypeName,
    TypeSpec,
    Variable,
)
from simplant.logic.st.printed_expressions import (
    BOUND,
    WIDTH,
    Piece,
    before,
    behind,
    filled,
    joined,
    pieces,
    printed_access,
    printed_expression,
)
from simplant.logic.st.printed_statements import STEP, Notes, printed_comment
from simplant.logic.st.tree import Expression, Literal

_REPETITION: Final = re.compile(r"(?!REF\b)\w+ ?\(", re.IGNORECASE)
"""A value that begins so would read as a repetition: `f(1)`, `NOT (a)`."""


def printed_note(place: object, notes: Notes, indent: int) -> Iterable[str]:
    """Print the comment of a place, if there is one."""
    return printed_comment(notes[place], indent) if place in notes else ()  # type: ignore[index]


# types


def printed_type_name(node: TypeName, notes: Notes) -> Iterator[str]:
    """Print one row of a TYPE block."""
    yield from printed_note(node.place, notes, STEP)
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
    notes = {} if variable.hidden else notes  # what is said at its place is said of what needs it
    rows = list(_declared(head, variable.type, variable.initial, indent, notes))
    comment = printed_comment(notes[variable.place], 0) if variable.place in notes else []
    if len(comment) == 1 and len(rows) == 1 and len(rows[0]) + 1 + len(comment[0]) <= WIDTH:
        yield f"{rows[0]} {comment[0]}"
    else:
        yield from printed_note(variable.place, notes, indent)
        yield from rows


def _located(variable: Variable) -> bool:
    return bool(variable.address) and variable.name != variable.address


def _named(variable: Variable) -> str:
    return f"AT {variable.address}" if variable.address else variable.name


def printed_accesses(rows: Sequence[AccessPath], indent: int) -> Iterator[str]:
    """Print a VAR_ACCESS."""
    if rows:
        yield f"{' ' * indent}VAR_ACCESS"
    for row in rows:
        mark = "READ_WRITE" if row.writes else "READ_ONLY"
        yield f"{' ' * (indent + STEP)}{row.name} : {printed_access(row.path)} : {printed_type(row.type)} {mark};"
    if rows:
        yield f"{' ' * indent}END_VAR"
