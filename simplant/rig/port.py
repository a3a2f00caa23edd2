"""A second controller as a part of the plant: its input lines, and what it drives.

The controller itself is kernel/; the rig carries values between both. Rule: the port only
passes on; timing is the controller's own.
"""

from collections.abc import Iterable

from simplant.part import Part, Signal
from simplant.timebase import Ns


class Port(Part):
    """Lines of a small controller: inputs by the tag that reads them, outputs by the tag that drives them."""

    def __init__(self, name: str, inputs: Iterable[str], outputs: Iterable[str]) -> None:
        """Make the lines, all FALSE."""
        super().__init__(name)
        self.inputs = dict.fromkeys(inputs, False)
        self.outputs = dict.fromkeys(outputs, False)
        self.deaf_to = frozenset(self.inputs)  # the controller hears them itself
        self.driven: dict[str, Signal] = {}

    def command(self, now: Ns) -> None:
        """Pass on what the controller drives."""
        for terminal, value in self.driven.items():
            self.emit(terminal, value)
