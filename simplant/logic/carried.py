"""Which stored values a scan takes from the scan before: those it may read before it has written them.

If these are as they were, and inputs and what depends on time too, the next scan does exactly what this one did, even
if it wrote other values; so the sleeping scan compares these alone. Rule: in doubt a value is carried.
"""

from collections.abc import Iterable

from simplant.expr import Expr
from simplant.logic.core import (
    Assign,
    Branch,
    Copy,
    Core,
    Invoke,
    Leave,
    Locate,
    Loop,
    Perform,
    PythonCall,
    Row,
    Stamp,
    Store,
    Structured,
)
from simplant.logic.names import expressions, read_names


def carried(core: Iterable[Core]) -> frozenset[str]:
    """Give the names that some path through a scan reads before writing."""
    found: set[str] = set()
    _walk(core, frozenset(), found)
    return frozenset(found)


def _walk(core: Iterable[Core], written: frozenset[str], found: set[str]) -> frozenset[str]:
    """Go through nodes in order; give what is surely written after them."""
    for node in core:
        match node:
            case Assign():
                _read((node.value,), written, found)
                written |= {node.target}
            case Stamp():
                written |= {node.target}
            case Invoke():
                written |= _invoke(node, written, found)
            case Branch():
                written = _branch(node, written, found)
            case Loop() | Leave() | Store() | Copy() | Perform() | Locate():
                written = _structured(node, written, found)
            case PythonCall():
                found.update(name for name in node.reads if name not in written)
                written |= set(node.writes)
    return written


def _structured(node: Structured, written: frozenset[str], found: set[str]) -> frozenset[str]:
    """Go through what only Structured Text has; a row that is written in part counts as read."""
    match node:
        case Loop():
            written = _walk(node.head, written, found)
            _read(expressions(node), written, found)
            _walk((*node.body, *node.step), written, found)
        case Store() | Copy():
            _read(expressions(node), written, found)
            rows = {node.target} | ({node.source} if isinstance(node, Copy) else set())
            found.update(rows - written)
        case Perform():
            _read(expressions(node), written, found)
            found.update({a.name for a in node.arguments if isinstance(a, Row)} - written)
            written |= set(node.results)
        case Locate():  # the rows that references lead to are carried whole (st/tasks.py)
            _read(expressions(node), written, found)
            written |= {node.at, *(name for name, _ in node.rows)}
        case Leave():
            pass
    return written


def _read(given: Iterable[Expr], written: frozenset[str], found: set[str]) -> None:
    for expression in given:
        found.update(name for name in read_names(expression) if name not in written)


def _invoke(node: Invoke, written: frozenset[str], found: set[str]) -> frozenset[str]:
    """A block reads its inputs that are not given, and of its own memory what its type says."""
    _read((value for _, value in node.arguments), written, found)
    given = {name for name, _ in node.arguments}
    needs = {f.name for f in node.block.inputs if f.name not in given} | set(node.block.remembers)
    fields = {f"{node.instance}.{f.name}" for f in node.block.stored} | {f"{node.instance}.ET"}
    found.update(f"{node.instance}.{name}" for name in needs if f"{node.instance}.{name}" not in written)
    return frozenset(fields)


def _branch(node: Branch, written: frozenset[str], found: set[str]) -> frozenset[str]:
    _read((condition for condition, _ in node.arms), written, found)
    ends = [_walk(body, written, found) for _, body in node.arms] + [_walk(node.otherwise, written, found)]
    return frozenset.intersection(*ends)
