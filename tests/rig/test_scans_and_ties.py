"""Runs in which a controller scans otherwise than set, or in which what comes at one instant comes in another order.

Which stories have that is fuzz/deviate.py. Rule: the scenario says it all, so the same file gives the same run.
"""

from dataclasses import replace
from typing import ClassVar

import pytest

from simplant import Machine, Rig, Scenario, ms, seconds
from simplant.errors import ScenarioError, UsageError
from simplant.part import Part
from simplant.plant.world import Wire, World
from simplant.scenario.model import Scans, Stimulus
from simplant.scenario.read import parse_scenario
from simplant.scenario.write import scenario_text
from simplant.timebase import NEVER, Ns


@pytest.fixture(scope="module")
def sump() -> Machine:
    return Machine.load("programs/sump_pumps")


def scans(machine, **given):
    """How many scans there were in 10 s, run or slept through: 8 s of them after the boot."""
    rig = Rig(machine, Scenario("sump_pumps", length=seconds(10), scans=given)).run()
    return sum(rig.main.counts(rig.now))


def test_the_period_of_a_run(sump):
    """Twice the period, half the scans; jitter leaves their number as it is."""
    assert abs(scans(sump) - 2 * scans(sump, main=Scans(period=ms(100)))) <= 2
    assert abs(scans(sump) - scans(sump, main=Scans(jitter=ms(5)))) <= 1


def test_scans_of_a_run_are_checked(sump):
    """Jitter below the period, controllers that are there, a seed that is none."""
    with pytest.raises(UsageError, match="the start jitter of task 'main' is 60 ms, its period 50 ms"):
        scans(sump, main=Scans(jitter=ms(60)))
    for text, told in (
        ('[scans.mian]\nperiod = "10ms"\n', "there is no controller 'mian'"),
        ("ties = -1\n", "the seed of ties is -1"),
        ('[scans.main]\nperoid = "10ms"\n', "peroid"),
    ):
        with pytest.raises(ScenarioError, match=told):
            Rig(sump, parse_scenario(f'machine = "sump_pumps"\n{text}'))


def test_they_are_written_and_read():
    """A scenario with both is the same when read back."""
    scenario = Scenario("sump_pumps", ties=7, scans={"main": Scans(ms(20), ms(1)), "other": Scans(jitter=ms(2))})
    assert parse_scenario(scenario_text(scenario)) == scenario


def test_acts_of_one_instant_come_in_an_order_by_seed(sump):
    """Pressed and let go at one instant: as written without ties, either way with them, each seed always the same."""
    both = (Stimulus(seconds(1), "reset", "press"), Stimulus(seconds(1), "reset", "release"))
    scenario = Scenario("sump_pumps", length=seconds(2), stimuli=both)

    def pressed(ties: int) -> bool:
        return bool(Rig(sump, replace(scenario, ties=ties)).run().value("reset.pressed"))

    assert pressed(0) is False
    ends = [pressed(ties) for ties in range(1, 12)]
    assert set(ends) == {True, False}
    assert ends == [pressed(ties) for ties in range(1, 12)]


class Blink(Part):
    """Goes on at 1 s."""

    OUTPUTS: ClassVar = {"on": False}

    def begin(self, now: Ns) -> None:
        self.due = seconds(1)

    def advance(self, now: Ns) -> None:
        if now >= self.due:
            self.emit("on", True)
            self.due = NEVER

    def next_due(self) -> Ns:
        return self.due


class Look(Blink):
    """Looks at its input at 1 s, and keeps what it saw."""

    INPUTS: ClassVar = {"in": False}
    OUTPUTS: ClassVar = {"saw": False}

    def advance(self, now: Ns) -> None:
        if now >= self.due:
            self.emit("saw", self.on("in"))
            self.due = NEVER


def test_parts_of_one_instant_move_one_after_the_other_by_seed():
    """All at once, one that looks sees what was before; in an order, it may be second and see what came."""

    def saw(ties: int) -> bool:
        parts: dict[str, Part] = {"blink": Blink("blink"), "look": Look("look")}
        world = World(parts, [Wire("blink.on", "look", "in")])
        world.ties = ties
        world.begin()
        world.advance(seconds(1))
        world.settle(seconds(1))
        return bool(parts["look"].outputs["saw"])

    assert saw(0) is False
    assert {saw(ties) for ties in range(1, 12)} == {True, False}
    assert [saw(ties) for ties in range(1, 12)] == [saw(ties) for ties in range(1, 12)]
