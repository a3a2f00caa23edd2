"""Watching the rules of a machine during a run: values in, verdicts out.

The claims and their monitors are rules/. What is the same for every run with the same claims is a
`Docket`, made once; a `Judge` is one run's. Rule: the judge looks once per instant, when everything has
settled, reads only, and looks only at what changed.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from copy import deepcopy
from operator import attrgetter
from typing import Any, Final

from simplant.curves import Curve
from simplant.errors import RuleError, nearest
from simplant.expr import NOW, Expr, Ref, StepActive, Truth, evaluate
from simplant.logic.compile import compile_conditions
from simplant.part import Signal
from simplant.rig.signals import SignalList, Signals
from simplant.rules import Claim, Monitor, Verdict, atoms
from simplant.timebase import NEVER, Ns

KEPT: Final = 6
"""Pieces of a numeric truth that are remembered: more than any monitor looks back."""

_DUE: Final = attrgetter("due")


class Docket:
    """Claims bound to the signals of a machine: propositions compiled, and who must look at what.

    Args:
        claims: what is demanded.
        names: all signals; those read just after an instant are added to it.
        continuous: names of the truths that are curves.

    Raises:
        RuleError: a claim speaks of something that the machine does not show.
    """

    def __init__(self, claims: Sequence[Claim], names: SignalList, continuous: frozenset[str]) -> None:
        self.claims: Final = tuple(claims)
        for claim in claims:
            _check_names(claim, names.index)
        propositions = [p for claim in claims for p in claim.propositions()]
        curves = sorted({n for p in propositions for n in _names(p) if n in continuous})
        after = {name: names.add(f"{name} just after") for name in curves}
        self.tests: Final[list[Callable[[Sequence[Any]], Any]]] = compile_conditions(
            propositions, {**names.index, **after}
        )
        self.mine: Final = list(_numbered(claims))
        self.owner: Final = [m for m, mine in enumerate(self.mine) for _ in mine]
        self.curves: Final = [
            tuple((names.index[n], after[n]) for n in dict.fromkeys(_names(p)) if n in continuous) for p in propositions
        ]
        self.readers: Final[dict[int, tuple[int, ...]]] = {}
        for number, proposition in enumerate(propositions):
            for name in dict.fromkeys(_names(proposition)):
                self._append(self.readers, names.index[name], number)
        self.measurers: Final[dict[int, tuple[int, ...]]] = {}
        for number, claim in enumerate(claims):
            for name in dict.fromkeys((*claim.measured(), *(n for n in claim.names() if n in continuous))):
                self._append(self.measurers, names.index[name], number)
        self.levels: Final = list(_levels(claims, continuous))

    @staticmethod
    def _append(table: dict[int, tuple[int, ...]], key: int, value: int) -> None:
        table[key] = (*table.get(key, ()), value)

    def watch(self, signal: int, by: int) -> None:
        """Look again at what reads a continuous truth whenever the signal `by` changes: it passed a level."""
        self.readers[by] = self.readers[signal]


def _numbered(claims: Iterable[Claim]) -> Iterator[tuple[int, ...]]:
    first = 0
    for claim in claims:
        count = len(claim.propositions())
        yield tuple(range(first, first + count))
        first += count


def _levels(claims: Iterable[Claim], continuous: frozenset[str]) -> Iterable[tuple[str, float]]:
    """Give the levels of continuous truths whose crossings must be scheduled, each once."""
    return dict.fromkeys(
        (atom.name, atom.level)
        for claim in claims
        for proposition in claim.propositions()
        for atom in atoms(proposition)
        if atom.name in continuous
    )


class Judge:
    """All monitors of one run."""

    def __init__(self, docket: Docket, signals: Signals) -> None:
        self.docket: Final = docket
        self.monitors: Final[list[Monitor]] = [claim.monitor() for claim in docket.claims]
        self.now = Ns(0)
        self.next_due = NEVER
        self._signals = signals
        self._truth: list[bool] = [False] * len(docket.tests)
        self._pieces: dict[int, list[tuple[int, Any]]] = {}

    def begin(self, now: Ns) -> None:
        """Look for the first time: every proposition, every monitor."""
        self.now = now
        values = self._signals.values
        for signal in self.docket.measurers:
            self._pieces[signal] = [(now, values[signal])]
        for number in range(len(self._truth)):
            self._truth[number] = self._test(number, now)
        self._update(range(len(self.monitors)))

    def look(self, now: Ns, changed: Iterable[int]) -> None:
        """Look at the end of an instant in which these signals changed, or a deadline came."""
        self.now = now
        docket, truth = self.docket, self._truth
        touched: set[int] = set()
        for signal in changed:
            for number in docket.readers.get(signal, ()):
                value = self._test(number, now)
                if value is not truth[number]:
                    truth[number] = value
                    touched.add(docket.owner[number])
            measurers = docket.measurers.get(signal)
            if measurers is not None:
                touched.update(measurers)
                pieces = self._pieces[signal]
                pieces.append((now, self._signals.values[signal]))
                if len(pieces) > KEPT:
                    del pieces[0]
        if now >= self.next_due:
            touched.update([n for n, m in enumerate(self.monitors) if m.due <= now])
        if touched:
            self._update(sorted(touched))

    def _test(self, number: int, now: Ns) -> bool:
        """Evaluate a proposition; a continuous truth counts just after `now`: at a crossing, the side it goes to."""
        values = self._signals.values
        for signal, slot in self.docket.curves[number]:
            value = values[signal]
            values[slot] = value.at(Ns(now + 1)) if isinstance(value, Curve) else value
        return bool(self.docket.tests[number](values))

    def _update(self, numbers: Iterable[int]) -> None:
        truth, mine = self._truth, self.docket.mine
        for number in numbers:
            self.monitors[number].update(self.now, [truth[p] for p in mine[number]], self)
        self.next_due = min(map(_DUE, self.monitors), default=NEVER)

    def finish(self, now: Ns) -> tuple[Verdict, ...]:
        """Judge the whole run."""
        self.now = now
        return tuple(m.finish(now, self) for m in self.monitors)

    def so_far(self, now: Ns) -> tuple[Verdict, ...]:
        """Judge the run up to now and let it go on: monitors are finished on copies."""
        self.now = now
        return tuple(deepcopy(m, {id(m.claim): m.claim}).finish(now, self) for m in self.monitors)

    # What monitors may ask

    def value(self, expression: Expr) -> Any:
        """Give the value of any expression now."""
        if isinstance(expression, Ref | Truth):
            return self._now(expression.name)
        return evaluate(expression, {NOW: self.now, **{name: self._now(name) for name in _names(expression)}})

    def _now(self, name: str) -> Any:
        signal = self._signals.value(name)
        return signal.at(self.now) if isinstance(signal, Curve) else signal

    def extremes(self, name: str, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest value of a numeric truth over a closed past span."""
        number = self._signals.list.index[name]
        pieces = self._pieces.get(number) or [(0, self._signals.values[number])]
        start, signal = pieces[-1]
        if start <= first:
            return _span(signal, first, last)
        least, most = float("inf"), float("-inf")
        for place, (start, signal) in enumerate(pieces):
            end = pieces[place + 1][0] if place + 1 < len(pieces) else last
            if start <= last and (end >= first or place + 1 == len(pieces)):
                low, high = _span(signal, Ns(max(start, first)), Ns(min(end, last)))
                least, most = min(least, low), max(most, high)
        return least, most

    def since(self, name: str) -> Ns:
        """Give the instant since which a signal has its value."""
        return self._signals.since_when(name)


def _span(signal: Signal, first: Ns, last: Ns) -> tuple[float, float]:
    if isinstance(signal, Curve):
        return signal.extremes(first, max(first, last))
    return float(signal), float(signal)


def _names(expression: Expr) -> list[str]:
    found = []
    for node in expression.walk():
        if isinstance(node, Ref | Truth):
            found.append(node.name)
        elif isinstance(node, StepActive):
            found.append(node.chart)
    return found


def _check_names(claim: Claim, known: Mapping[str, int]) -> None:
    for name in claim.names():
        if name not in known:
            raise RuleError(
                f"rule {claim.name!r} speaks of {name!r}, which the machine does not show",
                "a rule sees tags, charts and truths of parts (part.terminal)",
                nearest(name, known),
                claim.place,
            )
