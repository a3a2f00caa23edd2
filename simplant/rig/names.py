"""All names of a machine, gathered so that a scenario can be held against them.

Holding them against each other is scenario/check.py. Rule: what the machine shows is asked of it, not listed here.
"""

from collections.abc import Iterable
from dataclasses import replace

from simplant.faults import POWER_CUT
from simplant.rig.machine import HANGING, Machine
from simplant.rig.panel import MODES, PANEL
from simplant.rules import Claim
from simplant.scenario.check import Names
from simplant.tags import Direction


def names_of(machine: Machine, claims: Iterable[Claim]) -> Names:
    """Gather what a scenario may speak of; what is the machine's own is gathered once."""
    if Names not in machine.kept:
        machine.kept[Names] = _of(machine)
    own: Names = machine.kept[Names]
    return replace(own, rules=[claim.name for claim in claims])


def _of(machine: Machine) -> Names:
    program = machine.program
    tags = {n: t for n, t in program.declared.items() if "." not in n}
    points = [p.name for p in machine.io]
    memory = [n for n, t in tags.items() if t.direction is Direction.MEMORY]
    kinds = {name: [m.kind for m in plan.kind.FAILURES] for name, plan in machine.plans.items()}
    for controller in machine.controllers:
        kinds[controller.name] = [HANGING.kind, POWER_CUT.kind]
    kinds[PANEL] = [mode.kind for mode in MODES if machine.file.machine.panel]
    for target, kind in machine.common_causes:
        kinds[target] = [kind]
    partners: dict[str, list[str]] = {}
    for one, other in machine.io.swappable():
        partners.setdefault(one.name, []).append(other.name)
        partners.setdefault(other.name, []).append(one.name)
    return Names(
        actions={name: list(plan.kind.ACTIONS) for name, plan in machine.plans.items() if name not in machine.io},
        kinds=kinds,
        partners=partners,
        points=points,
        memory=memory,
        retained=[*(n for n, t in tags.items() if t.retain), *(n for n, c in program.charts.items() if c.retain)],
        tags=[*tags],
        words={
            slot.name: slot.words
            for layout in machine.controllers[0].layouts
            for slot in layout.slots
            if slot.words and slot.name in tags
        },
        parameters=[f"{name}.{p}" for name, plan in machine.plans.items() for p in plan.kind.PARAMETERS],
        truths=list(machine.truths),
        controllers=[c.name for c in machine.controllers],
        charts={name: list(chart.steps) for name, chart in program.charts.items()},
        alarms=[alarm.name for table in program.alarm_tables for alarm in table.alarms],
    )
