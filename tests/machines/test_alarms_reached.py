"""Every alarm of the demo machines can come, by a single fault; first-out is what came first, ties included."""

from itertools import permutations

import pytest

from simplant import Machine
from simplant.campaign.failures import FaultCase, Onset, cases_of, ways_of
from simplant.chance import draw
from simplant.rig.outcome import run_scenario
from simplant.scenario.read import read_scenario
from simplant.timebase import Ns

SCANS = (0, 1, 2)


def ways(machine):
    found = sorted(machine.scenario_folder().glob("*.toml"))
    return ways_of(machine, [(path.stem, read_scenario(path)) for path in found])


def first_alarm(machine, case):
    """Give when the first alarm comes and what each first-out says from then on; None if there is none."""
    run = run_scenario(machine, case.scenario)
    if not run.alarms:
        return None
    names = {f"{table.name}_first_out" for table in machine.program.alarm_tables}
    out = {(at, value) for at, name, value in run.trace if name in names and value != "none"}
    return run.alarms[0].time, min(out)


def found(machine):
    """Search, in an order by chance, for a fault that raises each alarm first; give alarm -> case, and those raised."""
    cases = cases_of(ways(machine), machine.catalogue)
    order = sorted(range(len(cases)), key=lambda k: draw(1, "order of cases", k))
    alarms, raised, first = set(machine.alarm_texts), set(), {}
    for case in (cases[k] for k in order):
        for record in run_scenario(machine, case.scenario).alarms:
            raised.add(record.name)
            if record.first_out and record.time >= case.faults[0][1].at > 0:
                first.setdefault(record.name, case)
        if raised == alarms:
            break
    return raised, first


@pytest.fixture(scope="module", params=["comet_toss", "sump_pumps"])
def searched(request):
    machine = Machine.load(f"programs/{request.param}")
    return machine, *found(machine)


@pytest.mark.slow
def test_each_alarm_can_come(searched):
    """An alarm that no single fault raises tells nobody anything."""
    machine, raised, _ = searched
    assert raised == set(machine.alarm_texts)


def shifted(case, by):
    [(entry, onset)] = case.faults
    return FaultCase(case.way, ((entry, Onset(onset.step, Ns(onset.at + by))),))


@pytest.mark.slow
def test_first_out_with_faults_scans_apart(searched):
    """Two faults whose alarms, each alone, come 0, 1 or 2 scans apart: first-out is the first, of a tie the upper."""
    machine, _, first = searched
    scan = machine.controllers[0].tasks[0][0].period
    order = list(machine.alarm_texts)
    tried = dict.fromkeys(SCANS, 0)
    for one, other in permutations(first.values(), 2):
        if one.way != other.way or one.faults[0][0] is other.faults[0][0]:
            continue
        led, follows = first_alarm(machine, one), first_alarm(machine, other)
        for apart in SCANS:
            moved = shifted(other, led[0] - follows[0] + apart * scan)
            if moved.faults[0][1].at < 0 or (alone := first_alarm(machine, moved)) is None:
                continue
            if alone[0] - led[0] != apart * scan:
                continue  # the step it began in was over, or not yet there
            both = first_alarm(machine, FaultCase(one.way, (*one.faults, *moved.faults)))
            names = [led[1][1], alone[1][1]]
            wanted = min(names, key=order.index) if apart == 0 else names[0]
            assert both == (led[0], (led[1][0], wanted)), f"{one} | {moved}"
            tried[apart] += 1
    assert min(tried.values()) > 0, tried
