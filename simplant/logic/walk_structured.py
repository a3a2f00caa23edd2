"""Walking what only Structured Text has: loops, rows, routines. The oracle for compile_structured.py.

The other statements are walk.py. Rule: no cleverness.
"""

from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import Any

from simplant.expr import evaluate
from simplant.expr.places import MEMORY
from simplant.logic.compile_structured import endless
from simplant.logic.core import Copy, Core, Exit, Leave, Locate, Loop, Perform, Row, Store, Structured


class Left(Exception):  # noqa: N818 - the way out of loops and routines, no error
    """Carries a `Leave` out to what it leaves."""

    def __init__(self, what: Exit) -> None:
        super().__init__(what)
        self.what = what


Do = Callable[[Iterable[Core], Any], None]


def walk_structured(node: Structured, values: Any, do: Do) -> None:
    """Do one statement."""
    match node:
        case Loop():
            _loop(node, values, do)
        case Leave():
            raise Left(node.what)
        case Store():
            values[node.target][evaluate(node.index, values)] = evaluate(node.value, values)
        case Copy():
            start, source = evaluate(node.offset, values), evaluate(node.source_offset, values)
            given = values[node.source][source : source + node.count]  # type: ignore[operator]  # offsets are whole
            values[node.target][start : start + node.count] = given  # type: ignore[operator]
        case Perform():
            _perform(node, values, do)
        case Locate():
            suffixes = [suffix for _, suffix in node.rows]
            found = values[MEMORY].locate(evaluate(node.reference, values), node.label, suffixes)
            names = (node.at, *(row for row, _ in node.rows))
            values.update(zip(names, found, strict=True))


def _loop(node: Loop, values: Any, do: Do) -> None:
    while True:
        values.left[0] -= 1
        if values.left[0] < 0:
            raise endless()
        do(node.head, values)
        if node.condition is not None and not evaluate(node.condition, values):
            return
        try:
            do(node.body, values)
            do(node.step, values)
        except Left as left:
            if left.what is Exit.LOOP:
                return
            if left.what is Exit.ROUTINE:
                raise


def _perform(node: Perform, values: Any, do: Do) -> None:
    routine = node.routine
    inner = values.inner(routine.blocks)
    for name, given in zip(routine.parameters, node.arguments, strict=True):
        if isinstance(given, Row):
            inner[name] = list(values[given.name]) if given.copied else values[given.name]
        else:
            inner[name] = evaluate(given, values)
    for name, value in routine.local:
        inner[name] = list(value) if isinstance(value, tuple) else value
    with suppress(Left):  # a loop catches what leaves a loop, so this leaves the routine
        do(routine.body, inner)
    for name, result in zip(node.results, routine.results, strict=True):
        values[name] = inner[result]
