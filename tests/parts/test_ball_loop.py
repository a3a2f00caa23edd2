"""Balls on their way: whole traces and instants against arithmetic by hand (g = 9.80665).

Drop and fall are chosen so that sqrt(2 d / g) is 100 ms; the sensor's sight is high unless bounces are meant.
"""

from math import sqrt

import pytest

from simplant.curves import Line, Steady
from simplant.errors import InternalError, PlantError
from simplant.plant.ball_ledger import Ledger, Place
from simplant.plant.ball_loop import BallLoop
from simplant.plant.flight import GRAVITY, Ball, fly
from simplant.plant.world import World
from simplant.timebase import Ns

TENTH = GRAVITY * 0.01 / 2  # m fallen in 100 ms
EVEN = {"drop": TENTH, "fall": TENTH, "sight": 1, "transit_spread": 0, "transit_time": 2, "bounce": 0.5}
PULSE = {"beam_least": 0.02, "beam_most": 0.02}
PLACES = [place.value for place in Place]


class Bench:
    """The ball loop alone: inputs are put by hand, what it says is kept as (ms, terminal, value)."""

    def __init__(self, **parameters):
        self.part = BallLoop("balls", {**EVEN, **PULSE, **parameters})
        self.part.inputs["wheel_speed"] = Steady(240.0)
        self.part.inputs["elevation"] = Steady(45.0)
        self.world = World({"balls": self.part}, [])
        self.heard = []
        self.world.begin()
        self.keep(0)

    def keep(self, t):
        self.heard += [(t / 1e6, name.removeprefix("balls."), value) for name, value in self.world.changes]
        self.world.changes.clear()

    def settle(self, t):
        self.world.settle(t)
        self.keep(t)

    def run(self, until_ms):
        until = Ns(int(until_ms * 1_000_000))
        while (t := self.world.next_due()) <= until:
            self.world.advance(t)
            self.settle(t)
        return until

    def put(self, at_ms, **values):
        t = self.run(at_ms)
        for terminal, value in values.items():
            self.world.feed("balls", terminal, value)
        self.settle(t)

    def act(self, at_ms, action):
        t = self.run(at_ms)
        self.part.act(action, None, t)
        self.world.touch("balls")
        self.settle(t)

    def fault(self, at_ms, kind, value=1.0):
        t = self.run(at_ms)
        if value is None:
            del self.part.faults[kind]
        else:
            self.part.faults[kind] = value
        self.world.touch("balls")
        self.settle(t)

    def gate(self, at_ms, until_ms):
        self.put(at_ms, gate_open=True, gate_holds=False)
        self.put(until_ms, gate_open=False, gate_holds=True)

    def said(self, *names):
        return [(t, n, v) for t, n, v in self.heard if n in names and t > 0]

    def now(self):
        """Give the places that hold balls."""
        return {name: int(self.part.outputs[name]) for name in PLACES if self.part.outputs[name]}


def test_starts_with_one_on_the_arm_and_the_rest_behind():
    bench = Bench(balls=4)
    assert bench.now() == {"at_gate": 1, "queued": 3}
    assert bench.part.outputs["settled"] is True
    assert Bench(balls=0).now() == {}


def test_one_ball_round_the_machine():
    """Released, 100 ms to the wheel, flight, caught, held, 2 s in the tube, 20 ms in the beam, back on the arm."""
    bench = Bench(balls=1)
    bench.gate(0, 50)
    flight = fly(7.2, 45, 7.2 / 0.0425, Ball(0.034, 0.085), 0.2)
    lands = 100 + flight.time_s * 1000
    bench.run(lands + 0.0009)
    assert bench.now() == {"in_flight": 1}
    bench.part.inputs["caught"] = 1
    bench.world.touch("balls")
    bench.settle(Ns(int(bench.heard[-1][0] * 1e6)))
    bench.put(3000, returned=1)
    bench.run(9000)
    lands = pytest.approx(lands, abs=0.002)
    assert bench.said("launch_speed", "landed_range", "landed_angle") == [
        (100, "launch_speed", pytest.approx(7.2)),
        (lands, "landed_range", flight.range_m),
    ]
    assert bench.said("at_gate", "in_launcher", "in_flight", "held", "lost", "in_return", "beam", "settled") == [
        (100, "in_launcher", 0),
        (100, "in_flight", 1),
        (lands, "in_flight", 0),
        (lands, "held", 1),
        (3000, "held", 0),
        (3000, "in_return", 1),
        (5000, "beam", True),
        (5020, "at_gate", True),
        (5020, "in_return", 0),
        (5020, "beam", False),
        (5220, "settled", True),
    ]


