"""What an analogue wire carries and what the controller makes of it: two pairs of ends, straight between.

The points that convert are analog_points.py, the columns of the I/O list that say it analog_columns.py.
Rule: a signal is a fraction of its range here, 0 at the low end, 1 at the high end; a number is exact at both.
"""

from dataclasses import dataclass
from math import floor
from typing import Final

from simplant.values import ElementaryType, Value

BOTTOM: Final = -0.25
TOP: Final = 1.25
"""A module measures a quarter of the range beyond either end (of 4-20 mA: 0 to 24 mA), then clips: our choice."""
FAILS_LOW: Final = -0.025
FAILS_HIGH: Final = 1.0625
"""At or beyond these a live zero reports a failure: 3.6 and 21 mA of 4-20 mA (from memory: NAMUR NE 43)."""


@dataclass(frozen=True, slots=True)
class AnalogSpan:
    """A range of a signal and the numbers that its ends stand for.

    Args:
        low, high: the ends, in `unit`; low < high.
        unit: `mA`, `V`, or of a quantity that a part gives directly.
        raw_low, raw_high: the number at either end; the first may be the greater one.
    """

    low: float
    high: float
    unit: str
    raw_low: float
    raw_high: float

    @property
    def electrical(self) -> bool:
        """Whether it is a current or a voltage."""
        return self.unit in ("mA", "V")

    @property
    def live_zero(self) -> bool:
        """Whether its low end differs from a dead wire; of a quantity, its transmitter is taken to be such."""
        return not self.electrical or self.low > 0

    @property
    def dead(self) -> float:
        """The fraction that a dead wire reads."""
        return self.place(0.0) if self.electrical else BOTTOM

    def place(self, signal: float) -> float:
        """Give the fraction of the range at which a signal lies; not clipped."""
        return (signal - self.low) / (self.high - self.low)

    def signal(self, fraction: float) -> float:
        """Give the signal at a fraction of the range, in `unit`."""
        return self.low + (self.high - self.low) * fraction

    def steps(self, resolution: float, kind: ElementaryType) -> float:
        """Give in how many steps the range is converted, from the size of one; 0 = as fine as the type allows.

        That is one count, or a ten-thousandth of the range if the number is real.
        """
        if not resolution and not kind.is_integer:
            return 10_000.0
        return abs(self.raw_high - self.raw_low) / (resolution or 1.0)

    def number(self, fraction: float, kind: ElementaryType) -> Value:
        """Give the number at a fraction, held within its type; whole ones are rounded, halves up."""
        value = self.raw_low + (self.raw_high - self.raw_low) * fraction
        held = min(max(value, kind.least), kind.most)
        return nearest_whole(held) if kind.is_integer else kind.wrap(held)

    def fraction(self, number: float) -> float:
        """Give the fraction at which a number lies, held within the range; what is no number lies at 0."""
        found = (number - self.raw_low) / (self.raw_high - self.raw_low)
        return min(found, 1.0) if found > 0 else 0.0

    def fails(self, fraction: float) -> bool:
        """Say whether a module reports a failure there: no live zero, or more than it can measure."""
        if self.live_zero:
            return fraction <= FAILS_LOW or fraction >= FAILS_HIGH
        return fraction <= BOTTOM or fraction >= TOP


def nearest_whole(x: float) -> int:
    """Round to the nearest whole number, halves up; what lies a millionth off a half counts as one."""
    return floor(round(x, 6) + 0.5)
