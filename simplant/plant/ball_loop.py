"""The ball loop: N balls, each always in exactly one place, on their way round the machine.

Gate, launcher, flight, hands or floor, return tube, queue, gate. The arm itself is in ball_gate.py, the air in
flight.py, who catches and gives back in people.py; all are heard by wire only. Terminals, parameters and failure
modes are in ball_terminals.py, the books in ball_ledger.py. Rule: after every change the balls are counted.
"""

from collections.abc import Callable, Mapping, Sequence
from math import sqrt
from typing import Final

from simplant.chance import draw
from simplant.part import Part
from simplant.plant.ball_ledger import Ledger, OneBall, Place
from simplant.plant.ball_terminals import ACTIONS, FAILURES, INPUTS, OUTPUTS, PARAMETERS
from simplant.plant.bounce import rebounds
from simplant.plant.flight import GRAVITY, Ball, fly
from simplant.timebase import NEVER, Ns, from_float_seconds

_ANSWER: Final = 1_000  # ns after a landing by which a catch is told; else the ball lies on the floor
_ROLLS_ON: Final = 100_000_000  # ns from one freed ball to the next in the return tube
_HEARD: Final = ("gate_open", "gate_holds", "caught", "returned", "fed")
_AT_LAUNCH: Final = frozenset({"wheel_speed", "elevation", "table_angle"})  # taken as they are when a ball is launched
_AIMED: Final = _AT_LAUNCH - {"wheel_speed"}  # while a ball in the launcher waits for the wheel
_TAKEN_FROM: Final = (Place.QUEUE, Place.GATE, Place.FLOOR, Place.RETURN, Place.STUCK)


