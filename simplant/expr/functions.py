"""The functions that Python-authored expressions may use, and what each computes.

Nodes are in nodes.py; the compiler takes the same functions from here, so walker and compiled
program cannot differ in them. Rule: pure, on plain values, errors only as ProgramError.
"""

from collections.abc import Callable
from typing import Final

from simplant.errors import ProgramError, nearest
from simplant.expr.base import Expr
from simplant.expr.build import natural
from simplant.expr.library import library_function
from simplant.expr.nodes import Function, of_type
from simplant.values import BOOL, TYPES, ElementaryType, Value
from simplant.values.arithmetic import converter


def _limit(least: Value, value: Value, most: Value) -> Value:
    return min(max(value, least), most)


def _select(choice: Value, if_false: Value, if_true: Value) -> Value:
    return if_true if choice else if_false


SELECTION: Final[dict[str, Callable[..., Value]]] = {
    "ABS": abs,
    "MIN": min,
    "MAX": max,
    "LIMIT": _limit,
    "SEL": _select,
}


def function_named(name: str, result: ElementaryType) -> Callable[..., Value]:
    """Give what computes a function; the result wraps or rounds as its type does.

    Raises:
        ProgramError: there is no such function.
    """
    if name in SELECTION:
        return SELECTION[name]
    found = library_function(name, result)
    if found is not None:
        return found
    source, _, target = name.partition("_TO_")
    if source in TYPES and target in TYPES:
        from_type, to_type_ = TYPES[source], TYPES[target]
        return converter(from_type, to_type_)
    raise ProgramError(f"no function {name!r}", mend=nearest(name, SELECTION))


def _like(first: object, *others: object) -> tuple[Expr, ...]:
    every = (first, *others)
    first_typed = next((e for e in every if isinstance(e, Expr)), None)
    wanted = first_typed.type if first_typed is not None else natural(first).type
    return tuple(of_type(e, wanted) for e in every)


def constant(value: object, type_: ElementaryType) -> Expr:
    """Build a literal of a type: `constant(ms(250), TIME)`, where a bare Python number would not tell its type."""
    return of_type(value, type_)


def abs_(value: Expr) -> Expr:
    """Build ABS(value)."""
    return Function("ABS", (value,), value.type)


def min_(*values: object) -> Expr:
    """Build MIN of two or more values of one type."""
    arguments = _like(*values)
    return Function("MIN", arguments, arguments[0].type)


def max_(*values: object) -> Expr:
    """Build MAX of two or more values of one type."""
    arguments = _like(*values)
    return Function("MAX", arguments, arguments[0].type)


def limit(least: object, value: object, most: object) -> Expr:
    """Build LIMIT: MIN(MAX(value, least), most). Source: IEC 61131-3:2003 Table 27 (from memory)."""
    arguments = _like(least, value, most)
    return Function("LIMIT", arguments, arguments[0].type)


def select(choice: Expr, if_false: object, if_true: object) -> Expr:
    """Build SEL: `if_true` where `choice` holds, else `if_false`."""
    arguments = _like(if_false, if_true)
    return Function("SEL", (of_type(choice, BOOL), *arguments), arguments[0].type)


def to_type(value: Expr, wanted: ElementaryType) -> Expr:
    """Build the standard's conversion `X_TO_Y`."""
    if value.type is wanted:
        return value
    return Function(f"{value.type.name}_TO_{wanted.name}", (value,), wanted)
