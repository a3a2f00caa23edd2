"""A bench that stops and goes on, and is acted on in between, shows the same with and without sleeping.

Whole scenarios are test_sleeping.py and the golden traces. Rule: what is done between two runs comes after the scans of
the instant that the first one ended with, also where those were slept through.
"""

from pathlib import Path

import pytest

from simplant import Machine, Rig, Scenario, ms
from simplant.timebase import Ns

ROOT = Path(__file__).parents[2]
MACHINE = Machine.load(ROOT / "programs" / "comet_toss")


def told(*, every_scan: bool, step: Ns) -> str:
    """Press, force and let go again and again, at instants up to which the run was brought before."""
    rig = Rig(MACHINE, Scenario("comet_toss", length=ms(60_000)), every_scan=every_scan)
    for n in range(1, 40):
        rig.run(step)
        if n % 5 == 0:
            rig.force("reset_pressed", bool(n % 2), rig.now)
        else:
            rig.press("reset" if n % 2 else "start", for_=ms(200) if n % 3 else None)
    return rig.run(step).trace.text()


@pytest.mark.parametrize("step", [ms(1030), ms(1037), Ns(ms(1030) + 1)])
def test_acts_between_runs_come_after_the_scans_of_their_instant(step):
    """On the grid of scans or beside it, sleeping is not seen."""
    assert told(every_scan=False, step=step) == told(every_scan=True, step=step)
