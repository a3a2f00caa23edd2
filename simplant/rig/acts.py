"""What happens to a machine from outside, in order of time: stimuli, faults, forces, writes, power.

Scenarios say it (scenario/), the rig does it in phase 1 of an instant. Rule: things of one instant
happen in the order in which they were written.
"""

from collections.abc import Callable
from heapq import heappop, heappush
from typing import TYPE_CHECKING

from simplant.faults import Fault
from simplant.scenario.model import Force, Power, Scenario, Stimulus, Write
from simplant.timebase import NEVER, Ns, show

if TYPE_CHECKING:
    from simplant.rig.rig import Rig

Act = Callable[[Ns], None]


class Acts:
    """A queue of acts; the rig takes those that are due."""

    def __init__(self) -> None:
        self._heap: list[tuple[int, int, Act]] = []
        self._count = 0
        self.next_due = NEVER
        """When the next act is due (`NEVER` if none)."""

    def at(self, when: Ns, act: Act) -> None:
        """Plan an act."""
        heappush(self._heap, (when, self._count, act))
        self._count += 1
        self.next_due = Ns(self._heap[0][0])

    def take(self, now: Ns) -> None:
        """Do all acts that are due."""
        while self._heap and self._heap[0][0] <= now:
            heappop(self._heap)[2](now)
        self.next_due = Ns(self._heap[0][0]) if self._heap else NEVER


def plan(rig: "Rig", scenario: Scenario) -> None:
    """Plan everything that a scenario lets happen."""
    for stimulus in scenario.acts():
        rig.acts.at(stimulus.at, _stimulus(rig, stimulus))
    for fault in scenario.faults:
        plan_fault(rig, fault)
    for force in scenario.forces:
        plan_force(rig, force)
    for write in scenario.writes:
        rig.acts.at(write.at, _write(rig, write))
    for power in scenario.power:
        _plan_power(rig, power)


def _stimulus(rig: "Rig", stimulus: Stimulus) -> Act:
    def act(now: Ns) -> None:
        rig.world.parts[stimulus.on].act(stimulus.do, stimulus.value, now)
        rig.world.touch(stimulus.on)

    return act


def plan_fault(rig: "Rig", fault: Fault) -> None:
    """Plan the onset of a fault, and its end if it has one."""
    severity = rig.severity(fault)
    targets = [fault.target, fault.other] if fault.other else [fault.target]
    ends = "" if fault.duration == NEVER else f" for {show(fault.duration)}"

    def onset(now: Ns) -> None:
        rig.note(now, f"fault {fault}{ends}")
        for target in targets:
            rig.fail(target, fault.kind, severity, now)

    def end(now: Ns) -> None:
        rig.note(now, f"fault {fault} ends")
        for target in targets:
            rig.fail(target, fault.kind, None, now)

    rig.acts.at(fault.onset, onset)
    if fault.ends != NEVER:
        rig.acts.at(fault.ends, end)


def plan_force(rig: "Rig", force: Force) -> None:
    """Plan a force and its end."""
    rig.acts.at(force.at, lambda now: rig.force(force.tag, force.value, now))
    if force.duration != NEVER:
        rig.acts.at(Ns(force.at + force.duration), lambda now: rig.force(force.tag, None, now))


def _write(rig: "Rig", write: Write) -> Act:
    return lambda now: rig.panel.write(write, now)


def _plan_power(rig: "Rig", power: Power) -> None:
    rig.acts.at(power.at, lambda now: rig.loop.cut(power.controller, now, on=True))
    if power.duration != NEVER:
        back = Ns(power.at + power.duration)
        rig.acts.at(back, lambda now: rig.loop.cut(power.controller, now, on=False, cold=power.restart == "cold"))
