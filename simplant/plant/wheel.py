"""The launching wheel: a PM motor that spins up, coasts, and gives momentum to each ball.

Balls and their flight are ball_loop.py and flight.py; the contactor is in wiring/.
Rule: an open circuit coasts; only friction, windage, a ball or a jam takes speed away.
"""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from simplant.curves import Approach, Coast, Curve, Line, Steady, followed
from simplant.part import FailureMode, Parameter, Part, evenly
from simplant.timebase import NEVER, Ns, from_float_seconds

OPEN_CIRCUIT = 1.0
"""Volts below which the motor is taken as disconnected."""


LEAST_EXCESS = 0.1
"""Amperes above the final current below which it is looked at only once more, when it has all but arrived."""


LEAST_CHANGE = 0.01
"""Amperes by which the current must differ to be told anew."""


class Wheel(Part):
    """PM DC motor and flywheel against a fixed pad.

    Driven: w' = (V / ke - w) / tau with tau = inertia resistance / ke^2 (losses lie in `idle_current`). Faster than
    its voltage asks for, or disconnected: w' = -(friction + windage w^2), zero after a finite time, since its supply
    takes no current back. A ball leaves at v = w radius / 2 and takes ball_share ball_mass v radius / inertia from
    w: from J dw = -P R, m v = P - Q, i m r v = (P - Q') r, share = (1 + i) / 2; solid ball i = 2/5, shell i = 2/3.
    With the defaults 48 V give 240 rad/s and a foam ball 7.2 m/s; each ball takes 2.1 %.

    Inputs: `volts`, `launched` (balls that have passed, a count). Outputs: `speed` (curve, rad/s), `turning` (faster
    than `still`), `current` (A, in steps: renewed when the excess over idling has halved, and to 10 mA).
    """

    INPUTS: ClassVar = {"volts": 0.0, "launched": 0}
    OUTPUTS: ClassVar = {"speed": Steady(0.0), "turning": False, "current": 0.0}
    PARAMETERS: ClassVar = {
        "ke": Parameter(0.2, "V s/rad", "back-EMF constant, which is the torque constant in N m/A", 0.05, least=1e-4),
        "resistance": Parameter(8.0, "ohm", "winding and leads", 0.1, least=1e-3),
        "inertia": Parameter(2e-3, "kg m2", "wheel and rotor", 0.05, least=1e-6),
        "radius": Parameter(0.06, "m", "of the wheel where it meets the ball", 0.01, least=1e-3),
        "friction": Parameter(15.0, "rad/s2", "deceleration by bearings and brushes", 0.3, least=0.01),
        "windage": Parameter(6e-4, "1/rad", "deceleration by air over speed squared", 0.3, least=0),
        "idle_current": Parameter(0.4, "A", "current at full speed", 0.3, least=0),
        "ball_mass": Parameter(0.034, "kg", "of a foam ball", 0.1, least=0),
        "ball_share": Parameter(0.7, "", "0.7 solid ball, 0.833 shell", least=0.5, most=1),
        "start_speed": Parameter(0.0, "rad/s", "speed with which it still turns when the run begins", least=0),
        "still": Parameter(0.5, "rad/s", "speed up to which it counts as standing", least=1e-3),
        "jam_time": Parameter(0.05, "s", "time to standstill when jammed at full speed", 0.5, least=1e-3),
    }
    FAILURES = (
        FailureMode("dead", "winding open, brushes worn out", "gets no torque, coasts"),
        FailureMode("weak", "shorted turns, poor contact", "turns as with this fraction of its voltage", 0.7, ""),
        FailureMode("readjusted", "its speed setting was moved", "gets so many times its voltage", 1.15, "x"),
        FailureMode("stalled", "a ball is wedged in", "stops at once and draws its stall current"),
        FailureMode("drag", "pad rubs, bearing runs dry", "friction and windage are so many times as great", 3.0, "x"),
    )

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may still turn."""
        return {"start_speed": evenly(0.0, 200.0, 5)}

    def begin(self, now: Ns) -> None:
        """Stand still, or turn as it was left; without voltage it coasts from there."""
        self.course: Curve = Steady(self.p["start_speed"])
        self.balls = int(self.number("launched"))
        self.turning = False
        self.wanted: tuple[float, ...] = ()
        self.turns = self.renews = self.meets = NEVER
        self.current = 0.0

    def advance(self, now: Ns) -> None:
        """Renew the current; fall back into step with the voltage; note when it begins or ceases to turn."""
        if now >= self.meets:
            self.wanted = ()
        if now >= self.renews:
            self._draw(now)
        if now >= self.turns:
            self._note_turning(now)

    def command(self, now: Ns) -> None:
        """Obey voltage and faults, and pay for each ball."""
        balls = int(self.number("launched"))
        volts = self.number("volts") * self.faults.get("weak", 1.0) * self.faults.get("readjusted", 1.0)
        if "dead" in self.faults or volts < OPEN_CIRCUIT:
            volts = 0.0
        wanted = (volts, self.faults.get("drag", 1.0), "stalled" in self.faults, balls)
        if wanted != self.wanted:
            self.wanted = wanted
            self._turn(now, volts, self.course.at(now) * self._left_by(balls - self.balls))
            self.balls = balls
        self.emit("speed", self.course)
        self.emit("turning", self.turning)
        self.emit("current", self.current)

    def next_due(self) -> Ns:
        """Give the next crossing of the standstill bound, or renewal of the current."""
        return min(self.turns, self.renews, self.meets)

    def _left_by(self, balls: int) -> float:
        """Give the share of the speed that is left after so many balls."""
        each = self.p["ball_share"] * self.p["ball_mass"] * self.p["radius"] ** 2 / (2 * self.p["inertia"])
        return max(0.0, 1 - each) ** balls if balls > 0 else 1.0

    def _turn(self, now: Ns, volts: float, speed: float) -> None:
        """Choose the course from `speed` on."""
        goal = self._goal(volts)
        speed = goal if now >= self.meets else speed
        self.meets = NEVER
        drag = self.faults.get("drag", 1.0)
        if "stalled" in self.faults:
            self._jam(now, speed)
        elif volts and speed <= goal:
            tau = self.p["inertia"] * self.p["resistance"] / self.p["ke"] ** 2
            self.course = Approach(now, speed, goal, tau)
        elif speed:
            self.course = Coast(now, speed, self.p["friction"] * drag, self.p["windage"] * drag)
            self.meets = self.course.crossing(goal, now) if volts else NEVER
        else:
            self.course = Steady(0.0)
        self._draw(now)
        self._note_turning(now)

    def _goal(self, volts: float) -> float:
        """Give the final speed under a voltage; what drag there is beyond the usual slows the motor by its torque."""
        extra = (self.faults.get("drag", 1.0) - 1) * self.p["friction"] * self.p["inertia"] / self.p["ke"]
        return max(0.0, (volts - extra * self.p["resistance"]) / self.p["ke"])

    def _jam(self, now: Ns, speed: float) -> None:
        """Stop within the jam time."""
        still = Ns(now + from_float_seconds(self.p["jam_time"]))
        self.course = Steady(0.0)
        if speed:
            self.course = followed(Line(now, speed, -speed / self.p["jam_time"]), now, still, self.course)

    def _draw(self, now: Ns) -> None:
        """Set the current, and when to look at it again."""
        volts, self.renews = self.wanted[0], NEVER
        current = 0.0
        if "stalled" in self.faults:
            current = volts / self.p["resistance"]
        elif volts:
            goal, speed = self._goal(volts), self.course.at(now)
            excess = (goal - speed) * self.p["ke"] / self.p["resistance"]
            if excess > LEAST_CHANGE:
                left = 0.5 if excess > LEAST_EXCESS else 0.05
                self.renews = self.course.crossing(goal - left * (goal - speed), now)
            current = max(0.0, (volts - self.p["ke"] * speed) / self.p["resistance"] + self.p["idle_current"])
        if current == 0 or abs(current - self.current) > LEAST_CHANGE:  # so it and a sagging supply come to rest
            self.current = round(current, 2)

    def _note_turning(self, now: Ns) -> None:
        speed, still = self.course.at(now), self.p["still"]
        self.turning = speed > still or (speed == still and self.course.rate(now) > 0)
        self.turns = self.course.crossing(still, now)
