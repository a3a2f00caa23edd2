"""Gate and ball loop wired together: what the arm's timing does to the second ball."""

import pytest

from simplant.curves import Steady
from simplant.plant.ball_gate import BallGate
from simplant.plant.ball_loop import BallLoop
from simplant.plant.world import Wire, World
from simplant.timebase import Ns

WIRES = [
    Wire("balls.in_view", "gate", "ball"),
    Wire("balls.in_mouth", "gate", "blocked"),
    Wire("gate.passing", "balls", "gate_open"),
    Wire("gate.holding", "balls", "gate_holds"),
]


def play(script, until_ms):
    """Command the arm at the given ms and give every change of the terminals that tell of the second ball."""
    gate = BallGate("gate", {"open_time": 0.1, "close_time": 0.1})
    balls = BallLoop("balls")
    gate.inputs["volts"], balls.inputs["wheel_speed"] = 5.0, Steady(240.0)
    world = World({"gate": gate, "balls": balls}, WIRES)
    world.begin()
    world.changes.clear()
    heard = []

    def run(until):
        while (t := world.next_due()) <= until:
            world.advance(t)
            settle(t)

    def settle(t):
        world.settle(t)
        heard.extend((round(t / 1e6), *change) for change in world.changes if change[0] in WATCHED)
        world.changes.clear()

    for at_ms, wide in script:
        run(Ns(at_ms * 1_000_000))
        world.feed("gate", "open", wide)
        settle(Ns(at_ms * 1_000_000))
    run(Ns(until_ms * 1_000_000))
    return heard, gate.outputs["arm"].at(Ns(until_ms * 1_000_000))


WATCHED = ("gate.passing", "gate.holding", "gate.is_closed", "balls.released", "balls.in_mouth", "balls.settled")


def test_quick_arm_lets_one_ball_pass():
    """Away for 20 + 20 ms, well below sqrt(2 x 0.085 / g) = 131.7 ms: the next ball lands on the closed arm."""
    heard, place = play([(0, True), (100, False)], 1000)
    assert heard == [
        (0, "gate.is_closed", False),
        (40, "gate.holding", False),
        (80, "gate.passing", True),
        (80, "balls.released", 1),
        (80, "balls.settled", False),
        (120, "gate.passing", False),
        (160, "gate.holding", True),
        (200, "gate.is_closed", True),
        (607, "balls.settled", True),
    ]
    assert place == 0


def test_slow_arm_lands_on_the_second_ball():
    """Between passing and holding as the ball arrives: the arm stands on it; opened again, the ball is gone too."""
    heard, place = play([(0, True), (170, False)], 1000)
    assert heard[-3:] == [(80, "balls.settled", False), (190, "gate.passing", False), (212, "balls.in_mouth", True)]
    assert place == pytest.approx(0.583, abs=0.001)
    heard, _ = play([(0, True), (170, False), (1000, True), (1030, False)], 1200)
    assert (1022, "balls.released", 2) in heard
    assert (1022, "balls.in_mouth", False) in heard


def test_late_arm_lets_two_pass():
    heard, _ = play([(0, True), (250, False)], 1000)
    assert [change for change in heard if change[1] == "balls.released"] == [
        (80, "balls.released", 1),
        (212, "balls.released", 2),
    ]
