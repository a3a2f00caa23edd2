"""The wheel: spin-up, run-down to a standstill, the price of a ball, current in steps; each failure shown to matter."""

from math import atan, exp, sqrt
from typing import ClassVar

import pytest

from simplant.part import Parameter, Part
from simplant.plant.wheel import Wheel
from simplant.plant.world import Wire, World
from simplant.timebase import Ns, seconds
from tests.parts.bench import Bench


def wheel(**parameters):
    return Bench(Wheel("wheel", parameters))


def test_spin_up_and_the_current_in_halving_steps():
    """48 V: 240 rad/s, tau 0.4 s; 6 A and 0.4 A of idling at the start, the excess renewed whenever it has halved."""
    b = wheel().at("1", volts=48.0).to("1.4")
    assert b.value("speed") == pytest.approx(240 * (1 - exp(-1)))
    b.to("9")
    assert b.told("current", "turning") == [
        (1.0, "current", 6.4),
        (1.000835, "turning", True),
        (1.277259, "current", 3.4),
        (1.554518, "current", 1.9),
        (1.831777, "current", 1.15),
        (2.109036, "current", 0.77),
        (2.386295, "current", 0.59),
        (2.663554, "current", 0.49),
        (3.861847, "current", 0.4),
    ]


def test_run_down_ends_at_an_exact_instant():
    """From 240 rad/s to the standstill bound and to 0 in the times of the closed form; the current goes at once."""
    b = wheel().at("0", volts=48.0).at("20", volts=0.0)
    k, scale = sqrt(15 / 6e-4), 1 / sqrt(15 * 6e-4)
    bound = 20 + scale * (atan(240 / k) - atan(0.5 / k))
    b.to("40")
    (_, (stands, _, turning)) = b.told("turning")
    assert (turning, stands) == (False, pytest.approx(bound, abs=1e-6))
    assert b.told("current")[-1] == (20.0, "current", 0.0)
    assert b.value("speed") == 0.0


def test_it_may_still_turn_when_the_run_begins():
    """Left turning at 240 rad/s it coasts from the first instant, as after a run; driven, it goes on from there."""
    b = wheel(start_speed=240.0).at("0", volts=0.0)
    k, scale = sqrt(15 / 6e-4), 1 / sqrt(15 * 6e-4)
    bound = scale * (atan(240 / k) - atan(0.5 / k))
    b.to("20")
    assert b.told("turning") == [(0.0, "turning", True), (pytest.approx(bound, abs=1e-6), "turning", False)]
    driven = wheel(start_speed=120.0).at("0", volts=48.0).to("0.4")
    assert driven.value("speed") == pytest.approx(240 - 120 * exp(-1))


def test_each_ball_takes_its_momentum():
    """0.7 m v R / J with v = w R / 2: 2.142 % of the speed per ball, also without power, and nothing at standstill."""
    b = wheel().at("0", volts=48.0).at("20", launched=1)
    left = 1 - 0.7 * 0.034 * 0.06**2 / (2 * 2e-3)
    assert b.value("speed") == pytest.approx(240 * left)
    b.at("40", volts=0.0, launched=3)
    assert b.value("speed") == pytest.approx(240 * left**2)
    assert wheel().at("1", launched=5).to("2").value("speed") == 0.0


def test_a_sagging_supply_lets_it_coast_to_the_lower_speed():
    """From 48 V to 36 V it is not braked: it coasts to 180 rad/s and stays there."""
    b = wheel().at("0", volts=48.0).at("20", volts=36.0).to("20.5")
    assert 200 < b.value("speed") < 230
    assert b.value("current") == 0.0
    assert b.to("40").value("speed") == 180.0
    assert b.part.outputs["speed"].extremes(Ns(0), b.now) == (180.0, 180.0)
    assert b.value("current") == 0.4


@pytest.mark.parametrize(
    ("kind", "value", "speed", "current"),
    [
        (None, 1.0, 240.0, 0.4),
        ("dead", 1.0, 0.0, 0.0),
        ("weak", 0.5, 120.0, 0.4),
        ("readjusted", 1.15, 276.0, 0.4),
        ("stalled", 1.0, 0.0, 6.0),
        ("drag", 3.0, 228.0, 0.7),
    ],
)
def test_failures_seen_from_standstill_and_in_full_run(kind, value, speed, current):
    """Each failure has its own final speed and current, whether it is there from the start or comes later."""
    early = wheel().at("0", volts=48.0, fault=kind, value=value).to("60")
    late = wheel().at("0", volts=48.0).at("20", fault=kind, value=value).to("80")
    for b in (early, late):
        assert (b.value("speed"), b.value("current")) == (pytest.approx(speed), current)


def test_a_jam_stops_it_within_the_jam_time():
    """From full speed: half of it after 25 ms, none after 50 ms."""
    b = wheel().at("0", volts=48.0).at("20", fault="stalled")
    assert b.to("20.025").value("speed") == pytest.approx(120)
    assert b.to("20.05").value("speed") == 0.0
    assert b.told("turning")[-1] == (20.049896, "turning", False)


class Source(Part):
    """A supply with an inner resistance."""

    INPUTS: ClassVar = {"load": 0.0, "other": 0.0}
    OUTPUTS: ClassVar = {"volts": 48.0}
    PARAMETERS: ClassVar = {"resistance": Parameter(0.3, "ohm", "inner resistance")}

    def command(self, now):
        self.emit("volts", 48.0 - self.p["resistance"] * (self.number("load") + self.number("other")))


@pytest.mark.parametrize("hundredths", range(0, 200, 4))
def test_wheel_and_sagging_supply_settle(hundredths):
    """Current and voltage depend on each other; whatever the resistance, each instant settles within a few rounds."""
    source, load = Source("source", {"resistance": hundredths / 100}), Wheel("wheel")
    world = World(
        {"source": source, "wheel": load},
        [Wire("source.volts", "wheel", "volts"), Wire("wheel.current", "source", "load")],
    )
    world.begin()
    for end, other in ((20, 0.2), (30, 2.0), (60, 0.0), (90, 0.0)):
        while (now := world.next_due()) < seconds(end):
            world.advance(now)
            world.settle(now)
        world.advance(seconds(end))
        world.feed("source", "other", other)
        world.settle(seconds(end))
    assert world.moves < 400
    assert load.outputs["current"] == pytest.approx(0.4, abs=0.011)


def test_every_failure_has_a_test():
    """The list of failures is the list of this file."""
    assert [f.kind for f in Wheel.FAILURES] == ["dead", "weak", "readjusted", "stalled", "drag"]
