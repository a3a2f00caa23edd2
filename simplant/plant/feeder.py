"""A part feeder: lets one part go at a time, as long as it has any.

What carries the parts is belt.py. Rule: a part that was let go is counted once, and never comes back.
"""

from typing import ClassVar

from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds


class Feeder(Part):
    """Magazine or bowl with an escapement: each rising edge of `release` lets one part go, `drop_time` later.

    An edge while a part is on its way is missed. `fed` is a count, as the belt's `fed` wants it.

    Input: `release`. Outputs: `fed` (parts let go), `stock` (parts left), `low` (its level switch: `low_at` or fewer).
    """

    INPUTS: ClassVar = {"release": False}
    OUTPUTS: ClassVar = {"fed": 0, "stock": 0, "low": False}
    PARAMETERS: ClassVar = {
        "parts": Parameter(50.0, "", "parts in it at the beginning", 0.0, 0.0, 1e6),
        "drop_time": Parameter(0.2, "s", "from the edge until the part is out", 0.3, 0.0, 60.0),
        "low_at": Parameter(5.0, "", "parts at which its level switch shows", 0.0, 0.0, 1e6),
    }
    FAILURES = (
        FailureMode("jammed", "part askew in the escapement", "lets nothing go"),
        FailureMode("doubles", "escapement worn", "lets two go at once, if it has them"),
        FailureMode("dribbles", "catch broken", "lets one go by itself, again and again after this time", 1.0, "s"),
    )
    ACTIONS: ClassVar = {"refill": "put parts in (value: how many; none: as many as at the beginning)"}

    def begin(self, now: Ns) -> None:
        """Be filled."""
        self.stock, self.fed = int(self.p["parts"]), 0
        self.drops = self.dribbles = NEVER
        self.was_released = self.on("release")

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Put parts in."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        more = self.p["parts"] if value is None else value
        if not isinstance(more, int | float) or more < 0 or more != int(more):
            raise PlantError(f"{self.name!r} cannot be refilled with {value!r} parts", mend="say a whole number")
        self.stock += int(more)

    def advance(self, now: Ns) -> None:
        """Let the part go."""
        if now >= self.drops:
            self.drops = NEVER
            self._let_go()
        if now >= self.dribbles:
            self.dribbles = NEVER
            self._let_go()

    def command(self, now: Ns) -> None:
        """Obey."""
        release = self.on("release")
        if release and not self.was_released and self.drops == NEVER:
            self.drops = Ns(now + from_float_seconds(self.p["drop_time"]))
        self.was_released = release
        every = self.faults.get("dribbles", 0.0)
        if every <= 0:
            self.dribbles = NEVER
        elif self.dribbles == NEVER:
            self.dribbles = Ns(now + from_float_seconds(every))
        self.advance(now)
        self.emit("fed", self.fed)
        self.emit("stock", self.stock)
        self.emit("low", self.stock <= self.p["low_at"])

    def next_due(self) -> Ns:
        """Give the next part."""
        return min(self.drops, self.dribbles)

    def _let_go(self) -> None:
        parts = 0 if "jammed" in self.faults else min(self.stock, 2 if "doubles" in self.faults else 1)
        self.stock -= parts
        self.fed += parts
