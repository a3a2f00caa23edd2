"""Visitors: who catches, when they give back, and what faults and actions make of it."""

from math import radians, sin

import pytest

from simplant.errors import PlantError
from simplant.plant.people import People, miss_distance
from simplant.plant.world import World
from simplant.timebase import Ns

SURE = {"distance": 5.0, "reach": 0.8, "catch": 1, "spread": 0, "hold_time": 2, "fetch_time": 8}


class Bench:
    """The people alone: landings are put by hand, what they say is kept as (s, terminal, value)."""

    def __init__(self, seed=0, **parameters):
        self.part = People("people", {**SURE, **parameters})
        self.part.seed = seed
        self.world = World({"people": self.part}, [])
        self.world.begin()
        self.heard = []

    def settle(self, t):
        self.world.settle(t)
        self.heard += [(t / 1e9, name.removeprefix("people."), value) for name, value in self.world.changes]
        self.world.changes.clear()

    def run(self, until_s):
        until = Ns(int(until_s * 1_000_000_000))
        while (t := self.world.next_due()) <= until:
            self.world.advance(t)
            self.settle(t)
        return until

    def land(self, at_s, reach=5.0, angle=0.0, count=1):
        t = self.run(at_s)
        self.world.feed("people", "landed_range", reach)
        self.world.feed("people", "landed_angle", angle)
        self.world.feed("people", "landed", self.part.inputs["landed"] + count)
        self.settle(t)

    def act(self, at_s, action):
        t = self.run(at_s)
        self.part.act(action, None, t)
        self.world.touch("people")
        self.settle(t)

    def said(self, *names):
        return [(t, n, v) for t, n, v in self.heard if n in names]


def test_caught_held_and_given_back():
    bench = Bench()
    bench.land(1, reach=5.5)
    bench.run(20)
    assert bench.heard == [
        (1, "spot", 3),
        (1, "aim_error", 0.5),
        (1, "catches", 1),
        (1, "holding", 1),
        (3, "returned", 1),
        (3, "holding", 0),
    ]


def test_missed_and_fetched():
    bench = Bench()
    bench.land(1, reach=5.9)
    bench.run(20)
    assert bench.said("catches", "misses", "fed") == [(1, "misses", 1), (9, "fed", 1)]


def test_nobody_fetches():
    bench = Bench(fetch_time=0)
    bench.land(1, reach=9)
    bench.run(100)
    assert bench.said("misses", "fed") == [(1, "misses", 1)]


@pytest.mark.parametrize(("angle", "spot"), [(-60, 1), (-49, 1), (-26, 2), (3, 3), (24, 4), (48, 5), (90, 5)])
def test_the_nearest_spot_counts(angle, spot):
    bench = Bench()
    bench.land(1, angle=angle)
    assert bench.part.outputs["spot"] == spot
    off = abs(angle - 25 * (spot - 3))
    assert bench.part.outputs["aim_error"] == pytest.approx(2 * 5 * sin(radians(off) / 2))


def test_miss_distance():
    """A right angle at the launcher: 3, 4, 5; straight on: the difference."""
    assert miss_distance(3, 0, 4, 90) == pytest.approx(5)
    assert miss_distance(5, 20, 4.5, 20) == pytest.approx(0.5)


def test_two_landings_at_once_are_both_answered():
    bench = Bench()
    bench.land(1, count=2)
    assert bench.part.outputs["catches"] == 2


def test_catching_by_chance_is_a_matter_of_the_seed():
    """With probability 0.7 about 70 of 100 are caught, the same ones for the same seed."""

    def catches(seed):
        bench = Bench(seed, catch=0.7)
        for n in range(100):
            bench.land(n)
        return [t for t, _, _ in bench.said("catches")]

    assert catches(5) == catches(5) != catches(6)
    assert 55 <= len(catches(5)) <= 85


def test_holding_spreads():
    bench = Bench(spread=0.4)
    for n in range(50):
        bench.land(10 * n)
    bench.run(1000)
    times = [t % 10 for t, _, _ in bench.said("returned")]
    assert len(times) == 50
    assert min(times) < 1.4
    assert 1.2 <= min(times) < max(times) <= 2.8


def test_actions_settle_the_next_ball():
    bench = Bench()
    bench.act(0, "miss")
    bench.land(1)
    bench.act(2, "catch")
    bench.act(2, "keep")
    bench.land(3, reach=9)
    bench.run(60)
    assert bench.said("misses", "catches", "returned") == [(1, "misses", 1), (3, "catches", 1)]
    assert bench.part.outputs["holding"] == 1
    bench.act(60, "give")
    bench.act(61, "give")
    bench.act(62, "feed")
    assert bench.said("returned", "fed", "holding")[-3:] == [(60, "returned", 1), (60, "holding", 0), (62, "fed", 2)]


@pytest.mark.parametrize(
    ("kind", "value", "reach", "trace"),
    [
        ("misses", 1.0, 5, [(1, "misses", 1), (9, "fed", 1)]),
        ("keeps_ball", 1.0, 5, [(1, "catches", 1), (1, "holding", 1)]),
        ("late_return", 60.0, 5, [(1, "catches", 1), (1, "holding", 1), (61, "returned", 1), (61, "holding", 0)]),
        ("leaves_ball", 1.0, 9, [(1, "misses", 1)]),
    ],
)
def test_faults(kind, value, reach, trace):
    bench = Bench()
    bench.part.faults[kind] = value
    bench.land(1, reach=reach)
    bench.run(100)
    assert bench.said("catches", "misses", "returned", "fed", "holding") == trace


def test_unknown_action():
    with pytest.raises(PlantError, match=r"cannot 'catsh'.*Close in spelling: catch"):
        Bench().act(0, "catsh")
