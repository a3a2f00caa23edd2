"""Printing expressions of Structured Text: least parentheses, and breaks where a row becomes too long.

Statements are printed_statements.py, declarations printed.py. Rule: what is printed reads back as the same tree; names
and literals stay as they were written.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.logic.st.tree import (
    Access,
    Argument,
    Call,
    Deref,
    Expression,
    Field,
    Index,
    Infix,
    Literal,
    Prefix,
    Selector,
)

WIDTH: Final = 110
"""Letters in a row."""

_ATOM: Final = 10
_PREFIX: Final = 9
STRENGTH: Final = {
    "OR": 1, "XOR": 2, "AND": 3, "=": 4, "<>": 4, "<": 5, ">": 5, "<=": 5, ">=": 5, "+": 6, "-": 6, "*": 7, "/": 7,
    "MOD": 7, "**": 8,
}  # fmt: skip
BOUND: Final = 6
"""How tightly the operators of a bound, a label or a repetition must bind to stand without parentheses."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a row; before it the row may be broken, the sooner the less its `level`."""

    text: str
    level: int


def printed_expression(node: Expression, least: int = 0) -> str:
    """Print an expression in one row, in parentheses if its operator binds less than `least`."""
    return joined(pieces(node, least))


def joined(row: Iterable[Piece]) -> str:
    """Give pieces in one row."""
    return " ".join(piece.text for piece in row)


def pieces(node: Expression, least: int = 0, level: int = 0) -> list[Piece]:
    """Give an expression in pieces, with one space between."""
    match node:
        case Infix():
            inside = _infix(node, level)
        case Prefix():
            gap = " " if node.operator.isalpha() or isinstance(node.operand, Prefix) else ""
            inside = before(f"{node.operator}{gap}", pieces(node.operand, _PREFIX, level))
        case Call():
            return call_pieces(node, level)
        case Literal():
            return [Piece(f"{node.enum}#{node.text}" if node.enum else node.text, level)]
        case Access():
            return [Piece(printed_access(node), level)]
    return _enclosed(inside) if strength(node) < least else inside


def strength(node: Expression) -> int:
    """Give how tightly the outermost operator of an expression binds."""
    match node:
        case Infix():
            return STRENGTH[node.operator]
        case Prefix():
            return _PREFIX
        case _:
            return _ATOM


def _infix(node: Infix, level: int) -> list[Piece]:
    """Operators of one strength in a row are one level; what stands inside them is the next one."""
    own, row = STRENGTH[node.operator], [node]
    while isinstance(row[-1].left, Infix) and STRENGTH[row[-1].left.operator] == own:
        row.append(row[-1].left)
    made = pieces(row[-1].left, own, level + 1)
    for each in reversed(row):
        made += before(f"{each.operator} ", pieces(each.right, own + 1, level + 1), level)
    return made


def before(text: str, row: Sequence[Piece], level: int | None = None) -> list[Piece]:
    """Put text before a row of pieces; a level for the break before it."""
    first, *rest = row
    return [Piece(text + first.text, first.level if level is None else level), *rest]


def behind(row: Sequence[Piece], text: str) -> list[Piece]:
    """Put text behind a row of pieces."""
    *rest, last = row
    return [*rest, Piece(last.text + text, last.level)]


def _enclosed(row: Sequence[Piece]) -> list[Piece]:
    first, *rest = behind(row, ")")
    return [Piece(f"({first.text}", first.level), *(Piece(p.text, p.level + 1) for p in rest)]


def call_pieces(node: Call, level: int = 0) -> list[Piece]:
    """Give a call in pieces."""
    name = printed_access(node.callee)
    if not node.arguments:
        return [Piece(f"{name}()", level)]
    rows = [_argument(argument, level + 1) for argument in node.arguments]
    inside = [p for row in rows[:-1] for p in behind(row, ",")] + behind(rows[-1], ")")
    return before(f"{name}(", inside, level)


def _argument(node: Argument, level: int) -> list[Piece]:
    if node.target is not None or node.inverted:
        target = f" {printed_access(node.target)}" if node.target is not None else ""
        return [Piece(f"{'NOT ' if node.inverted else ''}{node.name} =>{target}", level)]
    if node.value is None:
        return [Piece(f"{node.name} :=", level)]
    inside = pieces(node.value, 0, level + 1)
    return before(f"{node.name} := " if node.name else "", inside, level)


def printed_access(node: Access) -> str:
    """Print a variable with what selects a part of it."""
    return node.name + "".join(_selector(each) for each in node.selectors)


def _selector(node: Selector) -> str:
    match node:
        case Field():
            return f".{node.name}"
        case Deref():
            return "^"
        case Index():
            return f"[{', '.join(printed_expression(value) for value in node.values)}]"
        case _:
            return f".%{node.size}{node.number}"


def filled(row: Sequence[Piece], indent: int, hang: int | None = None) -> list[str]:
    """Give pieces as rows of text: in one if it fits, else broken where the level is least.

    Args:
        row: the pieces.
        indent: spaces before the first row.
        hang: spaces before the others; None = four more.
    """
    margin, rest, rows = indent, list(row), []
    hang = indent + 4 if hang is None else hang
    levels = sorted({piece.level for piece in row[1:]})
    while rest:
        count = _fitting(rest, WIDTH - margin)
        rows.append(" " * margin + joined(rest[:count]))
        rest = rest[count:]
        margin = hang + 2 * levels.index(rest[0].level) if rest else hang  # what stands deeper goes further in
    return rows


def _fitting(row: Sequence[Piece], width: int) -> int:
    """Give how many pieces stand in a row."""
    length, fits = -1, 0
    for piece in row:
        length += 1 + len(piece.text)
        if length > width:
            break
        fits += 1
    if fits in (0, len(row)):
        return max(fits, 1)
    return min(range(1, fits + 1), key=lambda n: (row[n].level, -n))
