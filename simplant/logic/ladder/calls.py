"""What a block in a rung does, as a call: power at one of its pins, values at the others.

A function's result is its pin OUT; EN and ENO are IEC 61131-3's. Rule: without power at EN a function is not done: what
it would write stays as it is, and where its result is power there is none.
"""

from __future__ import annotations

from typing import Final

from simplant.logic.ladder.fragment import access_of
from simplant.logic.ladder.hidden import Hidden, Power, conjunction, negation, said
from simplant.logic.ladder.tree import Block, Pin
from simplant.logic.st.tree import Access, Argument, Call, Do, Expression, Field, If, Infix, Let, Literal, Statement

RESULT: Final = "OUT"
"""The pin of a function's result."""

_SIGNS: Final = {"GT": ">", "GE": ">=", "EQ": "=", "LE": "<=", "LT": "<", "NE": "<>"}


def called(block: Block, power: Power, hidden: Hidden, out: list[Statement]) -> Power:
    """Lower a block; give the power that leaves it."""
    if block.instance:
        return _instance(block, power, hidden, out)
    return _function(block, power, hidden, out)


def _instance(block: Block, power: Power, hidden: Hidden, out: list[Statement]) -> Power:
    instance = access_of(block.instance, block.place)
    arguments = _arguments(block, power)
    leaving: Power = False
    if block.power_out.upper() == "ENO":
        leaving = hidden.temporary("power", block.place)
        arguments.append(Argument(block.place, "ENO", target=leaving))
    elif block.power_out:
        leaving = Access(block.place, instance.name, (*instance.selectors, Field(block.place, block.power_out)))
    out.append(Do(block.place, Call(block.place, instance, tuple(arguments))))
    return leaving


def _arguments(block: Block, power: Power) -> list[Argument]:
    """Give what a block is given, power first; EN that always has power is left out."""
    found = [_argument(pin) for pin in block.pins if pin.value is not None or pin.target is not None]
    if block.power_in and not (block.power_in.upper() == "EN" and power is True):
        found.insert(0, Argument(block.place, block.power_in, said(power, block.place)))
    return found


def _argument(pin: Pin) -> Argument:
    if pin.value is None:
        return Argument(pin.place, pin.name, target=pin.target, inverted=pin.inverted)
    return Argument(pin.place, pin.name, negation(pin.value, pin.place) if pin.inverted else pin.value)


def _function(block: Block, power: Power, hidden: Hidden, out: list[Statement]) -> Power:
    place, enabled = block.place, block.power_in.upper() == "EN"
    condition: Power = power if enabled else True
    way_out = block.power_out.upper()
    given = [a for a in _arguments(block, power) if a.name.upper() not in ("EN", RESULT)]
    result: Access | None = next((p.target for p in block.pins if p.name.upper() == RESULT and p.target), None)
    leaving: Power = False
    if way_out == "ENO":
        leaving = hidden.held(out, condition, place)
        condition = leaving
    elif way_out == RESULT and result is None and _plain(given) and (compared := _comparison(block, given)):
        return conjunction(condition, compared)
    elif way_out == RESULT:
        leaving = result = hidden.temporary("power", place)
    elif way_out:
        leaving = hidden.temporary("power", place)
        given.append(Argument(place, block.power_out, target=leaving))
    call = Call(place, Access(place, block.type), tuple(given))
    value = _comparison(block, given) or call
    body: list[Statement] = [Let(place, result, value) if result is not None else Do(place, call)]
    taken = next((p for p in block.pins if p.name.upper() == RESULT and p.target), None)
    if way_out == RESULT and taken is not None and taken.target is not None:
        body.append(Let(taken.place, taken.target, leaving if not isinstance(leaving, bool) else said(leaving, place)))
    _where(condition, body, leaving if way_out not in ("", "ENO") else None, out)
    return leaving


def _where(condition: Power, body: list[Statement], leaving: Power | None, out: list[Statement]) -> None:
    """Do statements where there is power; elsewhere no power leaves."""
    place = body[0].place
    if condition is True:
        out += body
    elif not isinstance(condition, bool):
        otherwise = (Let(place, leaving, said(power=False, place=place)),) if isinstance(leaving, Access) else ()
        out.append(If(place, ((condition, tuple(body)),), otherwise))


def _plain(given: list[Argument]) -> bool:
    """Say whether nothing can go wrong in looking at values, and none runs on by itself: then no IF is needed."""
    return all(isinstance(a.value, Literal) or (isinstance(a.value, Access) and not a.value.selectors) for a in given)


def _comparison(block: Block, given: list[Argument]) -> Expression | None:
    """Give a comparison of two values as one is written; None if it is something else."""
    sign = _SIGNS.get(block.type.upper())
    values = {a.name.upper(): a.value for a in given}
    if sign is None or set(values) != {"IN1", "IN2"} or values["IN1"] is None or values["IN2"] is None:
        return None
    return Infix(block.place, sign, values["IN1"], values["IN2"])
