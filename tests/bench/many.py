"""Many runs: stories with their fault variants against drawing, two processes against one, results listed.

Single runs are measures.py. Rule: ratios of one process tree, taken in turn; a second of listing is the one absolute
bound there is.
"""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from simplant.campaign.pool import each
from simplant.campaign.store import Store
from simplant.fuzz import Decoder, Story, story_by_seed
from simplant.fuzz.draw import stories
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario
from tests.bench.clock import in_turn, seconds_of

STORIES = 6
"""Drawn in one turn, each with its variants."""
VARIANTS = 8
"""Runs of one story with one fault each, at most."""
RESULTS = 100_000
RUNS = 2000
"""Runs shared out over processes: a campaign, beside which their start is little."""
QUIET = settings(deadline=None, database=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck))


def variants(scenario: Scenario) -> list[Scenario]:
    """Give the story without faults, then with each of its faults alone."""
    calm = replace(scenario, faults=(), power=())
    return [calm, *(replace(calm, faults=(fault,)) for fault in scenario.faults[:VARIANTS])]


def stories_against_integers(machine: Machine, decoder: Decoder, turns: int) -> tuple[float, float, float]:
    """Give the runs a second of stories with variants, hypothesis's empty tests a second, and runs for each story."""
    runs = 0

    @settings(QUIET, max_examples=STORIES)
    @given(stories(*decoder.sizes))
    def told(story: Story) -> None:
        nonlocal runs
        for scenario in variants(decoder.scenario(replace(story, mask=0))):
            run_scenario(machine, scenario)
            runs += 1

    @settings(QUIET, max_examples=100)
    @given(st.integers())
    def empty(_number: int) -> None:
        pass

    told()
    runs = 0
    best = 0.0
    integers = []
    for _ in range(turns):
        before = runs
        took = seconds_of(told)
        best = max(best, (runs - before) / took)
        integers.append(100 / seconds_of(empty))
    return best, max(integers), runs / turns / STORIES


def asked(machine: Machine, scenario: Scenario) -> int:
    """Answer one run of a campaign: how many steps were gone through."""
    return len(run_scenario(machine, scenario).steps)


def two_processes(machine: Machine, decoder: Decoder, turns: int) -> float:
    """Give how many times faster two processes answer than one."""
    told = [decoder.scenario(story_by_seed(1, n, *decoder.sizes)) for n in range(RUNS)]

    def over(processes: int, scenarios: Sequence[Scenario] = told) -> list[int]:
        return list(each(asked, machine, scenarios, processes))

    one, two = in_turn(turns, lambda: over(1), lambda: over(2))
    return one / two


def listing() -> float:
    """Give the seconds in which a file of 100,000 results is listed."""
    with TemporaryDirectory() as folder, Store(Path(folder) / "results.sqlite") as store:
        answer = '{"effect": "trip", "noticed": "pulses_lost", "after_ns": 210000000, "broken": []}'
        for n in range(RESULTS):
            store.keep(f"{n:032x}", "a fault in a step", answer)
        (best,) = in_turn(3, store.known)
    return best
