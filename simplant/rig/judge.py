"""Watching the rules of a machine during a run: values in, verdicts out.

The claims and their monitors are rules/. Rule: the judge looks once per instant, when everything
has settled, reads only, and looks only at what changed.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import deepcopy
from typing import Any, Final

from simplant.curves import Curve
from simplant.errors import Place, RuleError, nearest
from simplant.expr import NOW, Expr, Ref, StepActive, Truth, evaluate
from simplant.logic.compile import compile_conditions
from simplant.part import Signal
from simplant.rules import Claim, Monitor, Verdict, atoms
from simplant.timebase import NEVER, Ns

KEPT: Final = 6
"""Pieces of a continuous truth that are remembered: more than any monitor looks back."""


class Signals:
    """The present value of everything that has a name, and since when; shared by recorder and judge."""

    def __init__(self, names: Iterable[str]) -> None:
        self.names: Final = list(names)
        self.index: Final = {name: n for n, name in enumerate(self.names)}
        self.values: list[Any] = [False] * len(self.names)
        self.since: list[int] = [0] * len(self.names)

    def add(self, name: str) -> int:
        """Add a signal; give its number."""
        self.index[name] = len(self.names)
        self.names.append(name)
        self.values.append(0)
        self.since.append(0)
        return self.index[name]


class Judge:
    """All monitors of a run.

    Args:
        claims: what is demanded.
        signals: the values to look at.
        continuous: names of the truths that are curves.
    """

    def __init__(self, claims: Sequence[Claim], signals: Signals, continuous: frozenset[str]) -> None:
        self.claims: Final = list(claims)
        self.monitors: Final[list[Monitor]] = [claim.monitor() for claim in claims]
        self.now = Ns(0)
        self.next_due = NEVER
        self._signals = signals
        self._continuous = continuous
        self._bind(signals)

    def _bind(self, signals: Signals) -> None:
        propositions: list[Expr] = []
        self._mine: list[tuple[int, ...]] = []
        for claim in self.claims:
            mine = claim.propositions()
            _check_names(claim, signals.index)
            self._mine.append(tuple(range(len(propositions), len(propositions) + len(mine))))
            propositions += mine
        curves = sorted({n for p in propositions for n in _names(p) if n in self._continuous})
        slots = {name: signals.add(f"{name} just after") for name in curves}
        self._curve_slots = {signals.index[name]: slot for name, slot in slots.items()}
        where = {**signals.index, **slots}
        self._tests: list[Callable[[Sequence[Any]], Any]] = compile_conditions(propositions, where)
        self._truth = [False] * len(propositions)
        self._owner = [m for m, mine in enumerate(self._mine) for _ in mine]
        self._readers: dict[int, tuple[int, ...]] = {}
        for number, proposition in enumerate(propositions):
            for name in set(_names(proposition)):
                at = signals.index[name]
                self._readers[at] = (*self._readers.get(at, ()), number)
        self._pieces: dict[str, list[tuple[int, Any]]] = {}
        for claim in self.claims:
            for name in claim.names():
                if name in self._continuous:
                    self._pieces[name] = []

    @property
    def heard(self) -> Mapping[int, tuple[int, ...]]:
        """Signal number -> propositions that read it."""
        return self._readers

    def watch(self, name: str, by: str) -> None:
        """Look again at what reads a continuous truth whenever the signal `by` changes: it passed a level."""
        self._readers[self._signals.add(by)] = self._readers[self._signals.index[name]]

    def begin(self, now: Ns) -> None:
        """Look for the first time: every proposition, every monitor."""
        self.now = now
        for name in self._pieces:
            self.new_piece(name, now)
        self._refresh(now, self._curve_slots)
        values = self._signals.values
        self._truth = [bool(test(values)) for test in self._tests]
        for number in range(len(self.monitors)):
            self._update(number)
        self.next_due = min((m.next_due() for m in self.monitors), default=NEVER)

    def new_piece(self, name: str, now: Ns) -> None:
        """Note that a continuous truth goes on along another curve."""
        pieces = self._pieces.get(name)
        if pieces is not None:
            pieces.append((now, self._signals.values[self._signals.index[name]]))
            del pieces[:-KEPT]

    def look(self, now: Ns, changed: Iterable[int]) -> None:
        """Look at the end of an instant in which these signals changed, or a deadline came."""
        self.now = now
        touched: set[int] = set()
        asked: set[int] = set()
        for signal in changed:
            readers = self._readers.get(signal)
            if readers is not None:
                asked.update(readers)
                if signal in self._curve_slots:
                    touched.update(self._owner[r] for r in readers)
        if asked:
            self._refresh(now, self._curve_slots)
            values, truth = self._signals.values, self._truth
            for number in asked:
                value = bool(self._tests[number](values))
                if value != truth[number]:
                    truth[number] = value
                    touched.add(self._owner[number])
        if now >= self.next_due:
            touched.update(n for n, m in enumerate(self.monitors) if m.next_due() <= now)
        if touched:
            for number in sorted(touched):
                self._update(number)
            self.next_due = min([m.next_due() for m in self.monitors])

    def _refresh(self, now: Ns, slots: Mapping[int, int]) -> None:
        """Read every continuous truth just after `now`: at a crossing, the side it goes to."""
        values = self._signals.values
        for at, slot in slots.items():
            value = values[at]
            values[slot] = value.at(now + 1) if isinstance(value, Curve) else value

    def _update(self, number: int) -> None:
        truth = self._truth
        self.monitors[number].update(self.now, [truth[p] for p in self._mine[number]], self)

    def finish(self, now: Ns) -> tuple[Verdict, ...]:
        """Judge the whole run."""
        self.now = now
        return tuple(m.finish(now, self) for m in self.monitors)

    def so_far(self, now: Ns) -> tuple[Verdict, ...]:
        """Judge the run up to now and let it go on: monitors are finished on copies."""
        self.now = now
        return tuple(deepcopy(m, {id(m.claim): m.claim}).finish(now, self) for m in self.monitors)

    def levels(self) -> list[tuple[str, float]]:
        """Give the levels of continuous truths whose crossings must be scheduled."""
        found = {
            (atom.name, atom.level): None
            for claim in self.claims
            for proposition in claim.propositions()
            for atom in atoms(proposition)
            if atom.name in self._continuous
        }
        return list(found)

    # What monitors may ask

    def value(self, expression: Expr) -> Any:
        """Give the value of any expression now."""
        env: dict[str, Any] = {NOW: self.now}
        for name in _names(expression):
            signal = self._signals.values[self._signals.index[name]]
            env[name] = signal.at(self.now) if isinstance(signal, Curve) else signal
        return evaluate(expression, env)

    def extremes(self, name: str, first: Ns, last: Ns) -> tuple[float, float]:
        """Give least and greatest value of a numeric truth over a closed past span."""
        pieces = self._pieces.get(name) or [(0, self._signals.values[self._signals.index[name]])]
        least, most = float("inf"), float("-inf")
        for number, (start, signal) in enumerate(pieces):
            end = pieces[number + 1][0] if number + 1 < len(pieces) else last
            if (end < first and number + 1 < len(pieces)) or start > last:
                continue
            low, high = _span(signal, Ns(max(start, first)), Ns(min(end, last)))
            least, most = min(least, low), max(most, high)
        return least, most

    def since(self, name: str) -> Ns:
        """Give the instant since which a signal has its value."""
        return Ns(self._signals.since[self._signals.index[name]])


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
            place: Place | None = claim.place
            raise RuleError(
                f"rule {claim.name!r} speaks of {name!r}, which the machine does not show",
                "a rule sees tags, charts and truths of parts (part.terminal)",
                nearest(name, known),
                place,
            )
