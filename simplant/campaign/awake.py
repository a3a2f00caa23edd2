"""When a controller really scans, and a machine whose controller scans at another period.

Both are the machine itself with a controller changed; nothing is changed in place. Rule: to look on changes no trace.
"""

from dataclasses import replace
from typing import Final

from simplant.errors import UsageError, nearest
from simplant.kernel.executable import Executable
from simplant.rig.machine import ControllerPlan, Machine
from simplant.rig.rig import Rig
from simplant.scenario.model import Scenario
from simplant.timebase import Ns
from simplant.values import Value

State = tuple[Value, ...]


def plan_of(machine: Machine, controller: str) -> ControllerPlan:
    """Give a controller of a machine by name; raises `UsageError` if there is none."""
    plans = {plan.name: plan for plan in machine.controllers}
    if controller not in plans:
        raise UsageError(f"{machine.name} has no controller {controller!r}", mend=nearest(controller, plans))
    return plans[controller]


def awake_scans(machine: Machine, scenario: Scenario, controller: str) -> tuple[Ns, ...]:
    """Give the instants at which a controller scans in a run, those that it sleeps through left out.

    Raises:
        UsageError: there is no such controller.
    """
    seen: Final[dict[Ns, None]] = {}
    plan = plan_of(machine, controller)
    watched = replace(plan, tasks=tuple((setup, _noting(program, seen)) for setup, program in plan.tasks))
    Rig(_with(machine, watched), scenario).run()
    return tuple(seen)


def with_period(machine: Machine, controller: str, period: Ns) -> Machine:
    """Give the machine with another scan period of a controller; tasks whose program sets their own keep it.

    Raises:
        UsageError: there is no such controller, or each of its tasks has a period of its own.
    """
    plan = plan_of(machine, controller)
    if all(layout.period for layout in plan.layouts):
        raise UsageError(
            f"no period of {controller!r} can be varied",
            "its program sets the period of each task itself",
            "leave the period out there, and set it in machine.toml",
        )
    tasks = tuple(
        (setup if layout.period else replace(setup, period=period), program)
        for layout, (setup, program) in zip(plan.layouts, plan.tasks, strict=True)
    )
    return _with(machine, replace(plan, tasks=tasks))


def _with(machine: Machine, plan: ControllerPlan) -> Machine:
    return replace(machine, controllers=tuple(plan if p.name == plan.name else p for p in machine.controllers))


def _noting(program: Executable, seen: dict[Ns, None]) -> Executable:
    run = program.run

    def noted(inputs: State, state: State, now: Ns) -> tuple[State, Ns]:
        seen[now] = None
        return run(inputs, state, now)

    return replace(program, run=noted)
