"""Holding a run against its rules on the way changes nothing of what is said at the end."""

import pytest

from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.scenario.read import read_scenario
from simplant.timebase import ms, seconds


@pytest.mark.slow
@pytest.mark.parametrize("scenario", ["comet_toss/good_calls", "sump_pumps/storm"])
def test_verdicts_so_far_leave_the_run_alone(scenario):
    """Verdicts asked for every 230 ms, and then the last ones: outcome, margin, evidence and counts as without."""
    machine = Machine.load(f"programs/{scenario.partition('/')[0]}")
    story = read_scenario(f"scenarios/{scenario}.toml")
    asked, plain = (Rig(machine, story) for _ in range(2))
    while asked.now < seconds(30):
        asked.run(ms(230))
        assert asked.verdict(machine.rules.names[0]).rule == machine.rules.names[0]
    assert asked.run().finish() == plain.run().finish()
