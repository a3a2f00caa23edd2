"""What happens to a machine from outside, in order of time: stimuli, faults, forces, writes, power.

Scenarios say it (scenario/), the rig does it in phase 1 of an instant. Rule: things of one instant
happen in the order in which they were written.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from heapq import heapify, heappop, heappush
from typing import TYPE_CHECKING, Final

from simplant.chance import below, stream
from simplant.faults import Fault
from simplant.scenario.model import Force, Power, Scenario, Stimulus, Write
from simplant.timebase import NEVER, Ns

if TYPE_CHECKING:
    from simplant.rig.rig import Rig

Act = Callable[[Ns], None]
TURNS: Final = 2**32
"""Numbers from which the turn of an act in its instant is drawn."""


class Acts:
    """A queue of acts; the rig takes those that are due.

    Args:
        ties: what is due at one instant is taken in an order drawn with this seed; 0 = as it was planned.
    """

    def __init__(self, ties: int = 0) -> None:
        self._heap: list[tuple[int, int, int, int, Act]] = []
        self._ties = stream(ties, "acts of one instant") if ties else 0
        self._count = 0
        self.next_due = NEVER
        """When the next act is due (`NEVER` if none)."""

    def at(self, when: Ns, act: Act, *, after: bool = False) -> None:
        """Plan an act; `after`: it follows from others, and comes after those of its instant."""
        turn = below(self._ties, self._count, TURNS) if self._ties else 0
        heappush(self._heap, (when, after, turn, self._count, act))
        self._count += 1
        self.next_due = Ns(self._heap[0][0])

    def extend(self, acts: Iterable[tuple[Ns, Act]]) -> None:
        """Plan acts, each for its instant."""
        if self._ties:
            for when, act in acts:
                self.at(when, act)
            return
        new = [(when, False, 0, count, act) for count, (when, act) in enumerate(acts, self._count)]
        self._heap += new
        self._count += len(new)
        heapify(self._heap)
        self.next_due = Ns(self._heap[0][0]) if self._heap else NEVER

    def take(self, now: Ns) -> None:
        """Do all acts that are due."""
        while self._heap and self._heap[0][0] <= now:
            heappop(self._heap)[4](now)
        self.next_due = Ns(self._heap[0][0]) if self._heap else NEVER


def planned(rig: "Rig", scenario: Scenario) -> Iterator[tuple[Ns, Act]]:
    """Give everything that a scenario lets happen, with its instant; those of one instant in their order."""
    for stimulus in scenario.acts():
        yield stimulus.at, _acted(rig, stimulus)
    for fault in scenario.faults:
        yield fault.onset, partial(_begin, rig, fault)
        if fault.duration != NEVER:
            yield fault.ends, partial(_end, rig, fault)
    for force in scenario.forces:
        yield from of_force(rig, force)
    for write in scenario.writes:
        yield write.at, _written(rig, write)
    for power in scenario.power:
        yield from _of_power(rig, power)


def _acted(rig: "Rig", stimulus: Stimulus) -> Act:
    def act(now: Ns) -> None:
        rig.world.parts[stimulus.on].act(stimulus.do, stimulus.value, now)
        rig.world.touch(stimulus.on)

    return act


def of_fault(rig: "Rig", fault: Fault) -> Iterator[tuple[Ns, Act]]:
    """Give the onset of a fault, and its end if it has one; raises `ScenarioError` if there is no such."""
    rig.machine.mode(fault.target, fault.kind)
    yield fault.onset, partial(_begin, rig, fault)
    if fault.duration != NEVER:
        yield fault.ends, partial(_end, rig, fault)


def _begin(rig: "Rig", fault: Fault, now: Ns) -> None:
    rig.note(now, f"fault {fault}")
    for target in _targets(fault):
        rig.fail(target, fault.kind, rig.severity(fault), now)


def _end(rig: "Rig", fault: Fault, now: Ns) -> None:
    rig.note(now, f"fault {fault} ends")
    for target in _targets(fault):
        rig.fail(target, fault.kind, None, now)


def _targets(fault: Fault) -> tuple[str, ...]:
    return (fault.target, fault.other) if fault.other else (fault.target,)


def of_force(rig: "Rig", force: Force) -> Iterator[tuple[Ns, Act]]:
    """Give a force and its end."""
    yield force.at, lambda now: rig.force(force.tag, force.value, now)
    if force.ends != NEVER:
        yield force.ends, lambda now: rig.force(force.tag, None, now)


def _written(rig: "Rig", write: Write) -> Act:
    return lambda now: rig.panel.write(write, now)


def _of_power(rig: "Rig", power: Power) -> Iterator[tuple[Ns, Act]]:
    yield power.at, lambda now: rig.loop.cut(power.controller, now, on=True)
    if power.duration != NEVER:
        back = Ns(power.at + power.duration)
        yield back, lambda now: rig.loop.cut(power.controller, now, on=False, cold=power.restart == "cold")
