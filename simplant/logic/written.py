"""Where a program writes what: the lines to look at when a tag or a step has changed.

Taken from the core, so it is told alike for every face of a program. Rule: each place is the author's own.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from simplant.errors import Place
from simplant.expr import Binary, Const, Expr, Op, Ref
from simplant.logic.core import Assign, Branch, Core, Loop, PythonCall
from simplant.logic.layout import Layout
from simplant.values import Value


@dataclass(frozen=True, slots=True)
class Writing:
    """One line that writes a name: only this value, or any (None); `only_in`: names and values it is reached by."""

    place: Place
    value: Value | None = None
    only_in: tuple[tuple[str, Value], ...] = ()


def writings(layouts: Iterable[Layout]) -> Mapping[str, tuple[Writing, ...]]:
    """Give for each name the lines that write it, in order, each once."""
    found: dict[str, dict[Writing, None]] = {}
    for layout in layouts:
        for name, writing in _in(layout.core, ()):
            found.setdefault(name, {})[writing] = None
    return {name: tuple(lines) for name, lines in found.items()}


def written_at(lines: Iterable[Writing], value: Value, before: Value) -> tuple[Place, ...]:
    """Give the places among them that can have made `value` of the value before."""
    fitting = [w for w in lines if w.value is None or w.value == value]
    own = [w for w in fitting if any(was == before for _, was in w.only_in)]
    return tuple(dict.fromkeys(w.place for w in own or fitting))


def _in(core: Iterable[Core], only_in: tuple[tuple[str, Value], ...]) -> Iterator[tuple[str, Writing]]:
    for node in core:
        match node:
            case Assign(target=name):
                value = node.value.value if isinstance(node.value, Const) else None
                yield name, Writing(node.origin.place, value, tuple(pair for pair in only_in if pair[0] == name))
            case PythonCall(writes=names):
                yield from ((name, Writing(node.origin.place)) for name in names)
            case Branch():
                for condition, body in node.arms:
                    yield from _in(body, (*only_in, *_fixed(condition)))
                yield from _in(node.otherwise, only_in)
            case Loop():
                yield from _in((*node.head, *node.body, *node.step), only_in)
            case _:
                pass


def _fixed(condition: Expr) -> Iterator[tuple[str, Value]]:
    """Give the names whose value a condition fixes: `step = 3 AND ...`."""
    match condition:
        case Binary(op=Op.AND):
            yield from _fixed(condition.left)
            yield from _fixed(condition.right)
        case Binary(op=Op.EQ, left=Ref(name=name), right=Const(value=value)):
            yield name, value
        case _:
            pass