def test_not_caught_lies_on_the_floor_and_can_be_fed():
    bench = Bench(balls=1)
    bench.gate(0, 50)
    bench.run(3000)
    assert bench.now() == {"lost": 1}
    (landed,) = [t for t, n, _ in bench.said("landed")]
    assert bench.said("lost") == [(pytest.approx(landed + 0.001), "lost", 1)]
    bench.put(3000, fed=1)
    assert bench.now() == {"in_return": 1}
    bench.gate(6000, 6050)
    bench.run(9000)
    assert bench.now() == {"lost": 1}
    bench.act(9000, "feed_ball")
    assert bench.now() == {"in_return": 1}
    bench.part.check_conserved()


@pytest.mark.parametrize(("away_ms", "released"), [(50, 1), (99, 1), (101, 2), (199, 2), (201, 3)])
def test_a_second_ball_follows_after_the_dwell(away_ms, released):
    """The next ball reaches the arm sqrt(2 d / g) = 100 ms after the last one left: it passes if the arm is away."""
    bench = Bench(balls=3)
    bench.gate(10, 10 + away_ms)
    bench.run(400)
    assert bench.part.outputs["released"] == released
    assert bench.part.outputs["second_balls"] == released - 1


def test_the_next_ball_bounces_on_the_arm():
    """From d = g/2 0.1^2 with e 0.5: settles 2 x 100 ms x e / (1 - e) = 200 ms after touching the arm at 100 ms."""
    bench = Bench(balls=2)
    bench.gate(0, 50)
    bench.run(400)
    assert bench.said("at_gate", "settled", "in_view") == [
        (100, "at_gate", True),
        (100, "in_view", True),
        (300, "settled", True),
    ]


def test_out_of_sight_while_it_bounces_high():
    """First rebound 100 ms long, e^2 d high: unseen while above `sight`, round its middle at 150 ms."""
    sight = TENTH / 8
    bench = Bench(balls=2, sight=sight)
    bench.gate(0, 50)
    bench.run(400)
    half = 1000 * sqrt(2 * (TENTH / 4 - sight) / GRAVITY)
    assert bench.said("in_view", "settled") == [
        (100, "in_view", True),
        (pytest.approx(150 - half, abs=0.002), "in_view", False),
        (pytest.approx(150 + half, abs=0.002), "in_view", True),
        (300, "settled", True),
    ]


@pytest.mark.parametrize(("then", "where"), [("gate_open", "in_launcher"), ("gate_holds", "at_gate")])
def test_a_ball_in_the_mouth_waits_for_the_arm(then, where):
    """The arm is neither away nor under it when the ball arrives: it stands in the arm's way."""
    bench = Bench(balls=2)
    bench.put(0, gate_open=True, gate_holds=False)
    bench.put(90, gate_open=False)
    bench.run(300)
    assert bench.said("in_mouth") == [(100, "in_mouth", True)]
    assert bench.part.outputs["settled"] is False
    bench.put(400, **{then: True})
    assert bench.said("in_mouth")[-1] == (400, "in_mouth", False)
    assert where in bench.now()


def test_a_ball_waits_on_a_slow_wheel_until_it_is_fast_enough():
    """Wheel at rest, then up by 100 rad/s^2 from 1 s: v = w R / 2 reaches 1.5 m/s at w = 50 rad/s, at 1.5 s."""
    bench = Bench(balls=1)
    bench.put(0, wheel_speed=Steady(0.0))
    bench.gate(0, 50)
    bench.run(900)
    assert bench.now() == {"in_launcher": 1}
    bench.put(1000, wheel_speed=Line(Ns(10**9), 0.0, 100.0))
    bench.run(1501)
    assert bench.said("launched", "launch_speed") == [
        (pytest.approx(1500, abs=0.002), "launched", 1),
        (pytest.approx(1500, abs=0.002), "launch_speed", pytest.approx(1.5)),
    ]


def test_two_balls_on_a_standing_wheel_leave_one_after_the_other():
    bench = Bench(balls=2)
    bench.put(0, wheel_speed=Steady(0.0))
    bench.gate(0, 150)
    bench.run(900)
    assert bench.now() == {"in_launcher": 2}
    bench.put(1000, wheel_speed=Steady(240.0))
    bench.run(1100)
    assert bench.said("launched") == [(1000, "launched", 1), (1020, "launched", 2)]


def test_aims_with_table_and_elevation_as_the_ball_leaves():
    bench = Bench(balls=1)
    bench.put(0, table_angle=Line(Ns(0), 0.0, 40.0), elevation=Line(Ns(0), 30.0, 100.0))
    bench.gate(0, 50)
    bench.run(4000)
    assert bench.part.outputs["landed_angle"] == pytest.approx(4.0)
    assert bench.part.outputs["landed_range"] == fly(7.2, 40, 7.2 / 0.0425, Ball(0.034, 0.085), 0.2).range_m


def test_a_returning_ball_goes_straight_through_an_open_gate():
    bench = Bench(balls=0)
    bench.put(0, gate_open=True, gate_holds=False)
    bench.act(100, "add_ball")
    bench.run(2200)
    assert bench.said("total", "released", "met_no_arm") == [
        (100, "total", 1), (2120, "met_no_arm", 1), (2120, "released", 1),
    ]  # fmt: skip


