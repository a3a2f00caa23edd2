"""Hidden variables that a drawing needs: values on its way, what they were in the scan before.

Rule: a hidden variable never has a name that the drawing or its unit uses.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from simplant.errors import Place
from simplant.logic.st.built import truth
from simplant.logic.st.declared import Named, Section, TypeSpec, Unit, Variable
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, Infix, Literal, Prefix
from simplant.values import BOOL


def negation(term: Expression, place: Place) -> Expression:
    """Make NOT of a value."""
    match term:
        case Literal() if term.type is BOOL:
            return truth(term.place, value=not term.value)
        case Prefix() if term.operator == "NOT":
            return term.operand
        case _:
            return Prefix(place, "NOT", term)


def conjunction(first: Expression, second: Expression, place: Place) -> Expression:
    """Join two values by AND; power from the rail itself is left out."""
    if is_true(first):
        return second
    return first if is_true(second) else Infix(place, "AND", first, second)


def disjunction(terms: list[Expression], place: Place) -> Expression:
    """Join values (at least one) by OR."""
    whole, *rest = terms
    for term in rest:
        whole = truth(place, value=True) if is_true(whole) or is_true(term) else Infix(place, "OR", whole, term)
    return whole


def is_true(term: Expression) -> bool:
    """Say whether a value is the TRUE of the power rail."""
    return isinstance(term, Literal) and term.type is BOOL and term.value is True


@dataclass(slots=True)
class Hidden:
    """Makes the hidden variables of one unit.

    Args:
        unit: whose they are.
        used: further names that are taken.

    Attributes:
        made: the variables so far.
        kept: names of those that are written once in a scan, and stay what they are.
    """

    unit: Unit
    used: Iterable[str] = ()
    made: list[Variable] = field(default_factory=list)
    kept: set[str] = field(default_factory=set)
    _taken: set[str] = field(init=False)

    def __post_init__(self) -> None:
        self._taken = {n.upper() for n in (self.unit.name, *(v.name for v in self.unit.variables), *self.used)}

    def temporary(self, kind: str, place: Place, spec: TypeSpec | None = None) -> Access:
        """Make a variable whose value is of this scan only."""
        section = "VAR" if self.unit.kind == "FUNCTION" else "VAR_TEMP"
        made = self._declared(kind, place, spec, section)
        self.kept.add(made.name)
        return made

    def memory(self, kind: str, place: Place, spec: TypeSpec | None = None) -> Access:
        """Make a variable that keeps its value to the next scan; raises `Fault` in a function, which keeps nothing."""
        if self.unit.kind == "FUNCTION":
            what = "an edge or a feedback path stands in a function"
            fail(place, what, "a function keeps nothing from one call to the next", "make it a function block")
        return self._declared(kind, place, spec, "VAR")

    def _declared(self, kind: str, place: Place, spec: TypeSpec | None, section: str) -> Access:
        number = 1
        while f"{kind}_{number}".upper() in self._taken:
            number += 1
        name = f"{kind}_{number}"
        self._taken.add(name.upper())
        self.made.append(Variable(place, name, spec or Named(place, "BOOL"), section=Section(section), hidden=True))
        return Access(place, name)


__all__ = ["Hidden", "conjunction", "disjunction", "is_true", "negation"]
