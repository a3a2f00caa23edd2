"""A run that is over is free at once: it holds no circle of references that would wait for the garbage collector.

So the next run of a campaign finds its memory warm. Rule: what hangs in simpy's own circle (its clock and the events
still to come) is no part of the run.
"""

import gc

import pytest

from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.read import read_scenario

STORIES = ["comet_toss/good_calls", "comet_toss/weak_wheel", "sump_pumps/both_clogged", "stamp_station/good_tokens"]


def left_by_a_run(machine, scenario):
    """The types of what the garbage collector finds after a run."""
    run_scenario(machine, scenario)  # what is made once for the machine is made now
    gc.collect()
    gc.disable()
    gc.set_debug(gc.DEBUG_SAVEALL)
    try:
        run_scenario(machine, scenario)
        gc.collect()
        return {f"{type(each).__module__}.{type(each).__name__}" for each in gc.garbage}
    finally:
        gc.set_debug(0)
        gc.garbage.clear()
        gc.enable()


@pytest.mark.parametrize("story", STORIES)
def test_a_run_leaves_no_circles(story):
    """Nothing of ours waits for the garbage collector."""
    machine = Machine.load(f"programs/{story.split('/')[0]}")
    scenario = read_scenario(f"scenarios/{story}.toml")
    assert [name for name in left_by_a_run(machine, scenario) if name.startswith("simplant")] == []