def test_only_what_comes_down_the_return_meets_no_arm():
    """A ball that was held, or that stood behind one that was, is let go; it was met."""
    bench = Bench(balls=2)
    bench.gate(10, 400)
    bench.run(1000)
    assert bench.now().get("at_gate") is None
    assert bench.said("met_no_arm") == []


def test_transit_and_beam_spread_by_seed():
    """Each transit lies in 2 s +- 20 %, each pulse in 15 to 40 ms, another seed gives others."""

    def pulses(seed):
        bench = Bench(balls=0, transit_spread=0.2, beam_least=0.015, beam_most=0.040)
        bench.part.seed = seed
        for n in range(20):
            bench.act(n * 5000, "add_ball")
        bench.run(110_000)
        return [t for t, _, _ in bench.said("beam")]

    one, other = pulses(1), pulses(2)
    assert one == pulses(1) != other
    assert all(1600 <= t % 5000 <= 2400 for t in one[::2])
    assert all(15 <= down - up <= 40.001 for up, down in zip(one[::2], one[1::2], strict=True))


def test_ball_missing_and_extra_ball():
    bench = Bench(balls=2)
    bench.fault(10, "ball_missing")
    assert bench.now() == {"at_gate": 1, "away": 1}
    bench.fault(20, "extra_ball")
    assert bench.now() == {"at_gate": 1, "away": 1, "in_return": 1}
    assert bench.part.outputs["total"] == 3
    bench.fault(30, "ball_missing", None)
    bench.act(40, "add_ball")
    assert bench.now() == {"at_gate": 1, "in_return": 2}


def test_when_the_falling_ball_is_taken_the_next_one_follows():
    bench = Bench(balls=3)
    bench.gate(0, 40)
    bench.act(50, "remove_ball")
    bench.run(200)
    assert bench.said("at_gate") == [(150, "at_gate", True)]


def test_taken_from_the_arm_and_brought_back():
    bench = Bench(balls=1)
    bench.act(10, "remove_ball")
    bench.act(20, "remove_ball")
    assert bench.now() == {"away": 1}
    bench.act(20, "add_ball")
    bench.run(3000)
    assert bench.now() == {"at_gate": 1}


def test_hands_do_not_reach_the_arm_past_a_guard():
    """Out of reach the ball on the arm stays; those in the queue can be taken."""
    bench = Bench(balls=2)
    bench.put(0, reach=False)
    bench.act(10, "remove_ball")
    bench.act(20, "remove_ball")
    assert bench.now() == {"at_gate": 1, "away": 1}
    bench.put(30, reach=True)
    bench.act(40, "remove_ball")
    assert bench.now() == {"away": 2}


def test_stuck_in_the_return_until_freed():
    bench = Bench(balls=0)
    bench.fault(0, "stuck_in_return")
    bench.act(0, "add_ball")
    bench.act(500, "add_ball")
    bench.run(4000)
    assert bench.now() == {"stuck": 2}
    bench.fault(4000, "stuck_in_return", None)
    bench.run(4150)
    assert bench.now() == {"at_gate": 1, "in_return": 1}


def test_slow_return():
    bench = Bench(balls=0)
    bench.fault(0, "slow_return", 4.0)
    bench.act(0, "add_ball")
    bench.run(9000)
    assert bench.said("beam")[0] == (8000, "beam", True)


def test_second_ball_follows_whatever_the_arm_does():
    bench = Bench(balls=3)
    bench.fault(0, "second_ball")
    bench.gate(0, 10)
    bench.run(300)
    assert (bench.part.outputs["released"], bench.part.outputs["second_balls"]) == (2, 1)
    assert bench.now() == {"at_gate": 1, "in_flight": 2}


def test_a_slipping_ball_is_slower():
    bench = Bench(balls=1)
    bench.fault(0, "slips", 0.5)
    bench.gate(0, 50)
    bench.run(200)
    assert bench.part.outputs["launch_speed"] == pytest.approx(3.6)


def test_unknown_action():
    with pytest.raises(PlantError, match=r"cannot 'feed_bal'.*Close in spelling: feed_ball"):
        Bench().act(0, "feed_bal")


def test_books_that_do_not_balance_are_a_bug():
    ledger = Ledger(2)
    for ball in ledger.at(Place.QUEUE):
        ledger.move(ball, Place.GATE)
    with pytest.raises(InternalError, match="the books show 2 balls, but counted are at_gate 2"):
        ledger.counts()


@pytest.mark.parametrize(("fallen", "places"), [(0, (1, 2, 0)), (1, (1, 1, 1)), (3, (0, 0, 3)), (9, (0, 0, 3))])
def test_balls_may_lie_on_the_floor_at_first(fallen, places):
    """A run may begin with a ball on the arm or not; those on the floor are there to be fed."""
    bench = Bench(on_floor=fallen)
    assert tuple(bench.part.outputs[name] for name in ("at_gate", "queued", "lost")) == places
    assert bench.part.outputs["total"] == 3
