"""Who calls whom: the units of a file in an order in which each stands after all that it calls.

So none is lowered inside another one, however long a chain of calls is. Rule: a chain that is too long to run is told;
recursion is told where it is lowered (project.py).
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from simplant.logic.st.declared import ArrayOf, Named, TypeSpec, Unit
from simplant.logic.st.parts import expressions_of, within
from simplant.logic.st.scope import UnitInfo
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Call

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
