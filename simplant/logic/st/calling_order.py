"""Who calls whom: the units of a file in an order in which each stands after all that it calls.

So none is lowered inside another one, however long a chain of calls is. Rule: a chain that is too long to run is told;
recursion is told where it is lowered (project.py).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final, NoReturn

from simplant.errors import Place, UsageError
from simplant.logic.st.declared import ArrayOf, Named, TypeSpec, Unit
from simplant.logic.st.parts import expressions_of, within
from simplant.logic.st.report import fail
from simplant.logic.st.scope import UnitInfo
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Call

_SHOWN: Final = 6
LONGEST: Final = 40
"""Units that may call one another in a row."""


def calling_order(units: Mapping[str, UnitInfo]) -> tuple[list[UnitInfo], list[UnitInfo]]:
    """Order units.

    Args:
        units: by name in capitals.

    Returns:
        All of them, what is called first; and those that stand above too long a chain of calls.
    """
    needs = {name: [n for n in dict.fromkeys(_needs(unit.tree)) if n in units and n != name]
             for name, unit in units.items()}  # fmt: skip
    depth: dict[str, int] = {}
    begun: set[str] = set()
    for first in units:
        stack = [first]
        while stack:
            name = stack[-1]
            waiting = [n for n in needs[name] if n not in depth and n not in begun]
            if waiting and name not in depth:
                begun.add(name)
                stack += waiting
                continue
            stack.pop()
            if name not in depth:
                begun.add(name)
                depth[name] = 1 + max((depth.get(n, 0) for n in needs[name]), default=0)
    return [units[n] for n in depth], [units[n] for n, deep in depth.items() if deep > LONGEST]


def in_a_circle(place: Place, name: str, around: Sequence[str]) -> NoReturn:
    """Tell of a unit that is called by what it calls; `around`: who calls whom up to here."""
    circle = [*around[around.index(name) if name in around else 0 :], name]
    what = ", ".join(f"{one} calls {other}" for one, other in pairwise(circle))
    if len(circle) == 2:
        what = f"{name} calls itself"
    elif len(circle) > _SHOWN:
        what = f"{len(circle) - 1} units call one another in a circle, {name} is one"
    fail(place, what, "the standard forbids recursion", "write a loop", len(name))


def what_begins(units: Mapping[str, UnitInfo], file: str) -> UnitInfo:
    """Find what to run if nobody says: a program, else a block, else a function, if one only is called by no other.

    Raises:
        UsageError: it is not clear.
    """
    called = {need for name, unit in units.items() for need in _needs(unit.tree) if need != name}
    for kind in ("PROGRAM", "FUNCTION_BLOCK", "FUNCTION"):
        found = {name: unit for name, unit in units.items() if unit.tree.kind == kind and not unit.standard}
        first = [unit for name, unit in found.items() if len(found) == 1 or name not in called]
        if len(first) == 1:
            return first[0]
        if found:
            names = ", ".join(u.tree.name for u in found.values())
            raise UsageError(f"{file} has several of kind {kind}: {names}", mend="name one with --unit")
    raise UsageError(f"{file} has no program, function block or function")


def _needs(unit: Unit) -> Iterator[str]:
    """Give the names, in capitals, of what a unit may call: called by name, or as an instance."""
    for variable in unit.variables:
        yield from _types(variable.type)
    yield from _called(unit)


def _types(spec: TypeSpec) -> Iterable[str]:
    while isinstance(spec, ArrayOf):
        spec = spec.of
    return [spec.name.upper()] if isinstance(spec, Named) else []


def _called(unit: Unit) -> Iterator[str]:
    for node in every(unit.statements):
        for expression in expressions_of(node):
            for each in within(expression):
                if isinstance(each, Call):
                    yield each.callee.name.upper()
