"""Mistakes in rungs, assignments, block calls and alarms.

Those within an expression are expressions.py, those of sequences charts.py. Rule: what is left out leaves its tag
where it is, so that a rule may still speak of it.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Final

from simplant.blocks import BLOCKS
from simplant.errors import Place
from simplant.expr import Assignment, Const, Expr
from simplant.logic.mutate.expressions import Change, Surroundings, changes
from simplant.logic.mutate.mutant import Mutant, with_instance, with_sources
from simplant.logic.nodes import AlarmTable, Call, Coil, Instance, Move, Rung, Source
from simplant.logic.program import Program
from simplant.values import BOOL

FALSE: Final = Const(value=False, type=BOOL)
_COILS: Final = {Coil.PLAIN: Coil.SET, Coil.SET: Coil.RESET, Coil.RESET: Coil.SET, Coil.NEGATED: Coil.PLAIN}
_BLOCKS: Final = {
    "TON": ("TOF", "TP"), "TOF": ("TON", "TP"), "TP": ("TON", "TOF"), "R_TRIG": ("F_TRIG",), "F_TRIG": ("R_TRIG",),
    "SR": ("RS",), "RS": ("SR",),
}  # fmt: skip
_TIMERS: Final = ("TON", "TOF", "TP")
_RESETS: Final = ("R", "LD", "R1", "RESET")

Put = Callable[[Expr], Source]
"""Gives the source node with another expression at one place."""


def of_condition(
    source: Source, where: str, expression: Expr, put: Put, around: Surroundings, place: Place | None = None
) -> Iterator[Mutant]:
    """Give the mutants of one expression of a source node; `place` if it has a line of its own."""
    for change in changes(expression, around):
        yield _mutant(source, where, expression, change, put, around, place or source.place)


def _mutant(
    source: Source, where: str, expression: Expr, change: Change, put: Put, around: Surroundings, place: Place
) -> Mutant:
    def make() -> Program:
        return with_sources(around.program, {source.id: put(change.expression)})

    needed = f"{where}: a run in which it matters that it is {change.before} and not {change.after}"
    conditions = (expression, change.expression) if expression.type is BOOL else None
    inside = str(expression) if str(expression) != change.before else ""
    return Mutant(change.kind, place, where, change.before, change.after, make, needed, conditions, inside)


def changed(
    kind: str, source: Source, where: str, before: str, after: str, new: Source, around: Surroundings, needed: str,
    place: Place | None = None,
) -> Mutant:  # fmt: skip
    """Give a mutant that replaces one source node."""
    make = partial(with_sources, around.program, {source.id: new})
    return Mutant(kind, place or source.place, where, before, after, make, needed)


def of_rung(rung: Rung, around: Surroundings) -> Iterator[Mutant]:
    """Give the mutants of a rung: its condition, its coil, and the rung left out."""
    where = f"{rung.coil.value} {rung.target.name}"
    yield from of_condition(rung, where, rung.condition, lambda e: replace(rung, condition=e), around)
    other = _COILS[rung.coil]
    yield changed(
        "coil", rung, where, rung.coil.value, other.value, replace(rung, coil=other), around,
        f"a run in which {rung.target.name} is to change both ways",
    )  # fmt: skip
    if rung.coil in (Coil.SET, Coil.RESET):
        never = replace(rung, condition=FALSE)
        yield changed("assignment", rung, where, "it", "nothing", never, around, f"a run in which {rung.condition}")
    elif rung.coil is Coil.PLAIN:
        still = Move(rung.id, rung.place, (Assignment(rung.target, rung.target),))
        yield changed("assignment", rung, where, "it", "nothing", still, around, f"a run in which {rung.condition}")


def of_assignments(
    source: Source,
    where: str,
    given: Sequence[Assignment],
    put: Callable[[tuple[Assignment, ...]], Source],
    around: Surroundings,
) -> Iterator[Mutant]:
    """Give the mutants of assignments: each value and condition, and each assignment left out."""

    def instead(number: int, one: Assignment) -> Source:
        return put((*given[:number], one, *given[number + 1 :]))

    def with_value(number: int, value: Expr) -> Source:
        return instead(number, replace(given[number], value=value))

    def with_when(number: int, when: Expr) -> Source:
        return instead(number, replace(given[number], when=when))

    for number, one in enumerate(given):
        at = f"{where} {one.target.name} := {one.value}".strip()
        still = instead(number, Assignment(one.target, one.target))
        needed = f"a run in which {at} is done and {one.target.name} is looked at afterwards"
        yield changed("assignment", source, at, "it", "nothing", still, around, needed, one.place)
        yield from of_condition(source, at, one.value, partial(with_value, number), around, one.place)
        if one.when is not None:
            yield from of_condition(source, at, one.when, partial(with_when, number), around, one.place)
            always = instead(number, replace(one, when=None))
            yield changed("dropped", source, at, f"when {one.when}", "always", always, around, needed, one.place)


def of_move(move: Move, around: Surroundings) -> Iterator[Mutant]:
    """Give the mutants of a move: its condition, and its assignments."""
    if move.when is not None:
        where = f"when {move.when}"
        yield from of_condition(move, where, move.when, lambda e: replace(move, when=e), around)
        always = replace(move, when=None)
        yield changed("dropped", move, where, "it", "always", always, around, f"a run in which not {move.when}")
    yield from of_assignments(move, "", move.assignments, lambda a: replace(move, assignments=a), around)


def of_call(call: Call, around: Surroundings) -> Iterator[Mutant]:
    """Give the mutants of a block call: its inputs, its type, and what resets it."""
    block, name = call.instance.block, call.instance.name

    def with_input(key: str, given: Expr) -> Source:
        return replace(call, arguments={**call.arguments, key: given})

    for key, given in call.arguments.items():
        where = f"{name} ({block.name}) {key}"
        yield from of_condition(call, where, given, partial(with_input, key), around)
        if key in _RESETS and given.type is BOOL:
            never = with_input(key, FALSE)
            yield changed("reset", call, where, str(given), "never", never, around, f"a run in which {given}")
    if block.name in _TIMERS and "IN" in call.arguments and call.when is None:
        kept = replace(call, when=call.arguments["IN"])
        needed = f"a run in which {call.arguments['IN']} ends before {name} is done, and comes again"
        yield changed("reset", call, f"{name} ({block.name})", "called always", "only while IN", kept, around, needed)
    if BLOCKS.get(block.name) is block:
        for other in _BLOCKS.get(block.name, ()):
            make = partial(with_instance, around.program, Instance(name, BLOCKS[other], call.instance.place))
            needed = f"a run in which the input of {name} comes and goes"
            yield Mutant("timer", call.place, name, block.name, other, make, needed)


def of_alarms(table: AlarmTable, around: Surroundings) -> Iterator[Mutant]:
    """Give the mutants of an alarm table: each cause, and the reset."""
    rows = table.alarms
    for number, row in enumerate(rows):

        def put(cause: Expr, number: int = number) -> AlarmTable:
            new = replace(rows[number], cause=cause)
            return replace(table, alarms=(*rows[:number], new, *rows[number + 1 :]))

        yield from of_condition(table, f"alarm {row.name}", row.cause, put, around)
        needed = f"a run in which {row.cause}"
        yield changed("dropped", table, f"alarm {row.name}", str(row.cause), "never", put(FALSE), around, needed)
    where = f"reset of {table.name}"
    yield from of_condition(table, where, table.reset, lambda e: replace(table, reset=e), around)
