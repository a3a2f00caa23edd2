"""Watching the rules of a machine during a run: values in, verdicts out.

The claims and their monitors are rules/; how they are bound to signals is docket.py. Rule: the judge looks once
per instant, when everything has settled, reads only, and looks only at what changed.
"""

from collections.abc import Iterable
from copy import deepcopy
from math import inf
from typing import Any, Final

from simplant.curves import Curve
from simplant.expr import Expr, Ref, Truth
from simplant.part import Signal
from simplant.rig.docket import Docket
from simplant.rig.signals import Signals
from simplant.rules import Monitor, Verdict
from simplant.timebase import NEVER, Ns

KEPT: Final = 6
"""Pieces of a numeric truth that are remembered: more than any monitor looks back."""


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
        self._span: tuple[str, Ns, Ns] | None = None  # the last that was asked for,
        self._told = (0.0, 0.0)  # and the answer: a claim often asks twice

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
        readers, values, truth = self.docket.readers, self._signals.values, self._truth
        touched: set[int] = set()
        for signal in changed:
            reader = readers.get(signal)
            if reader is not None:
                if reader.curves:
                    self._place(reader.curves, Ns(now + 1))
                reader.news(values, truth, touched.update)
                if reader.measurers:
                    touched.update(reader.measurers)
                    self._piece(signal, now)
        if now >= self.next_due:
            touched.update([n for n, due in enumerate(self._dues) if due <= now])
        if touched:
            self._update(sorted(touched))

    def _piece(self, signal: int, now: Ns) -> None:
        """Remember what a numeric truth is from now on."""
        self._span = None
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
        span = (name, first, last)
        if span != self._span:
            self._span, self._told = span, self._extremes(name, first, last)
        return self._told

    def _extremes(self, name: str, first: Ns, last: Ns) -> tuple[float, float]:
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
