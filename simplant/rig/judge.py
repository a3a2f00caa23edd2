"""Watching the rules of a machine during a run: values in, verdicts out.

The claims and their monitors are rules/. What is the same for every run with the same claims is a
`Docket`, made once; a `Judge` is one run's. Rule: the judge looks once per instant, when everything has
settled, reads only, and looks only at what changed.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from math import inf
from typing import Any, Final

from simplant.curves import Curve
from simplant.errors import RuleError, nearest
from simplant.expr import Expr, Ref, StepActive, Truth
from simplant.kernel.same import picker
from simplant.logic.compile import Formulas, compile_formulas
from simplant.part import Signal
from simplant.rig.signals import SignalList, Signals
from simplant.rules import Claim, Monitor, Verdict, atoms
from simplant.timebase import NEVER, Ns

KEPT: Final = 6
"""Pieces of a numeric truth that are remembered: more than any monitor looks back."""


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
            for name in _names(proposition):
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
        curves = dict.fromkeys(name for each in group for name in _names(each) if name in self._slots)
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


class Judge:
    """All monitors of one run."""

    def __init__(self, docket: Docket, signals: Signals) -> None:
        self.docket: Final = docket
        self.monitors: Final[list[Monitor]] = [claim.monitor() for claim in docket.claims]
        self.now = Ns(0)
        self.next_due = NEVER
        self._signals = signals
        self._dues: Final = [NEVER] * len(self.monitors)
        self._truth: list[bool] = []
        self._pieces: dict[int, list[tuple[int, Any]]] = {}

    def begin(self, now: Ns) -> None:
        """Look for the first time: every proposition, every monitor."""
        self.now = now
        values = self._signals.values
        for signal, reader in self.docket.readers.items():
            if reader.measurers:
                self._pieces[signal] = [(now, values[signal])]
        everything = self.docket.everything
        self._place(everything.curves, Ns(now + 1))
        self._truth = list(everything.test(values))
        self._update(range(len(self.monitors)))

    def look(self, now: Ns, changed: Iterable[int]) -> None:
        """Look at the end of an instant in which these signals changed, or a deadline came."""
        self.now = now
        readers = self.docket.readers
        touched: set[int] = set()
        for signal in changed:
            reader = readers.get(signal)
            if reader is not None:
                self._read(reader, touched)
                if reader.measurers:
                    touched.update(reader.measurers)
                    self._piece(signal, now)
        if now >= self.next_due:
            touched.update([n for n, due in enumerate(self._dues) if due <= now])
        if touched:
            self._update(sorted(touched))

    def _read(self, reader: Reader, touched: set[int]) -> None:
        """Evaluate propositions anew; add the monitors of those that changed."""
        truth = self._truth
        if reader.curves:
            self._place(reader.curves, Ns(self.now + 1))
        for number, value in zip(reader.numbers, reader.test(self._signals.values), strict=True):
            if value != truth[number]:
                truth[number] = value
                touched.update(self.docket.owners[number])

    def _piece(self, signal: int, now: Ns) -> None:
        """Remember what a numeric truth is from now on."""
        pieces = self._pieces[signal]
        pieces.append((now, self._signals.values[signal]))
        if len(pieces) > KEPT:
            del pieces[0]

    def _place(self, curves: Iterable[tuple[int, int]], at: Ns) -> None:
        """Put continuous truths into their slots as they are at an instant.

        A proposition counts just after now: at a crossing, the side that the truth goes to.
        """
        values = self._signals.values
        for signal, slot in curves:
            value = values[signal]
            values[slot] = value.at(at) if isinstance(value, Curve) else value

    def _update(self, numbers: Iterable[int]) -> None:
        now, monitors, dues, truth, picks = self.now, self.monitors, self._dues, self._truth, self.docket.picks
        for number in numbers:
            monitor = monitors[number]
            monitor.update(now, picks[number](truth), self)
            dues[number] = monitor.due
        self.next_due = min(dues, default=NEVER)

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
        formula = self.docket.formula(expression)
        self._place(formula.curves, self.now)
        return formula.test(self._signals.values)[0]

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
        least, most, end = inf, -inf, last
        for start, signal in reversed(pieces):
            if end < first:
                break
            if start <= last:
                low, high = _span(signal, Ns(max(start, first)), Ns(min(end, last)))
                least, most = min(least, low), max(most, high)
            end = Ns(start)
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
