"""One suite over a machine's folder: its files, its parts, its programs, and a wild run three ways.

Whether the machine does its job is for rules and scenarios. Rule: what happens to it is the same in every run.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from simplant.errors import PlantError, ReplayMismatch
from simplant.faults import Fault
from simplant.part import Part
from simplant.rig.machine import Machine, PartPlan
from simplant.rig.port import Port
from simplant.rig.rig import Rig
from simplant.scenario.compare import first_difference
from simplant.scenario.model import Scenario, Stimulus
from simplant.scenario.trace import Trace
from simplant.testing.dice import Dice
from simplant.testing.part import Make, check_part
from simplant.testing.program import check_program
from simplant.timebase import Ns, ms, seconds

_BEGIN: Final = seconds(3)
_STEP: Final = ms(100)
_FAULT: Final = ms(150)
_ACTS: Final = 120
_LENGTH: Final = seconds(40)


def check_machine(folder: Path | str, *, seed: int = 1) -> Machine:
    """Read a machine and hold everything in it against its contract.

    Checked: its files, rules and hazard list can be read and every name in them is there; each part and point keeps the
    contract of parts, with the parameters it has here (`check_part`); each program keeps that of programs
    (`check_program`); a run with many actions gives one trace with sleeping scans, with every scan, and with tasks
    woken for nothing; the run in which every failure mode of the catalogue comes and goes, one after another, ends.

    Args:
        folder: the machine's folder.
        seed: of all chance.

    Returns:
        The machine.

    Raises:
        SimplantError: the first breach.
    """
    machine = Machine.load(folder)
    assert machine.rules is not None, "reading the rules binds them"
    assert machine.hazards is not None, "reading the hazard list checks it"
    for plan in machine.plans.values():
        if not issubclass(plan.kind, Port):
            check_part(_maker(plan), steps=80, seed=seed)
    for controller in machine.controllers:
        check_program(controller.program, seed=seed)
    _check_one_trace(machine, _wild(machine, seed))
    _run(machine, _all_faults(machine, seed))
    return machine


def _maker(plan: PartPlan) -> Make:
    return lambda given: plan.make({**plan.parameters, **given})


def _wild(machine: Machine, seed: int) -> Scenario:
    """Let people do anything at any time."""
    dice = Dice(seed, "people")
    acts = [act for part in machine.build({}).values() for act in _acts(part)]
    times = sorted(Ns(int(dice.chance() * _LENGTH)) for _ in range(_ACTS if acts else 0))
    stimuli = [Stimulus(at, *dice.pick(acts)) for at in times]
    return Scenario(machine.name, "anybody does anything", seed, _LENGTH, stimuli=tuple(stimuli))


def _acts(part: Part) -> Iterator[tuple[str, str, int | None]]:
    """Give everything that can be done to a part, with the values that it takes."""
    part.begin(Ns(0))
    for action in part.ACTIONS:
        for value in (None, 1, 2, 3):
            try:
                part.act(action, value, Ns(0))
            except PlantError:
                continue
            yield part.name, action, value


def _all_faults(machine: Machine, seed: int) -> Scenario:
    faults = tuple(_faults(machine))
    length = Ns(_BEGIN + _STEP * len(faults) + seconds(1))
    return Scenario(machine.name, "every fault in turn", seed, length, faults=faults)


def _faults(machine: Machine) -> Iterator[Fault]:
    """Give every single failure mode in turn (`swapped` takes two points, so it is left out)."""
    singles = [entry for entry in machine.catalogue if entry.mode.kind != "swapped"]
    for number, entry in enumerate(singles):
        yield entry.fault(Ns(_BEGIN + _STEP * number), _FAULT)


def _check_one_trace(machine: Machine, scenario: Scenario) -> None:
    dice = Dice(scenario.seed, "wakes")
    asleep = _run(machine, scenario)
    others = {
        "with every scan": Rig(machine, scenario, claims=(), every_scan=True),
        "woken for nothing": Rig(machine, scenario, claims=(), extra_wakes=lambda _task, _scan: dice.chance() < 0.1),
        "run again, with no rules": Rig(machine, scenario, claims=()),
    }
    for how, rig in others.items():
        difference = first_difference(asleep, rig.run().trace)
        if difference is not None:
            one, other = (lines[0] if lines else "the end" for lines in (difference.stored, difference.now))
            raise ReplayMismatch(f"machine {machine.name!r} {how} gives another trace", f"{one!r} became {other!r}")


def _run(machine: Machine, scenario: Scenario) -> Trace:
    return Rig(machine, scenario).run().trace