class BallLoop(Part):
    """N equal balls and the ways between them.

    * Gate: while the arm lets pass (`gate_open`), the ball on it falls to the wheel in sqrt(2 `fall` / g).
      The next one in the queue reaches the arm sqrt(2 `drop` / g) after it and follows if the arm is still
      away; it lands on the arm if that holds again (`gate_holds`); else it stands in the mouth
      (`in_mouth`), in the arm's way, until the arm lets it pass or holds. One that comes down the return with none
      before it while the arm is away meets none: it runs through, or stands in the mouth (`met_no_arm`).
    * Hands reach the ball on the arm only while `reach` is on: wire it to the guard that keeps them out.
    * A ball that lands on the arm bounces: rebound k rises `bounce`^2k `drop`, the whole lasts
      2 sqrt(2 `drop` / g) e / (1 - e); above `sight` the gate's sensor does not see it (`in_view`).
    * Wheel: one wheel and a fixed pad, v = w R / 2 and spin v / r (`backspin` tells which way), by wheel
      speed, elevation and table angle as the ball leaves. Below `least_speed` it stays in the launcher.
    * Landing: `landed` counts, with range and angle; if `caught` does not rise at that instant the ball
      lies on the floor 1 us later. `returned` and `fed` put a held ball or one from the floor into the funnel.
    * Return tube: `transit_time` with its spread, then the beam is broken for 15 to 40 ms, then queue or gate.

    Source: rolling launch and free fall are derivations (`tests/external/test_wheel_launch.py`).
    """

    INPUTS = INPUTS
    OUTPUTS = OUTPUTS
    PARAMETERS = PARAMETERS
    FAILURES = FAILURES
    ACTIONS = ACTIONS

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """Some balls may not be there."""
        return {"balls": tuple(map(float, range(int(p["balls"]) + 1)))}

    def begin(self, now: Ns) -> None:
        """Lay one ball on the arm and queue the others, all at rest, but for those on the floor."""
        p = self.p
        self._ball = Ball(p["mass"], p["diameter"])
        self._gap = from_float_seconds(sqrt(2 * p["drop"] / GRAVITY))
        self._fall = from_float_seconds(sqrt(2 * p["fall"] / GRAVITY))
        self._pass = from_float_seconds(p["pass_time"])
        self._rebounds = rebounds(p["drop"], p["bounce"], p["sight"])
        self._at_rest = len(self._rebounds) + 1
        self._balls = Ledger(int(p["balls"]))
        self._passed = self._sent = self._beams = 0
        self._heard = {"caught": 0, "returned": 0, "fed": 0}
        self._known: frozenset[str] = frozenset()
        self._told: tuple[object, ...] = ()
        self._stepped = True
        for fallen in self._balls.at(Place.QUEUE)[: int(p["on_floor"])]:
            self._balls.move(fallen, Place.FLOOR)
        if ball := self._balls.first(Place.QUEUE):
            self._balls.move(ball, Place.GATE)
            ball.stage = self._at_rest
        self._tell()

    def advance(self, now: Ns) -> None:
        """Take every step that is due."""
        self._balls.now = now
        while ball := self._balls.due(now):
            ball.due = NEVER
            _WHEN_DUE[ball.place](self, ball, now)
            self._balls.stirred = self._stepped = True
        self._tell()

    def command(self, now: Ns) -> None:
        """Obey arm, hands, wheel and faults; mostly only a curve is new, and nobody waits for it."""
        told = (*[self.inputs[terminal] for terminal in _HEARD], *self.faults)
        if told != self._told or self._stepped:
            self._told, self._stepped = told, False
            self._onsets(now)
            self._hear("caught", Place.FLIGHT, now)
            self._hear("returned", Place.HAND, now)
            self._hear("fed", Place.FLOOR, now)
            self._obey_arm(now)
        if (ball := self._balls.first(Place.LAUNCHER)) and ball.stage:
            self._carry(ball, now)
        self.deaf_to = _AIMED if ball else _AT_LAUNCH
        self._tell()

    def next_due(self) -> Ns:
        """Give the next instant at which a ball moves by itself."""
        return self._balls.next_due()

    def ledger(self) -> list[tuple[str, str, Ns]]:
        """Give where each ball is."""
        return self._balls.where()

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Take a stimulus; one that finds no ball does nothing."""
        self._balls.now, self._stepped = now, True
        match action:
            case "feed_ball":
                self._send_from(Place.FLOOR, now)
            case "remove_ball":
                self._take_away(now, arm=self.on("reach"))
            case "add_ball":
                self._send(self._balls.first(Place.AWAY) or self._balls.add(Place.AWAY), now)
            case _:
                super().act(action, value, now)
        self._tell()

    def check_conserved(self) -> None:
        """Raise `InternalError` unless every ball is in exactly one place, and at most one on the arm."""
        self._balls.counts()

    # Gate: stage 0 stands in the mouth, 1 touched the arm, 2, 3 .. out of and in sight, `_at_rest` settled.

    def _reach_arm(self, ball: OneBall, now: Ns) -> None:
        if self.on("gate_open") or ball.stage:
            self._release(ball, now)
            return
        self._balls.move(ball, Place.GATE)
        if self.on("gate_holds"):
            self._touch_down(ball, now)

    def _touch_down(self, ball: OneBall, now: Ns) -> None:
        ball.since, ball.stage, ball.due = now, 1, Ns(now + self._rebounds[0])
        self._balls.stirred = True

    def _rebound(self, ball: OneBall, now: Ns) -> None:
        ball.stage += 1
        if ball.stage < self._at_rest:
            ball.due = Ns(ball.since + self._rebounds[ball.stage - 1])

    def _obey_arm(self, now: Ns) -> None:
        if not self.on("gate_open"):
            self._passed = 0
        ball = self._balls.first(Place.GATE)
        if ball and self.on("gate_open"):
            self._release(ball, now)
        elif ball and ball.stage == 0 and self.on("gate_holds"):
            self._touch_down(ball, now)

    def _release(self, ball: OneBall, now: Ns) -> None:
        drawn = ball.place is Place.QUEUE and ball.stage == 1
        self._balls.move(ball, Place.LAUNCHER, Ns(now + self._fall))
        self._add_up("released")
        self._add_up("second_balls", int(drawn or self._passed > 0))
        self._passed += 1
        self._follow(now, drawn=not drawn and "second_ball" in self.faults)

    def _follow(self, now: Ns, *, drawn: bool = False) -> None:
        """Let the next ball in the queue fall to the arm; one that is drawn along passes whatever the arm does."""
        if ball := self._balls.first(Place.QUEUE):
            ball.due, ball.stage = Ns(now + self._gap), int(drawn)

    # Launcher: stage 0 falls to the wheel or waits behind another, 1 lies on it.

    def _reach_wheel(self, ball: OneBall, now: Ns) -> None:
        if ball is self._balls.first(Place.LAUNCHER):
            self._carry(ball, now, carried=ball.stage == 1)

    def _carry(self, ball: OneBall, now: Ns, *, carried: bool = False) -> None:
        """Launch a ball if the wheel is fast enough, else wait until it is (`carried`: it just became so)."""
        least, wheel = self.p["least_speed"], self.curve("wheel_speed")
        per_radian = self.p["wheel_radius"] / 2 * min(self.faults.get("slips", 1.0), 1.0)
        speed = wheel.at(now) * per_radian
        if speed < least and not carried:
            ball.stage = 1
            ball.due = wheel.crossing(least / per_radian, now) if per_radian > 0 else NEVER
            return
        self._launch(ball, max(speed, least), now)
        if following := self._balls.first(Place.LAUNCHER):
            soonest = Ns(now + self._pass)
            following.due = soonest if following.due == NEVER else max(following.due, soonest)

    def _launch(self, ball: OneBall, speed: float, now: Ns) -> None:
        spin = self.p["backspin"] * speed / (self.p["diameter"] / 2)
        elevation = self.curve("elevation").at(now)
        way = fly(speed, elevation, spin, self._ball, self.p["height"])
        ball.landing = (way.range_m, self.curve("table_angle").at(now))
        self._balls.move(ball, Place.FLIGHT, Ns(now + from_float_seconds(way.time_s)))
        self._add_up("launched")
        self.emit("launch_speed", speed)

    def _land(self, ball: OneBall, now: Ns) -> None:
        """Land; a ball that has landed and was not caught lies on the floor (stage 1)."""
        if ball.stage:
            self._balls.move(ball, Place.FLOOR)
            return
        ball.stage, ball.due = 1, Ns(now + _ANSWER)
        self.emit("landed_range", ball.landing[0])
        self.emit("landed_angle", ball.landing[1])
        self._add_up("landed")

    # Return tube: stage 0 on its way to the beam, 1 in the beam.

    def _send(self, ball: OneBall, now: Ns) -> None:
        vary = 1 + self.p["transit_spread"] * (2 * draw(self.seed, f"{self.name}.transit", self._sent) - 1)
        self._sent += 1
        time = self.p["transit_time"] * vary * self.faults.get("slow_return", 1.0)
        self._balls.move(ball, Place.RETURN, Ns(now + max(from_float_seconds(time), 1_000)))

    def _leave_return(self, ball: OneBall, now: Ns) -> None:
        if ball.stage == 0 and "stuck_in_return" in self.faults:
            self._balls.move(ball, Place.STUCK)
        elif ball.stage == 0:
            least, most = self.p["beam_least"], self.p["beam_most"]
            width = least + (most - least) * draw(self.seed, f"{self.name}.beam", self._beams)
            self._beams += 1
            ball.stage, ball.due = 1, Ns(now + from_float_seconds(width))
        else:
            alone = not (self._balls.first(Place.GATE) or self._balls.first(Place.QUEUE))
            self._balls.move(ball, Place.QUEUE)
            if alone:
                self._add_up("met_no_arm", int(not self.on("gate_holds")))
                self._reach_arm(ball, now)

    # Hands, faults, books.
    def _hear(self, terminal: str, place: Place, now: Ns) -> None:
        """Move as many balls out of a place as a count of the people has risen."""
        count = int(self.number(terminal))
        for _ in range(count - self._heard[terminal]):
            if terminal == "caught":
                for ball in [b for b in self._balls.at(place) if b.stage][:1]:
                    self._balls.move(ball, Place.HAND)
            else:
                self._send_from(place, now)
        self._heard[terminal] = count

    def _send_from(self, place: Place, now: Ns) -> None:
        if ball := self._balls.first(place):
            self._send(ball, now)

    def _onsets(self, now: Ns) -> None:
        known, self._known = self._known, frozenset(self.faults)
        if known == self._known:
            return
        if "ball_missing" in self._known - known:
            self._take_away(now, arm=True)
        if "extra_ball" in self._known - known:
            self._send(self._balls.add(Place.AWAY), now)
        if "stuck_in_return" in known - self._known:
            for n, ball in enumerate(self._balls.at(Place.STUCK), 1):
                self._balls.move(ball, Place.RETURN, Ns(now + n * _ROLLS_ON))

    def _take_away(self, now: Ns, *, arm: bool) -> None:
        places = (place for place in _TAKEN_FROM if arm or place is not Place.GATE)
        ball = next((b for place in places for b in self._balls.at(place)), None)
        if ball is None:
            return
        self._balls.move(ball, Place.AWAY)
        if not self._balls.first(Place.GATE) and all(b.due == NEVER for b in self._balls.at(Place.QUEUE)):
            self._follow(now)

    def _add_up(self, terminal: str, how_many: int = 1) -> None:
        count = self.outputs[terminal]
        assert isinstance(count, int)
        self.emit(terminal, count + how_many)

    def _tell(self) -> None:
        """Say how many balls are where and what can be seen of them, if any of it may have changed."""
        if not self._balls.stirred:
            return
        self._balls.stirred = False
        if self._balls.moved:
            self._balls.moved = False
            for terminal, count in self._balls.counts():
                self.emit(terminal, count == 1 if terminal == "at_gate" else count)
        ball = self._balls.first(Place.GATE)
        self.emit("settled", ball is not None and ball.stage == self._at_rest)
        self.emit("in_mouth", ball is not None and ball.stage == 0)
        self.emit("in_view", ball is not None and (ball.stage in (0, self._at_rest) or ball.stage % 2 == 1))
        broken = any(ball.stage for ball in self._balls.at(Place.RETURN))
        self.emit("beam", broken and "beam_blinded" not in self.faults)
        self.emit("total", self._balls.total)


_WHEN_DUE: Final[Mapping[Place, Callable[[BallLoop, OneBall, Ns], None]]] = {
    Place.QUEUE: BallLoop._reach_arm,
    Place.GATE: BallLoop._rebound,
    Place.LAUNCHER: BallLoop._reach_wheel,
    Place.FLIGHT: BallLoop._land,
    Place.RETURN: BallLoop._leave_return,
}
