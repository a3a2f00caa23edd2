"""Printing statements of Structured Text.

Expressions are printed_expressions.py, declarations printed.py. Rule: one statement, one way to write it: words in
capitals, two spaces for what stands inside, `;` where nothing stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from simplant.errors import Place
from simplant.logic.st.comments import Behind, Below, Headed, marked
from simplant.logic.st.printed_expressions import (
    BOUND,
    WIDTH,
    Piece,
    before,
    behind,
    call_pieces,
    filled,
    pieces,
    printed_access,
    printed_expression,
)
from simplant.logic.st.tree import Case, Do, Expression, For, If, Leave, Let, Repeat, Statement, While

STEP = 2
"""Spaces for what stands inside something."""

Notes = Mapping[Place, str]
"""Comments, by the place of the statement or declaration that they stand before (or as st/comments.py marks it)."""


def printed_statements(nodes: Sequence[Statement], indent: int = 0, notes: Notes | None = None) -> list[str]:
    """Print statements.

    Args:
        nodes: in order; none at all is printed as `;`.
        indent: spaces before each row.
        notes: comments that stand before statements.

    Returns:
        Rows of text.
    """
    return list(_Printer(notes or {}).rows(nodes, indent))


def printed_comment(text: str, indent: int = 0) -> list[str]:
    """Print a comment; what would end it early is spaced out."""
    inside = text.replace("(*", "( *").replace("*)", "* )").strip()
    rows: list[str] = []
    margin = " " * indent
    for number, line in enumerate(inside.splitlines() or [""]):
        opening = "(* " if number == 0 else "   "
        words = [Piece(word, 0) for word in line.split()] or [Piece("", 0)]
        rows += [row.rstrip() for row in filled(before(opening, words), indent, indent + 3)]
    return [*rows[:-1], f"{rows[-1]} *)"] if rows[-1].strip() else [f"{margin}(* *)"]


class _Printer:
    def __init__(self, notes: Notes) -> None:
        self.notes = dict(notes)

    def rows(self, nodes: Sequence[Statement], indent: int) -> Iterator[str]:
        for number, node in enumerate(nodes):
            if node.place in self.notes:
                yield from [""] if number else []
                yield from printed_comment(self.notes.pop(node.place), indent)
            yield from self._with(self.statement(node, indent), marked(Behind, node.place), indent)
            below = self.notes.pop(marked(Below, node.place), "")
            yield from printed_comment(below, indent) if below else []
        if not nodes:
            yield f"{' ' * indent};"

    def _with(self, rows: Iterable[str], key: Place, indent: int) -> Iterator[str]:
        """Give rows with a comment behind the last one, or below it, if there is no room."""
        words, rows = self.notes.pop(key, ""), list(rows)
        comment = printed_comment(words) if words else []
        if len(comment) == 1 and len(rows[-1]) + 1 + len(comment[0]) <= WIDTH:
            yield from (*rows[:-1], f"{rows[-1]} {comment[0]}")
        else:
            yield from (*rows, *(printed_comment(words, indent) if words else ()))

    def _body(self, head: Iterable[str], nodes: Sequence[Statement], indent: int) -> Iterator[str]:
        """Print a body below its head."""
        yield from self._with(head, marked(Headed, nodes[0].place), indent) if nodes else head
        yield from self.rows(nodes, indent)

    def statement(self, node: Statement, indent: int) -> Iterator[str]:
        match node:
            case Let():
                yield from _let(node, indent)
            case Do():
                yield from _do(node, indent)
            case If():
                yield from self._if(node, indent)
            case Case():
                yield from self._case(node, indent)
            case For() | While() | Repeat():
                yield from self._loop(node, indent)
            case Leave():
                yield f"{' ' * indent}{node.word};"

    def _if(self, node: If, indent: int) -> Iterator[str]:
        for number, (condition, body) in enumerate(node.arms):
            head = _headed("ELSIF" if number else "IF", condition, "THEN", indent)
            yield from self._body(head, body, indent + STEP)
        if node.otherwise:
            yield from self._body([f"{' ' * indent}ELSE"], node.otherwise, indent + STEP)
        yield f"{' ' * indent}END_IF;"

    def _case(self, node: Case, indent: int) -> Iterator[str]:
        yield from _headed("CASE", node.selector, "OF", indent)
        for labels, body in node.groups:
            yield from self._labels(labels, indent + STEP)
            yield from self.rows(body, indent + 2 * STEP)
        if node.otherwise:
            yield from self._body([f"{' ' * (indent + STEP)}ELSE"], node.otherwise, indent + 2 * STEP)
        yield f"{' ' * indent}END_CASE;"

    def _labels(self, labels: Sequence[tuple[Expression, Expression | None]], indent: int) -> Iterator[str]:
        row = [Piece(_label(low, high), 0) for low, high in labels]
        rows = filled([*(behind([p], ",")[0] for p in row[:-1]), *behind(row[-1:], ":")], indent)
        place = labels[0][0].place
        comment = printed_comment(self.notes[place]) if place in self.notes else []
        if len(comment) == 1 and len(rows[-1]) + 1 + len(comment[0]) <= WIDTH:
            rows[-1] += f" {comment[0]}"
        else:
            yield from (" " * indent + each for each in comment)
        yield from rows

    def _loop(self, node: For | While | Repeat, indent: int) -> Iterator[str]:
        match node:
            case For():
                by = f" BY {printed_expression(node.step)}" if node.step is not None else ""
                first, last = printed_expression(node.first), printed_expression(node.last)
                head = [f"{' ' * indent}FOR {printed_access(node.variable)} := {first} TO {last}{by} DO"]
            case While():
                head = [*_headed("WHILE", node.condition, "DO", indent)]
            case Repeat():
                head = [f"{' ' * indent}REPEAT"]
        yield from self._body(head, node.body, indent + STEP)
        if isinstance(node, Repeat):
            yield from _headed("UNTIL", node.until, "END_REPEAT;", indent)
        else:
            yield f"{' ' * indent}END_{'FOR' if isinstance(node, For) else 'WHILE'};"


def _let(node: Let, indent: int) -> Iterable[str]:
    head = f"{printed_access(node.target)} := "
    row = behind(before(head, pieces(node.value)), ";")
    return filled(row, indent, _under(indent + len(head), indent))


def _do(node: Do, indent: int) -> Iterable[str]:
    head = f"{printed_access(node.call.callee)}("
    return filled(behind(call_pieces(node.call), ";"), indent, _under(indent + len(head), indent))


def _headed(word: str, node: Expression, ending: str, indent: int) -> Iterable[str]:
    row = behind(before(f"{word} ", pieces(node)), f" {ending}")
    return filled(row, indent, indent + len(word) + 1)


def _under(column: int, indent: int) -> int:
    """Give where a row goes on: under what it begins with, unless that is too far to the right."""
    return column if column < WIDTH // 3 else indent + 2 * STEP


def _label(low: Expression, high: Expression | None) -> str:
    first = printed_expression(low, BOUND)
    return first if high is None else f"{first}..{printed_expression(high, BOUND)}"
