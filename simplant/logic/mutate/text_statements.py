"""Mistakes in the statements of a text: assignments, conditions, block calls, the arms of an IF.

Those within an expression are text_expressions.py. Rule: each gives all statements of the body anew, with one changed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.errors import Place
from simplant.expr import Const, Expr
from simplant.logic.mutate.alike import difference
from simplant.logic.mutate.text_expressions import as_condition, text_changes, with_argument
from simplant.logic.mutate.text_kinds import Known
from simplant.logic.st.built import truth
from simplant.logic.st.printed_expressions import printed_access, printed_expression
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Access, Case, Do, Expression, For, If, Infix, Let, Literal, Repeat, Statement, While
from simplant.values import BOOL

_RESETS: Final = ("R", "LD", "R1", "RESET")
_TIMERS: Final = ("TON", "TOF", "TP")

Body = tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Mistake:
    """One changed body.

    Args:
        kind, place, where, before, after, needed, inside, conditions: as of a `Mutant`.
        body: the statements with the mistake.
    """

    kind: str
    place: Place
    where: str
    before: str
    after: str
    needed: str
    body: Body
    inside: str = ""
    conditions: tuple[Expr, Expr] | None = None


def mistakes(body: Body, known: Known) -> Iterator[Mistake]:
    """Give every mistake in statements."""
    for number, node in enumerate(body):
        for mistake in _of(node, known):
            yield replace(mistake, body=(*body[:number], *mistake.body, *body[number + 1 :]))


def _of(node: Statement, known: Known) -> Iterator[Mistake]:
    match node:
        case Let():
            yield from _let(node, known)
        case Do():
            yield from _do(node, known)
        case If():
            yield from _if(node, known)
        case Case():
            yield from _case(node, known)
        case For():
            yield from _inside(node.body, lambda body: replace(node, body=body), known)
        case While():
            yield from _inside(node.body, lambda body: replace(node, body=body), known)
            yield from _condition("WHILE", node.condition, lambda e: replace(node, condition=e), node.place, known)
        case Repeat():
            yield from _inside(node.body, lambda body: replace(node, body=body), known)
            yield from _condition("UNTIL", node.until, lambda e: replace(node, until=e), node.place, known)
        case _:
            pass


def _inside(body: Body, put: Callable[[Body], Statement], known: Known) -> Iterator[Mistake]:
    for mistake in mistakes(body, known):
        yield replace(mistake, body=(put(mistake.body),))


def _condition(
    where: str, node: Expression, put: Callable[[Expression], Statement], place: Place, known: Known
) -> Iterator[Mistake]:
    """Give the mistakes within an expression of a statement."""
    whole = printed_expression(node)
    for change in text_changes(node, known):
        needed = f"{where}: a run in which it matters that it is {change.before} and not {change.after}"
        conditions = (as_condition(node), as_condition(change.expression)) if known.is_bool(node) else None
        inside = whole if whole != change.before else ""
        yield Mistake(change.kind, place, where, change.before, change.after, needed, (put(change.expression),), inside,
                      conditions)  # fmt: skip


def _let(node: Let, known: Known) -> Iterator[Mistake]:
    target, value = printed_access(node.target), printed_expression(node.value)
    where = target
    needed = f"a run in which {target} := {value} is done and {target} is looked at afterwards"
    yield Mistake("assignment", node.place, where, value, "left out", needed, ())
    steps = known.steps.get(target.upper())
    word = _word(node.value)
    if steps and word in steps:
        other = _named(node.value, steps[(steps.index(word) + 1) % len(steps)])
        needed = f"a run in which {target} comes to {word}"
        yield Mistake("transition", node.place, where, value, printed_expression(other), needed,
                      (replace(node, value=other),))  # fmt: skip
    elif isinstance(node.value, Literal) and node.value.type is BOOL:
        flipped = truth(node.value.place, value=not node.value.value)
        needed = f"a run in which {target} is to change both ways"
        yield Mistake("coil", node.place, where, value, flipped.text, needed, (replace(node, value=flipped),))
    else:
        yield from _condition(where, node.value, lambda e: replace(node, value=e), node.place, known)


def _word(node: Expression) -> str:
    """Give the name of an enumeration that a value is."""
    match node:
        case Literal(enum=enum) if enum:
            return node.text
        case Access(selectors=()):
            return node.name
        case _:
            return ""


def _named(node: Expression, word: str) -> Expression:
    return replace(node, text=word) if isinstance(node, Literal) else Access(node.place, word)


def _do(node: Do, known: Known) -> Iterator[Mistake]:
    instance = printed_access(node.call.callee)
    block = known.blocks.get(instance.upper(), "")
    for number, argument in enumerate(node.call.arguments):
        if argument.value is None:
            continue
        where = f"{instance} ({block or 'call'}) {argument.name}".strip()

        def put(value: Expression, number: int = number) -> Do:
            return replace(node, call=with_argument(node.call, number, value))

        yield from _condition(where, argument.value, put, node.place, known)
        if argument.name.upper() in _RESETS and known.is_bool(argument.value):
            told = printed_expression(argument.value)
            never = put(truth(node.place, value=False))
            yield Mistake("reset", node.place, where, told, "never", f"a run in which {told}", (never,))
    given = next((a.value for a in node.call.arguments if a.name.upper() == "IN" and a.value is not None), None)
    if block in _TIMERS and given is not None and not isinstance(given, Literal):
        kept = If(node.place, ((given, (node,)),), ())
        told = printed_expression(given)
        needed = f"a run in which {told} ends before {instance} is done, and comes again"
        yield Mistake("reset", node.place, f"{instance} ({block})", "called always", "only while IN", needed, (kept,))


def _if(node: If, known: Known) -> Iterator[Mistake]:
    arms = node.arms
    for number, (condition, body) in enumerate(arms):

        def with_arm(arm: tuple[Expression, Body], number: int = number) -> If:
            return replace(node, arms=(*arms[:number], arm, *arms[number + 1 :]))

        told = printed_expression(condition)
        where = f"{'ELSIF' if number else 'IF'} {told}"
        yield from _condition(
            "ELSIF" if number else "IF", condition, lambda e, b=body, put=with_arm: put((e, b)),  # type: ignore[misc]
            condition.place, known,
        )  # fmt: skip
        for mistake in mistakes(body, known):
            yield replace(mistake, body=(with_arm((condition, mistake.body)),))
        if _leads_on(body, known):
            rest = (*arms[:number], *arms[number + 1 :])
            gone: Body = (replace(node, arms=rest),) if rest else node.otherwise
            yield Mistake("transition", condition.place, where, "it", "left out", f"a run in which {told}", gone)
        if len(arms) == 1 and not node.otherwise:
            needed = f"a run in which not ({told})"
            yield Mistake("dropped", condition.place, where, "it", "always", needed, body)
    yield from _turned(node)
    yield from _inside(node.otherwise, lambda body: replace(node, otherwise=body), known)


def _leads_on(body: Sequence[Statement], known: Known) -> bool:
    """Say whether statements change the step of a sequence."""
    return any(isinstance(n, Let) and printed_access(n.target).upper() in known.steps for n in every(body))


def _turned(node: If) -> Iterator[Mistake]:
    """Give an IF with two neighbouring arms in the other order, unless their conditions can never both hold."""
    for number, ((first, one), (second, other)) in enumerate(zip(node.arms, node.arms[1:], strict=False)):
        both = as_condition(Infix(first.place, "AND", first, second))
        if difference(both, Const(value=False, type=BOOL)).none:
            continue
        arms = (*node.arms[:number], (second, other), (first, one), *node.arms[number + 2 :])
        texts = printed_expression(first), printed_expression(second)
        needed = f"a run in which {texts[0]} and {texts[1]} at once"
        yield Mistake("order", first.place, f"IF {texts[0]}", f"before {texts[1]}", "behind it", needed,
                      (replace(node, arms=arms),))  # fmt: skip


def _case(node: Case, known: Known) -> Iterator[Mistake]:
    groups = node.groups
    for number, (labels, body) in enumerate(groups):
        for mistake in mistakes(body, known):
            changed = (*groups[:number], (labels, mistake.body), *groups[number + 1 :])
            step = ", ".join(printed_expression(low) for low, _ in labels)
            where = f"{printed_expression(node.selector)} {step}: {mistake.where}"
            yield replace(mistake, where=where, body=(replace(node, groups=changed),))
    yield from _inside(node.otherwise, lambda body: replace(node, otherwise=body), known)
