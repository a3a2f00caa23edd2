"""The ball gate: an arm that lets one ball pass, and the one optical sensor that sees ball and arm.

Which ball lies where is the ball loop's affair (ball_loop.py); the arm only learns whether a ball
lies on it and whether one stands in its way. Travel is 0 closed .. 1 open, at constant speed each way.
Rule: whatever changes in mid-swing, the arm goes on from where it is.
"""

from collections.abc import Mapping
from typing import ClassVar

from simplant.curves import Line, Pieces, Steady
from simplant.errors import PlantError
from simplant.faults import SUN
from simplant.part import FailureMode, Parameter, Part, Signal
from simplant.timebase import NEVER, Ns, from_float_seconds


class BallGate(Part):
    """A gate arm with two rest positions, one way to fall, and a sensor across it.

    The arm swings at 1 / `open_time` or 1 / `close_time` of its travel per second. Without supply it
    falls to the side given by `fall_open` in `fall_time`. A ball can pass from `pass_at` on; a ball
    comes to rest on the arm up to `hold_at`; between the two it stands in the arm's way (`blocked`),
    and the arm stops on it. The sensor sees a ball on the arm, and the arm itself between
    `window_from` and `window_to`, `response` later; a change shorter than that it misses.

    A second ball follows if the arm is away longer than sqrt(2 d / g), d being the drop from one
    ball to the next (`drop` of the ball loop, which decides it).
    """

    INPUTS: ClassVar[Mapping[str, Signal]] = {
        "open": False,
        "volts": 0.0,
        "sensor_volts": 5.0,
        "ball": False,
        "blocked": False,
    }
    OUTPUTS: ClassVar[Mapping[str, Signal]] = {
        "arm": Steady(0.0),
        "is_open": False,
        "is_closed": True,
        "passing": False,
        "holding": True,
        "moving": False,
        "seen": False,
    }
    PARAMETERS: ClassVar[Mapping[str, Parameter]] = {
        "open_time": Parameter(0.12, "s", "swing from closed to open", 0.2, 0.001, 60),
        "close_time": Parameter(0.10, "s", "swing from open to closed", 0.2, 0.001, 60),
        "fall_time": Parameter(0.25, "s", "fall from one end to the other without supply", 0.3, 0.001, 60),
        "fall_open": Parameter(0, "", "side to which it falls without supply: 0 closed, 1 open", 0.0, 0, 1),
        "least_volts": Parameter(4.0, "V", "supply below which the arm has no force", 0.05, 0.1),
        "sensor_least_volts": Parameter(4.2, "V", "supply below which the sensor sees nothing", 0.05, 0.1),
        "pass_at": Parameter(0.8, "", "part of the travel from which on a ball can pass", 0.05, 0.01, 1),
        "hold_at": Parameter(0.4, "", "part of the travel up to which a ball rests on the arm", 0.05, 0, 0.99),
        "window_from": Parameter(0.3, "", "part of the travel at which the arm enters the beam", 0.1, 0.001, 1),
        "window_to": Parameter(0.7, "", "part of the travel at which the arm leaves the beam", 0.1, 0.001, 1),
        "response": Parameter(0.002, "s", "response of the sensor, both ways", 0.5, 0, 1),
    }
    FAILURES: ClassVar[tuple[FailureMode, ...]] = (
        FailureMode("jammed", "dirt or a bent arm", "the arm stays where it is"),
        FailureMode("slow", "dry bearing or weak servo", "both swings take so many times as long", 3.0),
        FailureMode(
            "lands_on_ball", "a ball lies askew under the arm", "it closes no further than this", 0.4, "travel"
        ),
        FailureMode(
            "twitch",
            "servo without signal at power-up",
            "at power-up it first swings this far",
            0.9,
            "travel",
            early=True,
        ),
        FailureMode("stuck_on", "dirt on the lens, shorted output", "the sensor always sees something"),
        FailureMode("stuck_off", "emitter dead, broken bracket", "the sensor never sees anything"),
        FailureMode(
            "blinded",
            "sunlight or a lamp shines into the receiver",
            "sees something that is not there",
            lasts=SUN,
        ),
        FailureMode("unseen", "dark ball, sensor knocked aside", "the sensor sees the arm but no ball"),
    )

    def begin(self, now: Ns) -> None:
        """Stand closed, or where the arm falls if there is no supply.

        Raises:
            PlantError: the marks of the arm's travel do not follow each other.
        """
        for low, high in (("hold_at", "pass_at"), ("window_from", "window_to")):
            if self.p[low] >= self.p[high]:
                raise PlantError(f"{self.name}.{low} = {self.p[low]:g} must be below {high} = {self.p[high]:g}")
        self._powered = self._has_supply()
        rest = 0.0 if self._powered else self.p["fall_open"]
        self._origin = self._goal = rest
        self._speed = 0.0
        self._start = self._end = now
        self._twitch: float | None = None
        self._where: tuple[float, float, bool] | None = None
        self._marks: list[Ns] = []
        self._sight_due = NEVER
        self.emit("arm", Steady(rest))

    def advance(self, now: Ns) -> None:
        """Pass the marks that are due, and let the sensor answer."""
        while self._marks and self._marks[0] <= now:
            del self._marks[0]
        if now >= self._sight_due:
            self._sight_due = NEVER
            self.emit("seen", not self.outputs["seen"])

    def command(self, now: Ns) -> None:
        """Swing where command, supply and faults say; say what is reached; look with the sensor."""
        self._power_up()
        place = self._place(now)
        goal, speed = self._wanted(place)
        if goal != self._goal or (speed != self._speed and place != goal):
            self._swing(now, place, goal, speed)
        where = (place, self._goal, now < self._end)
        if where != self._where:
            self._where = where
            self._say(now, place)
        self._look(now, place)

    def next_due(self) -> Ns:
        """Give the next mark of the arm or answer of the sensor."""
        return min(self._marks[0], self._sight_due) if self._marks else self._sight_due

    def _has_supply(self) -> bool:
        return self.number("volts") >= self.p["least_volts"]

    def _power_up(self) -> None:
        powered = self._has_supply()
        if powered != self._powered:
            self._powered = powered
            wanted = self.faults.get("twitch") if powered else None
            self._twitch = None if wanted is None else min(max(wanted, 0.0), 1.0)

    def _place(self, now: Ns) -> float:
        if now >= self._end:
            return self._goal
        way = self._speed * ((now - self._start) / 1e9)
        return self._origin + (way if self._goal > self._origin else -way)

    def _wanted(self, place: float) -> tuple[float, float]:
        """Give where the arm is to go and its speed in travel per second."""
        goal, time = self._driven(place) if self._powered else (self.p["fall_open"], self.p["fall_time"])
        if goal < place and self.on("blocked"):
            goal = place
        if "lands_on_ball" in self.faults:
            goal = max(goal, min(self.faults["lands_on_ball"], place))
        if "jammed" in self.faults:
            goal = place
        return goal, 1 / (time * max(self.faults.get("slow", 1.0), 0.01))

    def _driven(self, place: float) -> tuple[float, float]:
        if self._twitch is not None and place == self._twitch:
            self._twitch = None
        goal = float(self.on("open")) if self._twitch is None else self._twitch
        return goal, self.p["open_time"] if goal > place else self.p["close_time"]

    def _swing(self, now: Ns, place: float, goal: float, speed: float) -> None:
        self._start, self._origin, self._goal, self._speed = now, place, goal, speed
        self._end = Ns(now + from_float_seconds(abs(goal - place) / speed))
        if self._end == now:
            self._marks = []
            self.emit("arm", Steady(goal))
            return
        line = Line(now, place, speed if goal > place else -speed)
        levels = (self.p[key] for key in ("pass_at", "hold_at", "window_from", "window_to"))
        marks = (line.crossing(level, now) for level in levels)
        self._marks = [*sorted({t for t in marks if t < self._end}), self._end]
        self.emit("arm", Pieces(((now, line), (self._end, Steady(goal)))))

    def _above(self, level: float, place: float) -> bool:
        """Say whether the arm is past a mark; on the mark itself, whether it is not on its way back."""
        return place > level or (place == level and self._goal >= place)

    def _say(self, now: Ns, place: float) -> None:
        self.emit("moving", now < self._end)
        self.emit("is_open", place == 1.0 and now >= self._end)
        self.emit("is_closed", place == 0.0 and now >= self._end)
        self.emit("passing", self._above(self.p["pass_at"], place))
        self.emit("holding", not self._above(self.p["hold_at"], place))

    def _look(self, now: Ns, place: float) -> None:
        if self._sees(place) == self.outputs["seen"]:
            self._sight_due = NEVER
        elif self.p["response"] == 0:
            self.emit("seen", not self.outputs["seen"])
        elif self._sight_due == NEVER:
            self._sight_due = Ns(now + from_float_seconds(self.p["response"]))

    def _sees(self, place: float) -> bool:
        if "stuck_on" in self.faults:
            return True
        if "stuck_off" in self.faults or self.number("sensor_volts") < self.p["sensor_least_volts"]:
            return False
        if "blinded" in self.faults:
            return True
        arm = self._above(self.p["window_from"], place) and not self._above(self.p["window_to"], place)
        return arm or (self.on("ball") and "unseen" not in self.faults)
