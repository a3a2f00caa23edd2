"""A controller of a machine that hangs from the start."""

from pathlib import Path

import pytest

from simplant import Machine, Rig, Scenario, Stimulus, seconds
from simplant.faults import Fault

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("onset", [0, 1])
def test_a_fault_before_the_boot_is_over_hits_when_it_is(onset):
    """It hangs as it begins (2.2 s: supply and boot), its watchdog trips, and after a power loss the same again."""
    machine = Machine.load(ROOT / "programs" / "sump_pumps")
    dip = Stimulus(seconds(5), "mains", "dip", 1)
    faults = (Fault("main", "hanging", seconds(onset)),)
    rig = Rig(machine, Scenario("sump_pumps", length=seconds(20), stimuli=(dip,), faults=faults)).run()
    told = [(at / 1e9, text.partition(": ")[2]) for at, name, text in rig.trace if name == "!" and "main: " in text]
    assert [(at, text) for at, text in told if text.startswith(("hang", "watchdog", "power lost"))] == [
        (2.2, "hang: the processor hangs"),
        (2.7, "watchdog: the processor has hung for 500 ms"),
        (5.0, "power lost: outputs go to their safe values"),
        (8.2, "hang: the processor hangs"),
        (8.7, "watchdog: the processor has hung for 500 ms"),
    ]
    assert rig.main.counts(rig.now)[0] == 0
