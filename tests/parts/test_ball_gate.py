"""The gate arm: swings, marks, falls and sensor, as whole traces against arithmetic by hand.

Swing 100 ms each way, sensor response 2 ms, marks at 0.4 (holds), 0.8 (passes), 0.3 to 0.7 (in the beam).
"""

import pytest

from simplant.errors import PlantError
from simplant.plant.ball_gate import BallGate
from simplant.plant.world import World
from simplant.timebase import Ns

ROUND = {"open_time": 0.1, "close_time": 0.1, "fall_time": 0.2}


class Bench:
    """One part on a world of its own; what it says is kept as (ms, terminal, value)."""

    def __init__(self, **parameters):
        self.part = BallGate("gate", {**ROUND, **parameters})
        self.part.inputs["volts"] = 5.0
        self.world = World({"gate": self.part}, [])
        self.world.begin()
        self.heard = []
        self.keep(0)

    def keep(self, t):
        self.heard += [(t / 1e6, name.removeprefix("gate."), value) for name, value in self.world.changes]
        self.world.changes.clear()

    def run(self, until_ms):
        until = Ns(int(until_ms * 1_000_000))
        while (t := self.world.next_due()) <= until:
            self.world.advance(t)
            self.world.settle(t)
            self.keep(t)
        return until

    def put(self, at_ms, terminal, value):
        t = self.run(at_ms)
        self.world.feed("gate", terminal, value)
        self.world.settle(t)
        self.keep(t)

    def fault(self, at_ms, kind, value=1.0):
        t = self.run(at_ms)
        if value is None:
            del self.part.faults[kind]
        else:
            self.part.faults[kind] = value
        self.world.touch("gate")
        self.world.settle(t)
        self.keep(t)

    def arm(self, at_ms):
        t = self.run(at_ms)
        return self.part.outputs["arm"].at(t)

    def levels(self, *names):
        return [(t, n, v) for t, n, v in self.heard if n in (names or LEVELS)]


LEVELS = ("moving", "is_open", "is_closed", "passing", "holding", "seen")


def test_open_and_close():
    """Each mark is told at the instant at which the arm reaches it, the sensor 2 ms after its window."""
    bench = Bench()
    bench.put(10, "open", True)
    bench.put(200, "open", False)
    bench.run(400)
    assert bench.levels() == [
        (10, "moving", True),
        (10, "is_closed", False),
        (42, "seen", True),
        (50, "holding", False),
        (82, "seen", False),
        (90, "passing", True),
        (110, "moving", False),
        (110, "is_open", True),
        (200, "moving", True),
        (200, "is_open", False),
        (220, "passing", False),
        (232, "seen", True),
        (260, "holding", True),
        (272, "seen", False),
        (300, "moving", False),
        (300, "is_closed", True),
    ]


def test_reversal_starts_where_the_arm_is():
    bench = Bench()
    bench.put(0, "open", True)
    bench.put(60, "open", False)
    assert bench.arm(60) == pytest.approx(0.6)
    bench.run(400)
    assert bench.levels("is_closed", "is_open") == [(0, "is_closed", False), (120, "is_closed", True)]


def test_without_supply_it_falls_to_the_given_side():
    shut, wide = Bench(), Bench(fall_open=1)
    shut.put(0, "open", True)
    for bench in (shut, wide):
        bench.put(200, "volts", 0.0)
        bench.run(800)
    assert shut.levels("is_closed")[-1] == (400, "is_closed", True)
    assert wide.levels("passing", "is_open") == [(360, "passing", True), (400, "is_open", True)]


def test_starts_where_it_fell():
    gate = BallGate("gate", {"fall_open": 1})
    World({"gate": gate}, []).begin()
    assert gate.outputs["is_open"] is True
    assert gate.outputs["passing"] is True


def test_stops_on_a_ball_in_its_way():
    """A blocked arm closes no further, opens freely, and closes once the ball is gone."""
    bench = Bench()
    bench.put(0, "open", True)
    bench.put(200, "open", False)
    bench.put(250, "blocked", True)
    assert bench.arm(600) == pytest.approx(0.5)
    bench.put(600, "open", True)
    bench.put(630, "open", False)
    assert bench.arm(700) == pytest.approx(0.8)
    bench.put(700, "blocked", False)
    bench.run(900)
    assert bench.levels("is_closed")[-1] == (780, "is_closed", True)


def test_sensor_sees_a_ball_and_needs_its_supply():
    bench = Bench()
    bench.put(10, "ball", True)
    bench.put(20, "sensor_volts", 3.0)
    bench.put(30, "sensor_volts", 5.0)
    bench.put(40, "ball", False)
    bench.put(41, "ball", True)
    bench.run(100)
    assert bench.levels() == [(12, "seen", True), (22, "seen", False), (32, "seen", True)]


def test_jammed_and_freed():
    bench = Bench()
    bench.put(0, "open", True)
    bench.fault(30, "jammed")
    assert bench.arm(500) == pytest.approx(0.3)
    bench.fault(500, "jammed", None)
    bench.run(900)
    assert bench.levels("is_open") == [(570, "is_open", True)]


def test_slow_from_where_it_is():
    """Slowed three times half-way through, the second half takes three times as long."""
    bench = Bench()
    bench.put(0, "open", True)
    bench.fault(50, "slow", 3.0)
    bench.run(900)
    assert bench.levels("is_open") == [(pytest.approx(200, abs=0.002), "is_open", True)]


def test_lands_on_a_ball_askew():
    bench = Bench()
    bench.put(0, "open", True)
    bench.fault(200, "lands_on_ball", 0.45)
    bench.put(300, "open", False)
    assert bench.arm(900) == pytest.approx(0.45)
    assert bench.part.outputs["holding"] is False
    bench.fault(900, "lands_on_ball", None)
    bench.run(1000)
    assert bench.levels("is_closed")[-1] == (945, "is_closed", True)


def test_twitches_at_power_up_only():
    """With the fault the arm first swings out, then obeys; a ball could pass on the way."""
    bench = Bench()
    bench.put(0, "volts", 0.0)
    bench.fault(10, "twitch", 0.9)
    bench.put(100, "volts", 5.0)
    bench.run(900)
    assert bench.levels("passing", "is_closed") == [
        (100, "is_closed", False),
        (180, "passing", True),
        (200, "passing", False),
        (280, "is_closed", True),
    ]


@pytest.mark.parametrize(("kind", "ball", "seen"), [("stuck_on", False, True), ("stuck_off", True, False)])
def test_sensor_stuck(kind, ball, seen):
    bench = Bench()
    bench.put(0, "ball", ball)
    bench.fault(10, kind)
    bench.put(20, "open", True)
    bench.put(200, "open", False)
    bench.run(400)
    assert bench.part.outputs["seen"] is seen
    assert all(t <= 12 for t, _, _ in bench.levels("seen"))


def test_unseen_ball_but_the_arm_is_seen():
    bench = Bench()
    bench.fault(0, "unseen")
    bench.put(0, "ball", True)
    bench.put(100, "open", True)
    bench.run(300)
    assert bench.levels("seen") == [(132, "seen", True), (172, "seen", False)]


def test_a_sensor_without_delay_answers_at_once():
    bench = Bench(response=0)
    bench.put(10, "ball", True)
    assert bench.levels("seen") == [(10, "seen", True)]


def test_marks_in_wrong_order_are_refused():
    gate = BallGate("gate", {"hold_at": 0.9})
    with pytest.raises(PlantError, match=r"gate.hold_at = 0.9 must be below pass_at = 0.8"):
        gate.begin(Ns(0))
