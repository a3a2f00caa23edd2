"""Claims bound to the signals of a machine: the same for every run with the same claims, and made once.

The claims are rules/; a run is watched in judge.py. Rule: propositions are compiled here, each alike one once, and
what reads a signal is known beforehand.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.errors import RuleError, nearest
from simplant.expr import Expr
from simplant.kernel.same import picker
from simplant.logic.formulas import Formulas, News, Proposition, compile_formulas, compile_news
from simplant.rig.signals import SignalList
from simplant.rules import Claim, atoms
from simplant.rules.claim import names_in


@dataclass(frozen=True, slots=True)
class Reader:
    """What is to be looked at when one signal changes.

    Attributes:
        news: tells which of the propositions that speak of it have changed, and to whom they belong.
        curves: the continuous truths these speak of: signal, and the slot for its value as a number.
        measurers: the monitors that take its extremes.
    """

    news: News
    curves: tuple[tuple[int, int], ...]
    measurers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Formula:
    """Expressions that are evaluated together, and the continuous truths they speak of (as in `Reader`)."""

    test: Formulas
    curves: tuple[tuple[int, int], ...]


class Docket:
    """Claims bound to the signals of a machine: propositions compiled, and who must look at what.

    Args:
        claims: what is demanded.
        names: all signals; for each continuous one that is spoken of, a slot for it as a number is added.
        continuous: names of the truths that are curves.

    Raises:
        RuleError: a claim speaks of something that the machine does not show.
    """

    def __init__(self, claims: Sequence[Claim], names: SignalList, continuous: Collection[str]) -> None:
        self.claims: Final = tuple(claims)
        for claim in claims:
            _check_names(claim, names.index)
        curves = dict.fromkeys(n for claim in claims for n in claim.names() if n in continuous)
        self._names: Final = names.index
        self._slots: Final = {name: names.add(f"{name} as a number") for name in curves}
        self._propositions: Final[list[Expr]] = []
        self._alike: Final[dict[str, list[int]]] = {}
        mine = [[self._number(p) for p in claim.propositions()] for claim in claims]
        self.picks: Final[list[Callable[[Sequence[bool]], tuple[bool, ...]]]] = [picker(numbers) for numbers in mine]
        """For each claim, what takes its propositions out of all."""
        self._owners: Final = [
            tuple(n for n, numbers in enumerate(mine) if p in numbers) for p in range(len(self._propositions))
        ]
        self.readers: Final = self._readers()
        self.everything: Final = self._formula(self._propositions)
        self.levels: Final = list(_levels(claims, continuous))
        self._kept: Final[dict[Expr, Formula]] = {}

    def _number(self, proposition: Expr) -> int:
        """Give the number of a proposition; those built alike share one."""
        alike, known = self._alike.setdefault(str(proposition), []), self._propositions
        for number in alike:
            if known[number].same_as(proposition):
                return number
        alike.append(len(known))
        known.append(proposition)
        return alike[-1]

    def _readers(self) -> dict[int, Reader]:
        numbers: dict[str, dict[int, None]] = {}
        for number, proposition in enumerate(self._propositions):
            for name in names_in(proposition):
                numbers.setdefault(name, {})[number] = None
        measurers: dict[str, dict[int, None]] = {}
        for number, claim in enumerate(self.claims):
            for name in claim.measured():
                measurers.setdefault(name, {})[number] = None
        return {
            self._names[name]: self._reader(numbers.get(name, ()), measurers.get(name, ()))
            for name in {**numbers, **measurers}
        }

    def _reader(self, numbers: Iterable[int], measurers: Iterable[int]) -> Reader:
        told = [Proposition(n, self._propositions[n], self._owners[n]) for n in numbers]
        news = compile_news(told, {**self._names, **self._slots})
        return Reader(news, self._curves(*(each.expression for each in told)), tuple(measurers))

    def _formula(self, expressions: Sequence[Expr]) -> Formula:
        return Formula(compile_formulas(expressions, {**self._names, **self._slots}), self._curves(*expressions))

    def _curves(self, *expressions: Expr) -> tuple[tuple[int, int], ...]:
        """Give the continuous truths in expressions, and their slots."""
        spoken = [name for name in names_in(*expressions) if name in self._slots]
        return tuple((self._names[name], self._slots[name]) for name in spoken)

    def formula(self, expression: Expr) -> Formula:
        """Give what evaluates an expression of a claim, compiled when it is first asked for."""
        if expression not in self._kept:
            self._kept[expression] = self._formula([expression])
        return self._kept[expression]

    def watch(self, signal: int, by: int) -> None:
        """Look again at what reads a continuous truth whenever the signal `by` changes: it passed a level."""
        self.readers[by] = replace(self.readers[signal], measurers=())


def _levels(claims: Iterable[Claim], continuous: Collection[str]) -> Iterable[tuple[str, float]]:
    """Give the levels of continuous truths whose crossings must be scheduled, each once."""
    return dict.fromkeys(
        (atom.name, atom.level)
        for claim in claims
        for proposition in claim.propositions()
        for atom in atoms(proposition)
        if atom.name in continuous
    )


def _check_names(claim: Claim, known: Mapping[str, int]) -> None:
    for name in claim.names():
        if name not in known:
            raise RuleError(
                f"rule {claim.name!r} speaks of {name!r}, which the machine does not show",
                "a rule sees tags, charts and truths of parts (part.terminal)",
                nearest(name, known),
                claim.place,
            )
