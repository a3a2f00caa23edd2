"""Launch by a wheel against a fixed pad, held against the rolling condition.

Source: derivation: a ball of diameter D rolls without slip between a surface of speed u = w R and one at rest,
so its centre moves at u / 2 and it spins at u / D; slip only lowers the speed.
"""

from math import pi

import pytest

from simplant.curves import Steady
from simplant.plant.ball_loop import BallLoop
from simplant.plant.flight import Ball, fly
from simplant.plant.world import World


def launch(rpm: float, radius: float, *, slips: float = 1.0, **more: float) -> BallLoop:
    loop = BallLoop("balls", {"wheel_radius": radius, **more})
    loop.faults["slips"] = slips
    loop.inputs["wheel_speed"] = Steady(rpm * pi / 30)
    loop.inputs["elevation"] = Steady(40.0)
    loop.inputs["gate_open"] = True
    world = World({"balls": loop}, [])
    world.begin()
    while not loop.outputs["landed"]:
        t = world.next_due()
        world.advance(t)
        world.settle(t)
    return loop


def test_example():
    """R 0.10 m at 3000 rpm: u = 31.416 m/s, v = 15.708 m/s with one wheel and pad."""
    assert launch(3000, 0.10).outputs["launch_speed"] == pytest.approx(15.708, abs=1e-3)


@pytest.mark.parametrize("way", [1, 0, -1])
def test_spin_of_rolling(way):
    """The spin is u / D, which makes r omega / v = 1; it lifts with the wheel underneath, sinks with it on top."""
    radius, diameter, mass, height = 0.06, 0.085, 0.034, 0.2
    loop = launch(2291.83, radius, diameter=diameter, mass=mass, height=height, backspin=way)
    surface = 2291.83 * pi / 30 * radius
    want = fly(surface / 2, 40, way * surface / diameter, Ball(mass, diameter), height)
    assert loop.outputs["landed_range"] == pytest.approx(want.range_m, abs=1e-3)


@pytest.mark.parametrize("part", [0.5, 0.8, 1.0, 3.0])
def test_slip_only_lowers(part):
    """u / 2 is the upper bound whatever the slip is said to be."""
    assert launch(2000, 0.06, slips=part).outputs["launch_speed"] <= 2000 * pi / 30 * 0.06 / 2
