"""Rungs, moves, calls of blocks and alarm tables of a Python program as statements of Structured Text.

Sequences are charts.py, values terms.py. Rule: what stands in a scan stays in its order, one source after the other.
"""

from __future__ import annotations

from collections.abc import Iterable

from simplant.blocks import BLOCKS
from simplant.errors import ProgramError
from simplant.expr import Expr
from simplant.logic.convert.terms import FALSE, TRUE, Terms
from simplant.logic.lower import first_out_ref
from simplant.logic.nodes import AlarmTable, Call, Coil, Instance, Move, Opaque, Rung
from simplant.logic.st.tree import Access, Argument, Do, Expression, If, Infix, Let, Prefix, Statement
from simplant.logic.st.tree import Call as Called


def of_rung(rung: Rung, terms: Terms) -> list[Statement]:
    """Say a rung."""
    name, condition = rung.target.name, rung.condition
    match rung.coil:
        case Coil.PLAIN:
            return [terms.let(name, condition)]
        case Coil.NEGATED:
            value = Prefix(terms.here(), "NOT", terms.expression(condition))
            return [Let(terms.here(), terms.access(name), value)]
        case Coil.SET:
            return [terms.if_(condition, [terms.let(name, TRUE)])]
        case Coil.RESET:
            return [terms.if_(condition, [terms.let(name, FALSE)])]


def of_move(move: Move, terms: Terms) -> list[Statement]:
    """Say assignments, in an IF if they have a condition."""
    made = [terms.assignment(each) for each in move.assignments]
    return made if move.when is None else [terms.if_(move.when, made)]


def of_call(call: Call, terms: Terms) -> list[Statement]:
    """Say the call of a block."""
    check_block(call.instance)
    made: Statement = do(call.instance.name, call.arguments.items(), terms)
    return [made] if call.when is None else [terms.if_(call.when, [made])]


def do(instance: str, arguments: Iterable[tuple[str, Expr]], terms: Terms) -> Do:
    """Say that an instance is called."""
    given = tuple(Argument(terms.here(), name, terms.expression(value)) for name, value in arguments)
    return Do(terms.here(), Called(terms.here(), Access(terms.here(), instance), given))


def check_block(instance: Instance) -> None:
    """Refuse a block of the user's own.

    Raises:
        ProgramError: it is one.
    """
    if BLOCKS.get(instance.block.name) is not instance.block:
        what = f"{instance.name} is a block of your own, {instance.block.name}, and cannot be said in Structured Text"
        raise ProgramError(what, "what it does is written in Python", "use a standard block", instance.place)


def plain_python(opaque: Opaque) -> ProgramError:
    """Give the reason why plain Python is refused."""
    name = getattr(opaque.function, "__name__", "a function")
    mend = "write it with expressions on tags: rungs, moves and blocks"
    return ProgramError(f"{name} is plain Python, which no other language can say", "", mend, opaque.place)


def of_alarms(table: AlarmTable, terms: Terms) -> list[Statement]:
    """Say a table of latched alarms and its first-out."""
    first = first_out_ref(table.name).name
    latches: list[Statement] = [_latch(alarm.name, alarm.cause, table.reset, terms) for alarm in table.alarms]
    clear = terms.if_(table.reset, [_first(first, "none", terms)])
    arms = tuple((terms.access(a.name), (_first(first, a.name, terms),)) for a in table.alarms)
    none_yet = Infix(terms.here(), "=", terms.access(first), terms.word(first, "none"))
    choose = If(terms.here(), arms, ()) if arms else None
    return [*latches, clear, If(terms.here(), ((none_yet, (choose,) if choose else ()),), ())]


def _latch(name: str, cause: Expr, reset: Expr, terms: Terms) -> Let:
    not_reset: Expression = Prefix(terms.here(), "NOT", terms.expression(reset))
    held = Infix(terms.here(), "AND", terms.access(name), not_reset)
    return Let(terms.here(), terms.access(name), Infix(terms.here(), "OR", terms.expression(cause), held))


def _first(first: str, name: str, terms: Terms) -> Let:
    return Let(terms.here(), terms.access(first), terms.word(first, name))
