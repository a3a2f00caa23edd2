"""Every value of a run that has a name: its number, whether the trace shows it, its present value and since when.

Names and numbers are the same for all runs of a machine (`SignalList`); the values are one run's
(`Signals`). Rule: a number is given once, and rules, trace and routes speak in numbers.
"""

from collections.abc import Iterable
from typing import Any, Final

from simplant.part import Signal
from simplant.timebase import Ns


class SignalList:
    """Names and numbers.

    Args:
        names: in order.
        loud: for each, whether it stands in the trace.
    """

    __slots__ = ("index", "loud", "names")

    def __init__(self, names: Iterable[str], loud: Iterable[bool]) -> None:
        """Number them."""
        self.names: Final = list(names)
        self.loud: Final = list(loud)
        self.index: Final = {name: n for n, name in enumerate(self.names)}

    def add(self, name: str) -> int:
        """Add a signal that no trace shows; give its number."""
        self.index[name] = len(self.names)
        self.names.append(name)
        self.loud.append(False)
        return self.index[name]


class Signals:
    """The values of one run, by number; `since` when each has its value (a curve: since when it is this curve).

    `kept` holds every value so far of the few quiet signals that somebody asked for with `keep`.
    """

    __slots__ = ("kept", "list", "since", "values")

    def __init__(self, names: SignalList) -> None:
        """Start with nothing known."""
        self.list: Final = names
        self.values: Final[list[Any]] = [False] * len(names.names)
        self.since: Final[list[int]] = [0] * len(names.names)
        self.kept: Final[dict[int, list[tuple[int, Signal]]]] = {}

    def keep(self, names: Iterable[str]) -> None:
        """Remember from now on every value of these signals, which no trace shows: (since when, value)."""
        for number in map(self.list.index.__getitem__, names):
            self.kept.setdefault(number, [(self.since[number], self.values[number])])

    def value(self, name: str) -> Signal:
        """Give a value as it is: a level, a number, a word or a curve."""
        value: Signal = self.values[self.list.index[name]]
        return value

    def since_when(self, name: str) -> Ns:
        """Give the instant since which a signal has its value."""
        return Ns(self.since[self.list.index[name]])
