"""Compressed air: a pressure that rises and falls, and the switch that watches it.

Valves and cylinders are beside this file.
Rule: `course` is the pressure as a curve, `pressure` the same in steps, since parts on air hear of it only at events.
"""

from math import ceil, floor
from typing import ClassVar

from simplant.curves import Approach, Curve, Steady
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns


class AirSupply(Part):
    """Filter, regulator and shut-off valve with soft start: p' = (goal - p) / tau, with its own tau for venting.

    The pressure switch makes at `switch_at` rising and breaks `hysteresis` below that. The pressure counts as arrived
    within half a `step` of its goal.

    Input: `on` (the shut-off valve is driven; unwired: open). Outputs: `pressure` (kPa above ambient, in steps),
    `course` (curve, kPa), `healthy` (the pressure switch). Actions shut and open the hand valve before it.
    """

    INPUTS: ClassVar = {"on": True}
    OUTPUTS: ClassVar = {"pressure": 0.0, "course": Steady(0.0), "healthy": False}
    PARAMETERS: ClassVar = {
        "nominal": Parameter(600.0, "kPa", "set at the regulator", 0.05, 0.0, 2000.0),
        "fill": Parameter(0.3, "s", "time constant of filling", 0.5, 1e-3, 600.0),
        "vent": Parameter(0.2, "s", "time constant of venting", 0.5, 1e-3, 600.0),
        "switch_at": Parameter(450.0, "kPa", "the pressure switch makes, rising", 0.05, 1.0, 2000.0),
        "hysteresis": Parameter(50.0, "kPa", "fall below that at which it breaks", 0.3, 0.1, 1000.0),
        "step": Parameter(25.0, "kPa", "step of `pressure`", 0.0, 1.0, 200.0),
    }
    FAILURES = (
        FailureMode("lost", "compressor off, hose burst", "vents"),
        FailureMode("low", "filter clogged, other machines draw", "this share of what is set", 0.5),
        FailureMode("switch_stuck", "contact of the pressure switch welded", "says healthy for ever"),
    )
    ACTIONS: ClassVar = {"off": "shut the hand valve (it vents)", "on": "open the hand valve"}

    def begin(self, now: Ns) -> None:
        """Start without pressure."""
        self.course: Curve = Steady(0.0)
        self.goal = self.level = 0.0
        self.open = True
        self.healthy = False
        self.steps = NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Turn the hand valve."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        self.open = action == "on"

    def advance(self, now: Ns) -> None:
        """Take the next step."""
        if now >= self.steps:
            self._step(now)

    def command(self, now: Ns) -> None:
        """Fill or vent."""
        fed = self.open and self.on("on") and "lost" not in self.faults
        goal = self.p["nominal"] * self.faults.get("low", 1.0) if fed else 0.0
        if goal != self.goal:
            self.goal, here = goal, self.course.at(now)
            self.course = Approach(now, here, goal, self.p["fill" if goal > here else "vent"])
            self._step(now)
        self.emit("course", self.course)
        self.emit("pressure", self.level)
        self.emit("healthy", self.healthy or "switch_stuck" in self.faults)

    def next_due(self) -> Ns:
        """Give the next step or change of the switch."""
        return self.steps

    def _step(self, now: Ns) -> None:
        """Set the step, the switch, and when to look again."""
        here, half = self.course.at(now), self.p["step"] / 2
        if abs(self.goal - here) <= half:
            here, self.level, self.course = self.goal, self.goal, Steady(self.goal)
        else:
            steps = here / (2 * half)
            self.level = 2 * half * (floor(steps + 0.5) if self.goal > here else ceil(steps - 0.5))
        makes, breaks = self.p["switch_at"], self.p["switch_at"] - self.p["hysteresis"]
        self.healthy = here > breaks if self.healthy else here >= makes
        edges = self.level + half, self.level - half, self.goal + half, self.goal - half, makes, breaks
        self.steps = min(self.course.crossing(edge, now) for edge in edges)
