"""What a wire written as `"not part.terminal"` runs through: TRUE where the terminal says FALSE.

The machine file puts it in (rig/machine.py), as it does sums (world.py). Rule: it has no delay and fails never;
a real relay between two circuits is a part with a name.
"""

from typing import ClassVar

from simplant.part import Part
from simplant.timebase import Ns


class Inverter(Part):
    """`inverse` is what `of` is not."""

    INPUTS: ClassVar = {"of": False}
    OUTPUTS: ClassVar = {"inverse": True}

    def command(self, now: Ns) -> None:
        """Invert."""
        self.emit("inverse", not self.on("of"))
