"""Lines of source for what only Structured Text has: loops, rows, routines.

The other statements, and the function they stand in, are compile.py. Rule: every loop takes its passes from one
budget for the whole scan, so a scan that does not end is told, with its line, and never hangs.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final, Protocol

from simplant.errors import ProgramError
from simplant.expr import Expr
from simplant.logic.core import Branch, Copy, Core, Exit, Leave, Locate, Loop, Origin, Perform, Row, Store, Structured
from simplant.logic.emit import Emitter

BUDGET: Final = 1_000_000
"""Passes of loops that one scan may make."""


MOST_ARMS: Final = 200
"""Arms of a branch that are written in one row."""


class Writer(Protocol):
    """What compile.py offers to a statement."""

    lines: list[str]
    """What is written so far."""

    @property
    def emitter(self) -> Emitter:
        """Writes expressions."""

    @property
    def result(self) -> str:
        """What a routine gives back, as source."""

    def put(self, text: str, depth: int, origin: Origin | None = None) -> None:
        """Write a line."""

    def body(self, core: Sequence[Core], depth: int) -> None:
        """Write statements."""

    def times(self, given: Iterable[Expr], depth: int, origin: Origin) -> None:
        """Write the looks at running times that expressions have."""

    def routine(self, node: Perform) -> str:
        """Give the name under which a routine is called."""


def endless() -> ProgramError:
    """Make the error of a scan that does not end."""
    return ProgramError(
        f"the scan does not end: {BUDGET} passes of loops and still in this one",
        "the watchdog stops it",
        "make sure that the loop ends",
    )


def branch_lines(node: Branch, writer: Writer, depth: int) -> None:
    """Write a branch; one of very many arms in pieces, since CPython nests each `elif` in the one before."""
    arms = [(condition, body, node.of_arm(number)) for number, (condition, body) in enumerate(node.arms)]
    if len(arms) <= MOST_ARMS:
        _arms(arms, node.otherwise, writer, depth)
        return
    none = f"none_{len(writer.lines)}"  # no arm so far
    writer.put(f"{none} = True", depth, node.origin)
    for start in range(0, len(arms), MOST_ARMS):
        writer.put(f"if {none}:", depth, node.origin)
        writer.put(f"{none} = False", depth + 1, node.origin)
        _arms(arms[start : start + MOST_ARMS], None, writer, depth + 1)
        writer.put("else:", depth + 1, node.origin)
        writer.put(f"{none} = True", depth + 2, node.origin)
    writer.put(f"if {none}:", depth, node.origin)
    writer.body(node.otherwise, depth + 1)


def _arms(
    arms: Sequence[tuple[Expr, Sequence[Core], Origin]], otherwise: Sequence[Core] | None, writer: Writer, depth: int
) -> None:
    for number, (condition, body, origin) in enumerate(arms):
        writer.put(f"{'elif' if number else 'if'} {writer.emitter.text(condition)}:", depth, origin)
        writer.body(body, depth + 1)
    if otherwise:
        writer.put("else:", depth, arms[-1][2])
        writer.body(otherwise, depth + 1)


def structured_lines(node: Structured, writer: Writer, depth: int, name: Callable[[str], str]) -> None:
    """Write one statement."""
    put, text = writer.put, writer.emitter.text
    match node:
        case Loop():
            _loop(node, writer, depth)
        case Leave():
            put(f"return {writer.result}" if node.what is Exit.ROUTINE else node.what.value, depth, node.origin)
        case Store():
            put(f"{name(node.target)}[{text(node.index)}] = {text(node.value)}", depth, node.origin)
        case Copy():
            put(f"o = {text(node.offset)}", depth, node.origin)
            put(f"p = {text(node.source_offset)}", depth, node.origin)
            source = f"{name(node.source)}[p:p + {node.count}]"
            put(f"{name(node.target)}[o:o + {node.count}] = {source}", depth, node.origin)
        case Perform():
            _perform(node, writer, depth, name)
        case Locate():
            targets = "".join(f"{name(each)}, " for each in (node.at, *(row for row, _ in node.rows)))
            suffixes = tuple(suffix for _, suffix in node.rows)
            put(f"{targets} = left[1].locate({text(node.reference)}, {node.label!r}, {suffixes!r})", depth, node.origin)


def _loop(node: Loop, writer: Writer, depth: int) -> None:
    writer.put("for _ in left[0]:", depth, node.origin)
    for each in node.head:
        writer.body((each,), depth + 1)
    if node.condition is not None:
        writer.times((node.condition,), depth + 1, node.origin)
        writer.put(f"if not {writer.emitter.text(node.condition)}: break", depth + 1, node.origin)
    writer.body((*node.body, *node.step), depth + 1)
    writer.put(f"else: raise {writer.emitter.bind('e', endless)}()", depth, node.origin)


def _perform(node: Perform, writer: Writer, depth: int, name: Callable[[str], str]) -> None:
    called, routine = writer.routine(node), node.routine
    arguments = ", ".join(["left", *(["now"] if routine.timed else []), *_arguments(node, writer, name)])
    targets = [name(n) for n in node.results] + (["d"] if routine.timed else [])
    call = f"{called}({arguments})"
    put = writer.put
    put(f"{', '.join(targets)}, = {call}" if targets else call, depth, node.origin)
    if routine.timed:
        put("if d < due: due = d", depth, node.origin)


def _arguments(node: Perform, writer: Writer, name: Callable[[str], str]) -> Iterator[str]:
    for each in node.arguments:
        if isinstance(each, Row):
            yield f"{name(each.name)}[:]" if each.copied else name(each.name)
        else:
            yield writer.emitter.text(each)
