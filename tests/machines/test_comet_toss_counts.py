"""How much work a good run of comet_toss is, in counts: CI times nothing.

The ratios that need a clock are tests/bench. Rule: counts only, so a slow machine changes nothing.
"""

from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.read import read_scenario


def test_a_good_minute_is_little_work():
    """60 s with three tosses: at most 300 scans of both controllers together, and 3,000 moves of parts."""
    run = run_scenario(Machine.load("programs/comet_toss"), read_scenario("scenarios/comet_toss/good_calls.toml"))
    assert run.findings == ()
    assert sum(scans.run for scans in run.scans) <= 300
    assert run.moves <= 3_000
