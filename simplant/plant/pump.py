"""A pump: runs as told, delivers after a moment, and trips on overload.

The tank it empties is tank.py, its contactor is in wiring/. Rule: flow is a number that changes
only at instants; what runs dry delivers nothing.
"""

from typing import ClassVar

from simplant.curves import Curve, Steady
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds


class Pump(Part):
    """Submersible pump with a check valve and an overload relay.

    Delivers `rated_flow` from `start_delay` after its start, nothing from its stop on (the check valve shuts). It sucks
    air once the level is down at `inlet` and delivers again when the level is `reprime` above that.

    Inputs: `run` (its contactor), `volts`, `level` (curve, m, of the tank; unwired: always deep enough).
    Outputs: `flow` (m3/s), `running` (turns), `dry`, `tripped` (overload; its NC contact is `"not pump.tripped"` at
    the coil circuit of its contactor), `current` (A).
    """

    INPUTS: ClassVar = {"run": False, "volts": 24.0, "level": Steady(1.0)}
    OUTPUTS: ClassVar = {"flow": 0.0, "running": False, "dry": False, "tripped": False, "current": 0.0}
    PARAMETERS: ClassVar = {
        "rated_flow": Parameter(0.004, "m3/s", "what it delivers", 0.1, least=0),
        "start_delay": Parameter(0.5, "s", "from start to flow", 0.3, least=0),
        "least_volts": Parameter(18.0, "V", "voltage below which it does not turn", 0.05, least=0),
        "inlet": Parameter(0.05, "m", "level at which it sucks air", 0.2, least=0),
        "reprime": Parameter(0.05, "m", "rise above the inlet at which it delivers again", 0.5, least=1e-4),
        "rated_current": Parameter(4.0, "A", "current while it turns", 0.1, least=0),
    }
    FAILURES = (
        FailureMode("dead", "motor burnt, cable cut", "does not turn"),
        FailureMode("overload", "impeller blocked", "its overload relay trips: does not turn, and says so"),
        FailureMode("clogged", "strainer full", "turns and delivers nothing"),
        FailureMode("weak", "worn impeller", "delivers this fraction", 0.5, ""),
    )

    def begin(self, now: Ns) -> None:
        """Stand still."""
        self.primed = NEVER  # instant from which on it delivers; NEVER = does not turn
        self.dry = False
        self.last_level: Curve | None = None
        self.wets = self.flows = NEVER

    def advance(self, now: Ns) -> None:
        """Begin to deliver; look at the level when it crosses the inlet."""
        if now >= self.flows:
            self.flows = NEVER
        if now >= self.wets:
            self.last_level = None

    def command(self, now: Ns) -> None:
        """Obey contactor, voltage and faults."""
        running = (
            self.on("run")
            and self.number("volts") >= self.p["least_volts"]
            and not ("dead" in self.faults or "overload" in self.faults)
        )
        if running != (self.primed != NEVER):
            self.primed = Ns(now + from_float_seconds(self.p["start_delay"])) if running else NEVER
            self.flows = self.primed if self.primed > now else NEVER
        level = self.curve("level")
        if level is not self.last_level:
            self.last_level = level
            self._look(level, now)
        delivers = now >= self.primed and not self.dry and "clogged" not in self.faults
        self.emit("flow", self.p["rated_flow"] * self.faults.get("weak", 1.0) if delivers else 0.0)
        self.emit("running", running)
        self.emit("dry", self.dry)
        self.emit("tripped", "overload" in self.faults)
        self.emit("current", self.p["rated_current"] if running else 0.0)

    def next_due(self) -> Ns:
        """Give the begin of delivery, or the level's next crossing of the inlet."""
        return min(self.flows, self.wets)

    def _look(self, level: Curve, now: Ns) -> None:
        """Tell whether the inlet is dry, with hysteresis, and when that changes."""
        here, inlet = level.at(now), self.p["inlet"]
        again = inlet + self.p["reprime"]
        self.dry = here < again if self.dry else here <= inlet
        self.wets = level.crossing(again if self.dry else inlet, now)
