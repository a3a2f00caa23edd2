"""Small pieces of Structured Text that charts, graphs and mistakes are said in.

Reading text makes its own (parse_*.py). Rule: every piece keeps the place it is given; nothing here knows what a
chart or a drawing means.
"""

from collections.abc import Iterable, Sequence

from simplant.errors import Place
from simplant.logic.st.declared import Named, Section, Structure, Variable
from simplant.logic.st.tree import (
    Access,
    Argument,
    Call,
    Do,
    Expression,
    Field,
    If,
    Infix,
    Let,
    Literal,
    Prefix,
    Statement,
)
from simplant.values import BOOL


def truth(place: Place, *, value: bool) -> Literal:
    """Make TRUE or FALSE."""
    return Literal(place, value, BOOL, "TRUE" if value else "FALSE")


def name(place: Place, variable: str, *fields: str) -> Access:
    """Make an access: `variable.field.field`."""
    return Access(place, variable, tuple(Field(place, each) for each in fields))


def joined(operator: str, terms: Sequence[Expression]) -> Expression:
    """Join terms (at least one) by AND or OR, half and half: hundreds of steps may have one action."""
    if len(terms) == 1:
        return terms[0]
    middle = (len(terms) + 1) // 2
    right = joined(operator, terms[middle:])
    return Infix(right.place, operator, joined(operator, terms[:middle]), right)


def negated(term: Expression) -> Prefix:
    """Make `NOT term`."""
    return Prefix(term.place, "NOT", term)


def when(condition: Expression, *body: Statement) -> If:
    """Make `IF condition THEN body`."""
    return If(condition.place, ((condition, body),), ())


def let(target: Access, value: Expression) -> Let:
    """Make `target := value`."""
    return Let(target.place, target, value)


def call(instance: Access, **inputs: Expression) -> Do:
    """Make a call of an instance with named inputs."""
    arguments = tuple(Argument(value.place, each, value) for each, value in inputs.items())
    return Do(instance.place, Call(instance.place, instance, arguments))


def variable(place: Place, named: str, type_: str, section: str = "VAR") -> Variable:
    """Declare a variable of a named type."""
    return Variable(place, named, Named(place, type_), section=Section(section), hidden=True)


def structure(place: Place, named: str, fields: Iterable[Variable]) -> Variable:
    """Declare a variable that holds others."""
    return Variable(place, named, Structure(place, tuple(fields)), hidden=True)
