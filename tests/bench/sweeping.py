"""What faults cost that are not there, and how fast a sweep of power cuts goes.

Shown by run.py with the rest. Rule: the run with every single fault of the machine planned, none active, is held
against the same run without.
"""

from dataclasses import replace
from time import perf_counter, process_time

from simplant.campaign.axes import cuts
from simplant.campaign.sweep import sweep
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario
from simplant.timebase import Ns


def with_all_faults(machine: Machine, scenario: Scenario) -> Scenario:
    """Give a scenario with each single fault of the machine, to begin just after its end."""
    after = Ns(scenario.length + 1)
    return replace(scenario, faults=tuple(entry.fault(after) for entry in machine.catalogue if not entry.other))


def cost_of_faults(machine: Machine, scenario: Scenario, turns: int) -> float:
    """Give how many times as long the run takes with all faults planned and none active."""
    least = []
    for story in (scenario, with_all_faults(machine, scenario)):
        times = []
        for _ in range(turns):
            began = process_time()
            run_scenario(machine, story)
            times.append(process_time() - began)
        least.append(min(times))
    return least[1] / least[0]


def cuts_a_second(machine: Machine, scenario: Scenario, count: int) -> float:
    """Give how many power cuts of a scenario a sweep does a second, on all cores, starting them included."""
    axis = cuts(machine, scenario, random=count)
    began = perf_counter()
    sweep(machine, scenario, axis)
    return len(axis.cases) / (perf_counter() - began)
