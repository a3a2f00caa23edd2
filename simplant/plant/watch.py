"""Watches a continuous truth against a level, so that a rule hears of the very instant it is passed.

The rules themselves are in rules/; the rig makes one watch for each bound that a rule names.
"""

from collections.abc import Callable
from typing import ClassVar, Final

from simplant.curves import Curve
from simplant.errors import PlantError, nearest
from simplant.part import Part, Signal
from simplant.timebase import NEVER, Ns

COMPARE: Final[dict[str, Callable[[float, float], bool]]] = {
    "<": lambda value, level: value < level,
    "<=": lambda value, level: value <= level,
    ">": lambda value, level: value > level,
    ">=": lambda value, level: value >= level,
}


class Watch(Part):
    """Says whether `curve` compares with `level`; due at each crossing.

    At a crossing the curve stands on the level or, by rounding up to a microsecond, just past it;
    which side holds from then on is told by the direction of travel.
    """

    INPUTS: ClassVar = {"curve": 0.0}
    OUTPUTS: ClassVar = {"holds": False}

    def __init__(self, name: str, op: str, level: float) -> None:
        """Watch `curve op level`; raises `PlantError` on an operator that is not < <= > >=."""
        super().__init__(name)
        if op not in COMPARE:
            raise PlantError(f"a continuous truth cannot be watched with {op!r}", mend=nearest(op, COMPARE))
        self.compare, self.level, self.due = COMPARE[op], level, NEVER

    def command(self, now: Ns) -> None:
        """Compare at `now`, look for the next crossing."""
        signal: Signal = self.inputs["curve"]
        if not isinstance(signal, Curve):
            self.due = NEVER
            self.emit("holds", self.compare(float(signal), self.level))
            return
        self.due = signal.crossing(self.level, now)
        value = signal.at(now)
        if value == self.level and signal.rate(now) != 0.0:
            value += signal.rate(now) * 1e-9
        self.emit("holds", self.compare(value, self.level))

    def next_due(self) -> Ns:
        """Give the next crossing."""
        return self.due
