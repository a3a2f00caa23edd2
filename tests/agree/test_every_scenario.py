"""Every scenario in this repository, three ways: every scan, asleep, and asleep with extra wakes now and then.

The golden trace beside each is what the sleeping run gave. Rule: the three are the same to the byte; the counts
of scans differ, or nothing slept and the test would show nothing.
"""

from pathlib import Path

import pytest

from simplant import Machine, Rig
from simplant.chance import draw
from simplant.scenario.read import read_scenario
from simplant.scenario.trace import Trace

ROOT = Path(__file__).parents[2]
SCENARIOS = sorted(ROOT.glob("scenarios/*/*.toml"))
MACHINES = {name: Machine.load(ROOT / "programs" / name) for name in {path.parent.name for path in SCENARIOS}}


def ran(path, **how):
    scenario = read_scenario(path)
    rig = Rig(MACHINES[path.parent.name], scenario, **how).run()
    return rig.trace.text(), sum(c.counts(rig.now)[0] for c in rig.controllers.values())


def now_and_then(task, k):
    return draw(5, f"wake {task}", k) < 0.05


@pytest.mark.slow
@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_three_ways(path):
    """Neither leaving scans out nor doing some of them all the same changes a trace, and it is the golden one."""
    asleep, few = ran(path)
    assert Trace.parse(asleep).rows == Trace.read(path.with_suffix(".trace")).rows
    woken, more = ran(path, extra_wakes=now_and_then)
    every, all_of_them = ran(path, every_scan=True)
    assert woken == asleep
    assert every == asleep
    assert few < more < all_of_them
