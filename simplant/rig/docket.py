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
from simplant.logic.compile import Formulas, compile_formulas
from simplant.rig.signals import SignalList
from simplant.rules import Claim, atoms
from simplant.rules.claim import names_in


@dataclass(frozen=True, slots=True)
class Reader:
    """What is to be looked at when one signal changes.

    Attributes:
        numbers: the propositions that speak of it.
        test: gives their values.
        curves: the continuous truths they speak of: signal, and the slot for its value as a number.
        measurers: the monitors that take its extremes.
    """

    numbers: tuple[int, ...]
    test: Formulas
    curves: tuple[tuple[int, int], ...]
    measurers: tuple[int, ...]


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
        self.owners: Final = [
            tuple(n for n, numbers in enumerate(mine) if p in numbers) for p in range(len(self._propositions))
        ]
        """For each proposition, the claims that it belongs to."""
        self.readers: Final = self._readers()
        self.everything: Final = self._reader(range(len(self._propositions)), ())
        self.levels: Final = list(_levels(claims, continuous))
        self._kept: Final[dict[Expr, Reader]] = {}

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
        return self._compiled([self._propositions[n] for n in numbers], tuple(numbers), tuple(measurers))

    def _compiled(
        self, group: Sequence[Expr], numbers: tuple[int, ...] = (), measurers: tuple[int, ...] = ()
    ) -> Reader:
        curves = [name for name in names_in(*group) if name in self._slots]
        slots = tuple((self._names[name], self._slots[name]) for name in curves)
        return Reader(numbers, compile_formulas([group], {**self._names, **self._slots})[0], slots, measurers)

    def formula(self, expression: Expr) -> Reader:
        """Give what evaluates an expression of a claim, compiled when it is first asked for."""
        if expression not in self._kept:
            self._kept[expression] = self._compiled([expression])
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
