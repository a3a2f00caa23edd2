"""A turntable on a stepper motor: moves as told, knows nothing of where it is.

The lines come from the pulse controller, the limits are limit_sensor.py. Its angle is a curve;
this file plans one move at a time, with its end, its hard stop and its play already in it.
Rule: without holding torque nothing is planned: friction holds, or the table drifts.
"""

from collections.abc import Mapping, Sequence
from enum import Enum, auto
from typing import ClassVar

from simplant.chance import draw
from simplant.curves import Curve, Line, Pieces, Steady, followed
from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part, evenly
from simplant.plant.ramp import check_travel, ramp
from simplant.timebase import NEVER, Ns, from_float_seconds, seconds

STEPS_PER_SLIP = 4
"""A stepper that loses its hold falls in again after one electrical turn: four full steps."""

HAND = 60.0
"""deg/s by which somebody turns it."""


class Phase(Enum):
    """What the motor does."""

    REST = auto()
    DRIVE = auto()
    BRAKE = auto()
    SLIP = auto()
    DRIFT = auto()
    HAND = auto()


MOVES = (Phase.DRIVE, Phase.BRAKE)


class Turntable(Part):
    """Stepper with gear: trapezoid profile w' = +-ramp up to `speed`; hard stops at both ends.

    Positive is to the right. The motor first takes up the play when it turns round. At a hard stop, or stalled, it
    slips four full steps at a time. A reversal while moving brakes first, then goes the other way; with
    `reversal_slips` > 0 it turns at once and loses that many times four steps. When the holding torque comes
    back, the rotor falls into the nearest step: the table jumps up to `jump` full steps either way (drawn).

    Inputs: `move`, `right`, `enable` (levels), `volts`. Outputs: `angle` (curve, deg), `moving` (the table, not the
    motor), `against_stop`, `lost_steps` (full steps, total).
    """

    INPUTS: ClassVar = {"move": False, "right": False, "enable": False, "volts": 24.0}
    OUTPUTS: ClassVar = {"angle": Steady(0.0), "moving": False, "against_stop": False, "lost_steps": 0}
    PARAMETERS: ClassVar = {
        "start_angle": Parameter(0.0, "deg", "where it stands when the run begins"),
        "speed": Parameter(40.0, "deg/s", "cruising speed", 0.02, least=0.1),
        "ramp": Parameter(160.0, "deg/s2", "acceleration and braking; 0 = starts and stops dead", 0.05, least=0),
        "stop_left": Parameter(-68.0, "deg", "hard stop on the left", 0.005),
        "stop_right": Parameter(68.0, "deg", "hard stop on the right", 0.005),
        "full_step": Parameter(0.6, "deg", "one full step at the table: 1.8 deg through a gear of 3:1", least=0.001),
        "backlash": Parameter(0.3, "deg", "play of gear and belt", 0.5, least=0),
        "jump": Parameter(2.0, "", "most full steps by which it jumps when enabled", least=0, most=2),
        "reversal_slips": Parameter(0.0, "", "times four steps lost by turning round at speed; 0 = brakes", least=0),
        "least_volts": Parameter(18.0, "V", "supply below which the driver lets go", 0.05, least=0),
    }
    FAILURES = (
        FailureMode("steps_lost", "overload at the start", "the next move falls short by n x 4 steps", 1.0, "x 4"),
        FailureMode(
            "stalled", "something is in the way", "stands still and loses steps while told to move", lasts=seconds(5)
        ),
        FailureMode("slow", "pulses too slow", "runs at this fraction of its speed", 0.5, ""),
        FailureMode("drift", "unbalanced, or pulled by a cable", "turns by itself while not held", 2.0, "deg/s"),
    )
    ACTIONS: ClassVar = {"turn": "somebody turns it by hand (value: deg, + is right); in vain while the motor holds it"}

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may stand at any angle between its hard stops."""
        return {"start_angle": evenly(p["stop_left"], p["stop_right"], 17)}

    def begin(self, now: Ns) -> None:
        """Stand at the start angle, not held, the play half taken up."""
        check_travel(self.name, self.p["stop_left"], self.p["stop_right"])
        self.table: Curve = Steady(self.p["start_angle"])
        self.motor: Curve = self.table  # where the table would stand if it had no play
        self.play = 0.0  # motor ahead of table, within half the backlash either way
        self.way, self.phase = 0, Phase.REST
        self.held = self.lost_spent = False
        self.enables = self.lost = 0
        self.wanted: tuple[float, ...] = ()
        self.gripped = False
        self.grips = self.hits = self.ends = self.slips = NEVER
        self._say(now)

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Let somebody turn it, by 30 deg if no value is given, at the pace of a hand and up to the hard stop."""
        if action != "turn":
            super().act(action, value, now)
        by = 30.0 if value is None else value
        if isinstance(by, str) or not by:
            raise PlantError(
                f"{self.name!r} cannot be turned by {value!r}", mend="say by how many deg, left is below 0"
            )
        way = 1 if by > 0 else -1
        if not self.held and self._at_stop(now) != way:
            self._stand(now)
            self.phase, self.stale = Phase.HAND, True
            self.table = Line(now, self.table.at(now), way * HAND)
            self.ends = self.table.crossing(self.table.at(now) + by, now)
            self._bound(now, self.p["stop_right" if way > 0 else "stop_left"])

    def advance(self, now: Ns) -> None:
        """Take up the play, meet the hard stop, end the braking, or slip once more."""
        if now < self.next_due():
            return
        self.stale = True
        if now >= self.grips:
            self.gripped, self.grips = True, NEVER
        if now >= self.hits:
            self._hit(now)
        elif now >= self.ends:
            self._stand(now)
            self.wanted = ()
        elif now >= self.slips:
            self.lost += STEPS_PER_SLIP
            self.slips = Ns(self.slips + self._slip_time())

    def command(self, now: Ns) -> None:
        """Obey the lines: hold or let go, then drive, brake, or turn round."""
        held = self.on("enable") and self.number("volts") >= self.p["least_volts"]
        if held != self.held:
            self.held, self.stale = held, True
            self._stand(now)
            if held:
                self._fall_in(now)
        if "steps_lost" not in self.faults:
            self.lost_spent = False
        way = 0 if not (held and self.on("move")) else 1 if self.on("right") else -1
        drift = 0.0 if held else self.faults.get("drift", 0.0)
        wanted = (way, self._speed(), "stalled" in self.faults, drift)
        if wanted != self.wanted:
            self.wanted, self.stale = wanted, True
            if drift:
                self._drift(now, drift)
            else:
                self._obey(now, way)
        if self.stale:
            self._say(now)

    def next_due(self) -> Ns:
        """Give the next taking-up of the play, hard stop, end of braking, or slip."""
        return min(self.grips, self.hits, self.ends, self.slips)

    def _obey(self, now: Ns, way: int) -> None:
        pace = self.motor.rate(now) if self.phase in MOVES else 0.0
        if pace * way <= 0 and pace and not self.p["ramp"]:
            self._stand(now)
            pace = 0.0
        if pace * way < 0 and self.p["reversal_slips"]:
            self._stand(now)
            self.lost += STEPS_PER_SLIP * int(self.p["reversal_slips"])
            pace = 0.0
        stalled = "stalled" in self.faults
        if way and (stalled or self._at_stop(now) == way):
            self._slip(now, way)
        elif way and pace * way >= 0:
            self._drive(now, way, pace)
        elif pace and not stalled:
            self.phase = Phase.BRAKE
            self._plan(now, *ramp(now, self.motor.at(now), pace, 0.0, self.p["ramp"]))
        else:
            self._stand(now)

    def _drive(self, now: Ns, way: int, pace: float) -> None:
        motor = self.motor.at(now)
        if not pace:
            motor = self.table.at(now) + self.play - way * self.p["backlash"] / 2
            if "steps_lost" in self.faults and not self.lost_spent:
                lost = STEPS_PER_SLIP * int(self.faults["steps_lost"])
                self.lost_spent = True
                self.lost += lost
                motor -= way * lost * self.p["full_step"]
            self.gripped = (self.table.at(now) - motor) * way <= 0
        self.phase, self.way = Phase.DRIVE, way
        self._plan(now, ramp(now, motor, pace, way * self._speed(), self.p["ramp"])[0], NEVER)

    def _plan(self, now: Ns, motor: Curve, ends: Ns) -> None:
        """Let the motor follow a curve, and the table from where it is gripped, up to the hard stop."""
        angle = self.table.at(now)
        self.motor, self.ends, self.grips, self.slips = motor, ends, NEVER, NEVER
        self.table = motor
        if not self.gripped:
            self.grips = motor.crossing(angle, now)
            self.table = Steady(angle)
            if self.grips != NEVER:
                self.table = Pieces(((now, self.table), (self.grips, motor)))
        self._bound(now, self.p["stop_right" if self.way > 0 else "stop_left"])

    def _bound(self, now: Ns, stop: float) -> None:
        """Let the table end at a hard stop if its curve gets there."""
        self.hits = self.table.crossing(stop, now)
        if self.hits != NEVER:
            self.table = followed(self.table, now, self.hits, Steady(stop))

    def _hit(self, now: Ns) -> None:
        """Stand at the hard stop; what is left of a move is lost in whole electrical turns."""
        phase, way = self.phase, self.way
        if phase is Phase.BRAKE:
            left = abs(self.motor.at(self.ends) - self.motor.at(now)) / (STEPS_PER_SLIP * self.p["full_step"])
            self.lost += STEPS_PER_SLIP * round(left)
        self._stand(now)
        if phase is Phase.DRIVE:
            self._slip(now, way)
        elif phase is Phase.BRAKE:
            self.wanted = ()

    def _slip(self, now: Ns, way: int) -> None:
        self._stand(now)
        self.phase, self.way = Phase.SLIP, way
        self.slips = Ns(now + self._slip_time())

    def _slip_time(self) -> Ns:
        return from_float_seconds(STEPS_PER_SLIP * self.p["full_step"] / self._speed())

    def _drift(self, now: Ns, drift: float) -> None:
        self._stand(now)
        way = 1 if drift > 0 else -1
        if self._at_stop(now) != way:
            self.phase, self.table = Phase.DRIFT, Line(now, self.table.at(now), drift)
            self._bound(now, self.p["stop_right" if way > 0 else "stop_left"])

    def _fall_in(self, now: Ns) -> None:
        """Jump to the nearest electrical position, as far as chance has it."""
        chance = 2 * draw(self.seed, f"{self.name}.jump", self.enables) - 1
        self.enables += 1
        angle = self.table.at(now) + chance * self.p["jump"] * self.p["full_step"]
        self.table = Steady(min(max(angle, self.p["stop_left"]), self.p["stop_right"]))

    def _stand(self, now: Ns) -> None:
        """Stop dead where it is; remember how much of the play is taken up."""
        angle = self.table.at(now)
        if self.way and self.phase in MOVES:
            half = self.p["backlash"] / 2
            self.play = min(max(self.motor.at(now) - angle + self.way * half, -half), half)
        self.phase, self.way, self.table = Phase.REST, 0, Steady(angle)
        self.gripped = False
        self.grips = self.hits = self.ends = self.slips = NEVER

    def _speed(self) -> float:
        return self.p["speed"] * self.faults.get("slow", 1.0)

    def _at_stop(self, now: Ns) -> int:
        angle = self.table.at(now)
        return 1 if angle >= self.p["stop_right"] else -1 if angle <= self.p["stop_left"] else 0

    def _say(self, now: Ns) -> None:
        self.emit("angle", self.table)
        self.stale = False
        moving = self.gripped or self.phase in (Phase.DRIFT, Phase.HAND)
        self.emit("moving", moving)
        self.emit("against_stop", not moving and self._at_stop(now) != 0)
        self.emit("lost_steps", self.lost)
