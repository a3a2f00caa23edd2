"""A tank: its level is what flowed in less what flowed out.

Pumps are pump.py, floats float_switch.py. Flows change only at instants, so the level is a
line until it meets the rim or the bottom. Rule: nothing is lost but over the rim.
"""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from simplant.curves import Curve, Line, Steady, followed
from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part, evenly
from simplant.timebase import NEVER, Ns


class Tank(Part):
    """Upright tank: h' = (inflow - outflow) / area, between the bottom (0) and the rim (`depth`).

    Inputs: `inflow`, `outflow` (m3/s; several sources add up). What seeps in besides is the parameter
    `seep`, which a scenario changes by the action `inflow`. Outputs: `level` (curve, m), `coming_in` (m3/s, both
    together), `overflowing` (at the rim with more coming in than going out), `empty`.
    """

    INPUTS: ClassVar = {"inflow": 0.0, "outflow": 0.0}
    OUTPUTS: ClassVar = {"level": Steady(0.5), "coming_in": 0.0, "overflowing": False, "empty": False}
    PARAMETERS: ClassVar = {
        "area": Parameter(1.0, "m2", "of the floor", 0.02, least=1e-6),
        "depth": Parameter(2.0, "m", "from the floor to the rim", 0.01, least=1e-3),
        "start_level": Parameter(0.5, "m", "level when the run begins", 0.2, least=0),
        "seep": Parameter(0.0, "m3/s", "what seeps in when the run begins", 0.5, least=0),
    }
    FAILURES = (FailureMode("leaks", "cracked wall, drain valve open", "so much runs out besides", 0.001, "m3/s"),)
    ACTIONS: ClassVar = {"inflow": "so much seeps in from now on, m3/s"}

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may be empty, full, or anything in between."""
        return {"start_level": evenly(0.0, p["depth"])}

    def begin(self, now: Ns) -> None:
        """Stand at the start level."""
        self.seeping = self.p["seep"]
        self.course: Curve = Steady(min(self.p["start_level"], self.p["depth"]))
        self.net = 0.0
        self.ends = NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Change what seeps in."""
        if action != "inflow":
            super().act(action, value, now)
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < float("inf"):
            raise PlantError(f"tank {self.name!r}: inflow {value!r} is not a flow", "it must be a number of m3/s, >= 0")
        self.seeping = float(value)

    def advance(self, now: Ns) -> None:
        """Meet the rim or the bottom."""
        if now >= self.ends:
            self.ends = NEVER

    def command(self, now: Ns) -> None:
        """Bend the level if the flows changed."""
        coming_in = self.seeping + self.number("inflow")
        net = coming_in - self.number("outflow") - self.faults.get("leaks", 0.0)
        if net != self.net:
            self.net = net
            self._bend(now)
        level, still = self.course.at(now), self.ends == NEVER
        self.emit("level", self.course)
        self.emit("coming_in", coming_in)
        self.emit("overflowing", still and net > 0 and level >= self.p["depth"])
        self.emit("empty", still and level <= 0)

    def next_due(self) -> Ns:
        """Give the instant at which the rim or the bottom is met."""
        return self.ends

    def _bend(self, now: Ns) -> None:
        level, bound = self.course.at(now), self.p["depth"] if self.net > 0 else 0.0
        self.ends, self.course = NEVER, Steady(level)
        if self.net and level != bound:
            rise = Line(now, level, self.net / self.p["area"])
            self.ends = rise.crossing(bound, now)
            self.course = followed(rise, now, self.ends, Steady(bound))
