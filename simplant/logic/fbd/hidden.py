"""Hidden variables that a drawing needs: values on its way, what they were in the scan before.

Rule: their names have a dot in them, so that no program can write one; each is declared once in its unit.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from simplant.errors import Place
from simplant.logic.st.declared import Named, Section, TypeSpec, Unit, Variable
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, Infix, Literal, Prefix
from simplant.values import BOOL


def truth(place: Place, *, value: bool) -> Literal:
    """Make TRUE or FALSE."""
    return Literal(place, value, BOOL, "TRUE" if value else "FALSE")


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
    """Makes the hidden variables of one unit."""

    unit: Unit
    made: list[Variable] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._taken = {v.name for v in self.unit.variables}

    _taken: set[str] = field(init=False)

    def temporary(self, kind: str, number: int, place: Place, spec: TypeSpec | None = None) -> Access:
        """Make a variable whose value is of this scan only."""
        section = "VAR" if self.unit.kind == "FUNCTION" else "VAR_TEMP"
        return self._declared(kind, number, place, spec, section)

    def memory(self, kind: str, number: int, place: Place, spec: TypeSpec | None = None) -> Access:
        """Make a variable that keeps its value to the next scan; raises `Fault` in a function, which keeps nothing."""
        if self.unit.kind == "FUNCTION":
            what = "an edge or a feedback path stands in a function"
            fail(place, what, "a function keeps nothing from one call to the next", "make it a function block")
        return self._declared(kind, number, place, spec, "VAR")

    def _declared(self, kind: str, number: int, place: Place, spec: TypeSpec | None, section: str) -> Access:
        name, more = f"{kind}.{number}", 1
        while name in self._taken:
            name, more = f"{kind}.{number}.{more}", more + 1
        self._taken.add(name)
        self.made.append(Variable(place, name, spec or Named(place, "BOOL"), section=Section(section)))
        return Access(place, name)


__all__ = ["Hidden", "conjunction", "disjunction", "is_true", "negation", "truth"]
