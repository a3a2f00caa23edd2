"""A unit as a call needs it: with the lengths of its ARRAY[*], and a VAR_IN_OUT that references lead to by its place.

Rule: equal calls share one version, and so one routine.
"""

from dataclasses import replace

from simplant.logic.st.declare import Declaring
from simplant.logic.st.declared import ArrayOf, Variable
from simplant.logic.st.scope import UnitInfo
from simplant.logic.st.tree import Literal
from simplant.logic.st.types import Cell


def version_of(unit: UnitInfo, ranges: dict[str, tuple[tuple[int, int], ...]], declaring: Declaring) -> UnitInfo:
    """Give a version of a unit.

    Args:
        unit: what is called.
        ranges: by name in capitals: the bounds of an ARRAY[*], or none for a VAR_IN_OUT that is given a variable to
            which references lead, so that it is that very variable and no copy.
        declaring: makes its variables.
    """
    key = tuple(ranges.items())
    if key not in unit.versions:
        variables = tuple(_as_long(v, ranges.get(v.name.upper(), ())) for v in unit.tree.variables)
        made = unit.versions[key] = UnitInfo(replace(unit.tree, variables=variables), standard=unit.standard)
        declaring.declare(made, "")
        for symbol in (made.symbols[name] for name, bounds in ranges.items() if not bounds):
            symbol.type = Cell(symbol.type)
    return unit.versions[key]


def _as_long(variable: Variable, ranges: tuple[tuple[int, int], ...]) -> Variable:
    if not ranges or not isinstance(variable.type, ArrayOf):
        return variable
    place = variable.type.place
    bounds = tuple((Literal(place, a, None, str(a)), Literal(place, b, None, str(b))) for a, b in ranges)
    return replace(variable, type=replace(variable.type, ranges=bounds))
