"""What a ladder does, said in statements: power as Boolean expressions, coils as assignments, blocks as calls.

Rungs are done from top to bottom; on a rung, elements from left to right, branches from top to bottom, each with the
values that the variables have at that moment. Jumps are jumps.py. Rule: power that is used after anything could have
changed a variable is kept in a hidden one, so that it stays what it was where it was measured.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final

from simplant.errors import Place
from simplant.logic.ladder.calls import called
from simplant.logic.ladder.hidden import Hidden, Power, conjunction, disjunction, negation, said
from simplant.logic.ladder.jumps import Lowered, joined
from simplant.logic.ladder.tree import (
    Action,
    Block,
    Coil,
    Contact,
    Element,
    Jump,
    Ladder,
    Parallel,
    Return,
    Rung,
    Sense,
    Series,
    elements,
)
from simplant.logic.st.declared import Unit
from simplant.logic.st.parts import within
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, If, Leave, Let, Statement

Probe = Callable[["RungLowering", str, Element, Power], None]
"""Told the power at each element, `in` and `out`, and the `value` of what a contact looks at (flow.py)."""


LONGEST: Final = 20
"""Contacts in a row, or branches, that make one expression; of more, the power up to there is kept."""


@dataclass(slots=True)
class RungLowering:
    """Lowers one rung.

    Args:
        hidden: makes hidden variables.
        probe: told the power everywhere.
        rung: its number in the ladder, from 0.

    Attributes:
        out: the statements so far; behind a jump, those that are done only if it did not jump.
        outer: the statements before each jump.
        jumps: the labels jumped to.
    """

    hidden: Hidden
    probe: Probe | None = None
    rung: int = 0
    out: list[Statement] = field(default_factory=list)
    outer: list[list[Statement]] = field(default_factory=list)
    jumps: list[Jump] = field(default_factory=list)

    def series(self, line: Series, power: Power, *, needed: bool) -> Power:
        """Lower elements in a row; give the power behind them (of no account unless it is needed)."""
        last = len(line.elements) - 1
        for number, element in enumerate(line.elements):
            power = self.element(element, power, needed=needed or number < last)
            if number % LONGEST == LONGEST - 1:
                power = self.hidden.held(self.out, power, place_of(element))
        return power

    def element(self, element: Element, power: Power, *, needed: bool) -> Power:
        """Lower one element."""
        if power is False:
            fail(place_of(element), "no power can come here", "a jump or return stands before it", "put it on a branch")
        if self.probe is None:
            return self._element(element, power, needed=needed)
        power = self.hidden.held(self.out, power, place_of(element))
        self.probe(self, "in", element, power)
        power = self.hidden.held(self.out, self._element(element, power, needed=True), place_of(element))
        self.probe(self, "out", element, power)
        return power

    def _element(self, element: Element, power: Power, *, needed: bool) -> Power:
        match element:
            case Contact():
                return conjunction(power, self._contact(element))
            case Coil():
                return self._coil(element, power, needed=needed)
            case Block():
                return self._block(element, power)
            case Parallel():
                return self._parallel(element, power, needed=needed)
            case Jump():
                return self._jump(element, power)
            case Return():
                self._when(power, element.place, (Leave(element.place, "RETURN"),))
                return False

    def _when(self, power: Power, place: Place, body: tuple[Statement, ...]) -> None:
        """Do statements where there is power."""
        if power is True:
            self.out += body
        elif power is not False:
            self.out.append(If(place, ((power, body),), ()))

    # contacts and coils

    def _contact(self, contact: Contact) -> Expression:
        operand = contact.operand
        if self.probe is not None:
            self.probe(self, "value", contact, operand)
        match contact.sense:
            case Sense.OPEN:
                return operand
            case Sense.CLOSED:
                return negation(operand, contact.place)
            case Sense.RISING | Sense.FALLING:
                return self._edge(operand, contact.place, rising=contact.sense is Sense.RISING)

    def _edge(self, now: Expression, place: Place, *, rising: bool) -> Access:
        """Compare a value with what it was when this was done last; at the very first time it was FALSE."""
        was, edge = self.hidden.memory("was", place), self.hidden.temporary("edge", place)
        found = conjunction(now, negation(was, place)) if rising else conjunction(negation(now, place), was)
        self.out += [Let(place, edge, said(found, place)), Let(place, was, now)]
        return edge

    def _coil(self, coil: Coil, power: Power, *, needed: bool) -> Power:
        place, target = coil.place, coil.target
        if needed or coil.action in (Action.RISING, Action.FALLING):
            power = self.hidden.held(self.out, power, place)
        match coil.action:
            case Action.PLAIN:
                self.out.append(Let(place, target, said(power, place)))
            case Action.NEGATED:
                self.out.append(Let(place, target, negation(said(power, place), place)))
            case Action.SET | Action.RESET:
                value = said(coil.action is Action.SET, place)
                self._when(power, place, (Let(place, target, value),))
            case Action.RISING | Action.FALLING:
                edge = self._edge(said(power, place), place, rising=coil.action is Action.RISING)
                self.out.append(Let(place, target, edge))
        return power

    # branches, blocks, jumps

    def _parallel(self, parallel: Parallel, power: Power, *, needed: bool) -> Power:
        acting = [any(not isinstance(e, Contact | Parallel) for e in elements(b)) for b in parallel.branches]
        place = place_of(parallel)
        if not any(acting) and self.probe is None:
            inside: list[Power] = []
            for branch in parallel.branches:
                inside.append(self.series(branch, power=True, needed=True))
                if len(inside) == LONGEST:
                    inside = [self.hidden.held(self.out, disjunction(inside, place), place)]
            return conjunction(power, disjunction(inside, place))
        power = self.hidden.held(self.out, power, place)
        found: list[Power] = []
        for number, branch in enumerate(parallel.branches):
            given = self.series(branch, power, needed=needed)
            if needed and any(acting[number + 1 :]):
                given = self.hidden.held(self.out, given, place)
            found.append(given)
        return disjunction(found, place) if needed else False

    def _block(self, block: Block, power: Power) -> Power:
        if not block.power_in and power is not True:
            what = f"power reaches {block.type}, but none of its pins takes it"
            fail(
                block.place, what, mend="lead it to EN, or let the block stand at the left rail", length=len(block.type)
            )
        return called(block, power, self.hidden, self.out)

    def _jump(self, jump: Jump, power: Power) -> Power:
        self.jumps.append(jump)
        self._when(power, jump.place, (self.hidden.go(jump),))
        self.outer.append(self.out)
        self.out = []
        return False

    def finished(self, rung: Rung) -> Lowered:
        """Give the statements of the whole rung."""
        while self.outer:
            inner, self.out = self.out, self.outer.pop()
            if inner:
                self.out.append(If(inner[0].place, ((self.hidden.going(inner[0].place), tuple(inner)),), ()))
        return Lowered(rung.place, rung.label, tuple(self.out), tuple(self.jumps))


def place_of(element: Element) -> Place:
    """Give where an element stands; a parallel is where the first thing in it is."""
    if not isinstance(element, Parallel):
        return element.place
    inside = (place_of(first) for branch in element.branches for first in branch.elements)
    return next(inside, Place("", 1, 1))


def lowered(unit: Unit, ladder: Ladder, probe: Probe | None = None) -> Unit:
    """Give a unit whose body is a ladder as one whose body is statements.

    Args:
        unit: the unit.
        ladder: its body.
        probe: told the power everywhere, in the order of doing.

    Raises:
        Fault: a jump leads nowhere, a label stands twice, or a block is given power that it cannot take.
    """
    labels: dict[str, int] = {}
    for number, rung in enumerate(ladder.rungs, 1):
        if rung.label and labels.setdefault(rung.label.upper(), number) != number:
            first = ladder.rungs[labels[rung.label.upper()] - 1].place.line
            fail(rung.place, f"the label {rung.label!r} stands twice", f"it is at line {first} already",
                 length=len(rung.label))  # fmt: skip
    hidden = Hidden(unit, _names(ladder), labels)
    rungs = [_rung(rung, RungLowering(hidden, probe, number)) for number, rung in enumerate(ladder.rungs)]
    body = joined(rungs, hidden)
    return replace(unit, variables=(*unit.variables, *hidden.variables), body=body)


def _rung(rung: Rung, lowering: RungLowering) -> Lowered:
    lowering.series(rung.line, power=True, needed=False)
    return lowering.finished(rung)


def _names(ladder: Ladder) -> Iterator[str]:
    """Give the names that a drawing uses, roughly: also words in values."""
    for element in (e for rung in ladder.rungs for e in elements(rung.line)):
        match element:
            case Contact():
                yield from names_in(element.operand)
            case Coil():
                yield from names_in(element.target)
            case Block():
                yield element.instance.partition(".")[0].partition("[")[0]
                for pin in element.pins:
                    for value in (pin.value, pin.target):
                        yield from names_in(value) if value is not None else ()
            case _:
                pass


def names_in(value: Expression) -> Iterator[str]:
    """Give the names of all variables in a value."""
    yield from (each.name for each in within(value) if isinstance(each, Access))
