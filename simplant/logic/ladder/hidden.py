"""Power as Boolean expressions, and the hidden variables that keep it.

What asks for them is lower.py. Rule: a hidden variable never has a name that the drawing or its unit uses.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from simplant.errors import Place, nearest
from simplant.logic.ladder.tree import Jump
from simplant.logic.st.built import truth
from simplant.logic.st.declared import Named, Section, Unit, Variable
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, Infix, Let, Literal, Prefix, Statement

Power = Expression | bool
"""What flows at a point: TRUE at the rail, FALSE where none can come, else an expression."""


def said(power: Power, place: Place) -> Expression:
    """Give power as an expression."""
    return truth(place, value=power) if isinstance(power, bool) else power


def negation(value: Expression, place: Place) -> Expression:
    """Give NOT of a value."""
    return Prefix(place, "NOT", value)


def conjunction(power: Power, value: Power) -> Power:
    """Give what flows behind a contact."""
    if isinstance(power, bool):
        return value if power else False
    if isinstance(value, bool):
        return power if value else False
    return Infix(value.place, "AND", power, value)


def disjunction(given: Sequence[Power], place: Place) -> Power:
    """Give what flows where branches meet."""
    if True in given:
        return True
    joined: Power = False
    for power in given:
        if not isinstance(power, bool):
            joined = power if isinstance(joined, bool) else Infix(place, "OR", joined, power)
    return joined


@dataclass(slots=True)
class Hidden:
    """The hidden variables of a unit.

    Args:
        unit: whose they are.
        used: further names that are taken.
        labels: number of the rung (from 1) by label in capitals.
    """

    unit: Unit
    used: Iterable[str]
    labels: Mapping[str, int]
    variables: list[Variable] = field(default_factory=list)
    _taken: set[str] = field(init=False)
    _kept: set[str] = field(init=False, default_factory=set)
    _target: Access | None = field(init=False, default=None)

    def __post_init__(self) -> None:
        own = (v.name for v in self.unit.variables)
        self._taken = {name.upper() for name in (self.unit.name, *own, *self.used)}

    def _name(self, word: str, *, number: bool) -> str:
        name, count = f"{word}_1" if number else word, 1
        while name.upper() in self._taken:
            count += 1
            name = f"{word}_{count}"
        self._taken.add(name.upper())
        return name

    def _declare(self, name: str, type_: str, section: str, place: Place) -> Access:
        place_of_type = Named(self.unit.place, type_)
        self.variables.append(Variable(self.unit.place, name, place_of_type, section=Section(section), hidden=True))
        return Access(place, name)

    def temporary(self, word: str, place: Place) -> Access:
        """Make a variable that holds for one scan."""
        made = self._declare(self._name(word, number=True), "BOOL", "VAR_TEMP", place)
        self._kept.add(made.name)
        return made

    def memory(self, word: str, place: Place) -> Access:
        """Make a variable that is kept from scan to scan.

        Raises:
            Fault: the unit keeps nothing.
        """
        if self.unit.kind == "FUNCTION":
            fail(place, "an edge is looked for in a FUNCTION", "it remembers nothing from call to call",
                 "write a FUNCTION_BLOCK", 3)  # fmt: skip
        return self._declare(self._name(word, number=True), "BOOL", "VAR", place)

    def held(self, out: list[Statement], power: Power, place: Place) -> Power:
        """Keep power so that nothing done later changes it."""
        if isinstance(power, bool) or (isinstance(power, Access) and power.name in self._kept):
            return power
        kept = self.temporary("power", place)
        out.append(Let(place, kept, power))
        return kept

    # jumps

    def target(self, place: Place) -> Access:
        """Give the variable that holds the number of the rung jumped to; 0: none."""
        if self._target is None:
            self._target = self._declare(self._name("go_on_at", number=False), "INT", "VAR_TEMP", place)
        return Access(place, self._target.name)

    def number(self, value: int, place: Place) -> Literal:
        """Give a number."""
        return Literal(place, value, None, str(value))

    def going(self, place: Place, to: int = 0) -> Infix:
        """Give the condition that a rung is jumped to; 0: no jump is under way."""
        return Infix(place, "=", self.target(place), self.number(to, place))

    def go(self, jump: Jump) -> Let:
        """Give the statement that begins a jump.

        Raises:
            Fault: no rung has its label.
        """
        found = self.labels.get(jump.label.upper())
        if found is None:
            why = (
                f"the labels are {', '.join(n.lower() for n in self.labels)}" if self.labels else "no rung has a label"
            )
            mend = nearest(jump.label.lower(), [name.lower() for name in self.labels]) if self.labels else ""
            mend = mend if mend.startswith("close") else ""
            fail(jump.place, f"there is no rung {jump.label!r} to jump to", why, mend, len(jump.label))
        return Let(jump.place, self.target(jump.place), self.number(found, jump.place))
