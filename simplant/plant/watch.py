"""Watches a continuous truth against a level, so that a rule hears of the very instant it is passed.

The rules themselves are in rules/; the rig makes one watch for each level that a rule names.
Rule: it only wakes; which side holds, the rule finds out by looking.
"""

from typing import ClassVar

from simplant.curves import Curve
from simplant.part import Part
from simplant.timebase import NEVER, Ns


class Watch(Part):
    """Due whenever `curve` reaches or passes a level."""

    INPUTS: ClassVar = {"curve": 0.0}
    OUTPUTS: ClassVar = {"passed": 0}

    def __init__(self, name: str, level: float) -> None:
        """Watch for one level."""
        super().__init__(name)
        self.level, self.due, self.count = level, NEVER, 0

    def advance(self, now: Ns) -> None:
        """Note a crossing."""
        if now >= self.due:
            self.count += 1
            self.emit("passed", self.count)

    def command(self, now: Ns) -> None:
        """Look for the next crossing."""
        signal = self.inputs["curve"]
        self.due = signal.crossing(self.level, now) if isinstance(signal, Curve) else NEVER

    def next_due(self) -> Ns:
        """Give the next crossing."""
        return self.due
