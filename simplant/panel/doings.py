"""All that was done to a machine in a session so far, or is to be done: the scenario of it, growing.

When it is done is session.py. Rule: within an instant the order is that of a scenario (`rig.acts.planned`), so that the
scenario made of these doings gives the same trace.
"""

from collections.abc import Iterator
from dataclasses import replace
from heapq import heappop, heappush

from simplant.faults import Fault
from simplant.rig.acts import Act, planned
from simplant.rig.rig import Rig
from simplant.scenario.model import OPPOSITES, Force, Power, Scenario, Stimulus, Write
from simplant.timebase import NEVER, Ns


class Doings:
    """Stimuli, faults, forces, writes and power cuts, those of a scenario first; what lasts may be ended later.

    Args:
        scenario: what is to happen anyway; its phase is already applied.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.stimuli = list(scenario.stimuli)
        self.faults = list(scenario.faults)
        self.forces = list(scenario.forces)
        self.writes = list(scenario.writes)
        self.power = list(scenario.power)
        self._base = scenario
        self._dues: list[Ns] = []

    def begin(self, rig: Rig) -> None:
        """Note when something is to be done from the beginning."""
        self._dues = sorted(at for at, _ in planned(rig, self.scenario(NEVER)))

    def due(self, since: Ns) -> Ns:
        """Give the first instant at or after another at which something is to be done."""
        while self._dues and self._dues[0] < since:
            heappop(self._dues)
        return self._dues[0] if self._dues else NEVER

    def expect(self, at: Ns) -> None:
        """Something is now to be done at this instant."""
        heappush(self._dues, at)

    def acts_at(self, now: Ns, rig: Rig) -> Iterator[tuple[Ns, Act]]:
        """Give all that is to be done at an instant, in its order."""
        return ((at, act) for at, act in planned(rig, self.scenario(now)) if at == now)

    def scenario(self, until: Ns) -> Scenario:
        """Give a scenario with all that was done up to an instant; what was still to come is left out."""
        return replace(
            self._base,
            stimuli=tuple(s for s in self.stimuli if s.at <= until),
            faults=tuple(f for f in self.faults if f.onset <= until),
            forces=tuple(f for f in self.forces if f.at <= until),
            writes=tuple(w for w in self.writes if w.at <= until),
            power=tuple(p for p in self.power if p.at <= until),
        )

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.stimuli) + len(self.faults) + len(self.forces) + len(self.writes) + len(self.power)

    # What is there, and its end

    def act(self, stimulus: Stimulus) -> None:
        """Somebody acts."""
        self.stimuli.append(stimulus)
        self.expect(stimulus.at)
        if stimulus.duration != NEVER:
            self.expect(Ns(stimulus.at + stimulus.duration))

    def held(self, part: str, at: Ns) -> int:
        """Give the place of the press (or other act with an end) of a part that lasts until it is let go, or -1."""
        place = next((n for n in reversed(range(len(self.stimuli))) if self._begun(n, part, at)), -1)
        if place < 0:
            return -1
        last = self.stimuli[place]
        return place if last.do in OPPOSITES and last.duration == NEVER else -1

    def _begun(self, place: int, part: str, at: Ns) -> bool:
        return self.stimuli[place].on == part and self.stimuli[place].at <= at

    def let_go(self, place: int, end: Ns) -> None:
        """End a press."""
        held = self.stimuli[place]
        self.stimuli[place] = replace(held, duration=Ns(end - held.at))
        self.expect(end)

    def fail(self, fault: Fault) -> None:
        """A fault begins."""
        self.faults.append(fault)
        self.expect(fault.onset)
        self.expect(fault.ends)

    def mend(self, name: str, at: Ns) -> None:
        """End the fault of this name that is there; one that would begin now never does."""
        place = self.fault_on(name, at)
        if place >= 0:
            self._end(self.faults, place, self.faults[place].onset, at)

    def fault_on(self, name: str, at: Ns) -> int:
        """Give the place of the fault of this name that is there or begins now, or -1."""
        return next((n for n, f in enumerate(self.faults) if f.onset <= at < f.ends and str(f) == name), -1)

    def force(self, force: Force) -> None:
        """The bench takes hold of a point."""
        self.forces.append(force)
        self.expect(force.at)

    def free(self, tag: str, at: Ns) -> None:
        """Let a point go."""
        place = self.force_on(tag, at)
        if place >= 0:
            self._end(self.forces, place, self.forces[place].at, at)

    def force_on(self, tag: str, at: Ns) -> int:
        """Give the place of the force that holds a tag, or is to from now on, or -1."""
        return next((n for n, f in enumerate(self.forces) if f.at <= at < f.ends and f.tag == tag), -1)

    def write(self, write: Write) -> None:
        """The operator panel writes."""
        self.writes.append(write)
        self.expect(write.at)

    def cut(self, power: Power) -> None:
        """A controller loses its power."""
        self.power.append(power)
        self.expect(power.at)

    def cut_on(self, controller: str, at: Ns) -> int:
        """Give the place of the cut of a controller's power that lasts, or -1."""
        cuts = enumerate(self.power)
        return next((n for n, p in cuts if p.controller == controller and p.at <= at < p.at + p.duration), -1)

    def feed(self, place: int, at: Ns, *, cold: bool) -> None:
        """End a cut of power."""
        self.power[place] = replace(self.power[place], restart="cold" if cold else "warm")
        self._end(self.power, place, self.power[place].at, at)

    def _end(self, those: list[Fault] | list[Force] | list[Power], place: int, begun: Ns, at: Ns) -> None:
        if begun == at:
            del those[place]
            return
        those[place] = replace(those[place], duration=Ns(at - begun))  # type: ignore[assignment]
        self.expect(at)
