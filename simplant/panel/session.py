"""A machine run live: brought on by so much time, one scan or one step, and acted on in between by hand.

The wall clock is the screen's affair; what was done is doings.py. Rule: the bench stands just before `at`, and all that
is done happens at `at`, so a saved session replays to the same trace.
"""

from dataclasses import replace
from pathlib import Path
from typing import Final

from simplant.blocks.steps import STEP
from simplant.errors import SimplantError
from simplant.faults import SWAPPED, CatalogueEntry, Fault
from simplant.kernel.mode import Mode
from simplant.panel.doings import Doings
from simplant.rig.kept import kept_of
from simplant.rig.machine import MAIN, Machine
from simplant.rig.names import names_of
from simplant.rig.rig import Rig
from simplant.scenario.check import check_against
from simplant.scenario.model import Expect, Force, Power, Scenario, State, Stimulus, Write
from simplant.scenario.records import alarms_of
from simplant.scenario.trace import Trace
from simplant.scenario.write import as_text, write_scenario
from simplant.timebase import NEVER, Ns, ms
from simplant.values import TIME, Value

GRID: Final = ms(1)
"""Whatever is done by hand happens on whole milliseconds."""

TAP: Final = ms(200)
"""How long a short press lasts."""

LONGEST_STEP: Final = ms(60_000)
"""How far one goes for the next step at most."""


class Session:
    """One run by hand.

    Args:
        machine: what to run.
        scenario: what happens besides, where it starts from (seed, parameters, retained memory); nothing
            by default. Ties are never shuffled: what is done by hand cannot be drawn in the order of a scenario.

    Raises:
        ScenarioError: the scenario does not fit the machine.
    """

    def __init__(self, machine: Machine, scenario: Scenario | None = None) -> None:
        self.machine: Final = machine
        self.base: Final = replace(scenario or Scenario(machine.name), ties=0)
        check_against(self.base, names_of(machine, machine.rules))
        self.main_period: Final = min(setup.period for setup, _ in machine.controllers[0].tasks)
        blocks = (item for layout in machine.controllers[0].layouts for item in layout.blocks.items())
        self._flags: Final = [name for name, block in blocks if block is STEP]
        self._begin(self.base.shifted())

    def _begin(self, happens: Scenario) -> None:
        self.doings = Doings(happens)
        plain = replace(happens, stimuli=(), faults=(), forces=(), writes=(), power=(), expect=Expect())
        self.rig = Rig(self.machine, plain)
        self.at = Ns(0)
        self.broken: SimplantError | None = None
        """What ended the run: a plant that does not come to rest, an act that it cannot take."""
        self.doings.begin(self.rig)
        self._show_faults()
        self.advance(GRID)

    def begin_anew(self) -> None:
        """Begin the run anew, with nothing done; wires that were mixed up stay so."""
        swaps = tuple(fault for fault in self.doings.faults if fault.other)
        happens = self.base.shifted()
        self._begin(replace(happens, faults=(*(f for f in happens.faults if not f.other), *swaps)))

    # Time

    def advance(self, to: Ns) -> None:
        """Settle everything before an instant, which is then the present one."""
        while self.at < to and self.broken is None:
            due = self.doings.due(self.at)
            if due == self.at:
                self._do_at(due)
                due = self.doings.due(Ns(due + 1))
            self._run(Ns(min(due, to) - 1))
            self.at = Ns(min(due, to))

    def _do_at(self, now: Ns) -> None:
        self.rig.acts.extend(self.doings.acts_at(now, self.rig))
        self._show_faults()

    def _show_faults(self) -> None:
        """Let the bench know of the faults and forces so far, as it judges broken rules by them."""
        cuts = [power.fault for power in self.doings.power]
        self.rig.faults[:] = [*self.doings.faults, *cuts]
        self.rig.forces[:] = self.doings.forces

    def _run(self, until: Ns) -> None:
        try:
            self.rig.run_until(until)
        except SimplantError as error:
            self.broken = error

    def scan(self) -> None:
        """Go on by one scan: up to just before the next but one."""
        self.advance(self._after_next_scan())

    def _after_next_scan(self) -> Ns:
        if self.rig.main.mode is not Mode.RUNNING:
            return Ns(self.at + self.main_period)
        ends = []
        for task in self.rig.main.tasks:
            k = task.first_from(self.at)
            ends.append(task.start(k + 1))
        return Ns(max(min(ends), self.at + 1))

    def step(self) -> bool:
        """Go on scan by scan until a step changes, a minute at most; say whether one did."""
        last, before = self.at + LONGEST_STEP, self.steps()
        while before and self.at < last and self.broken is None and self.steps() == before:
            self.scan()
        return self.steps() != before

    def steps(self) -> tuple[str, ...]:
        """Give the active steps: of each sequence one, of charts that may have several all."""
        value = self.rig.value
        several = (name for name in self._flags if self.rig.main.value(f"{name}.X"))
        return (*(f"{name}: {value(name)}" for name in self.machine.program.charts), *several)

    # What people do

    def do(self, part: str, action: str, value: float | str | None = None, *, lasts: Ns = NEVER) -> None:
        """Let somebody act on a part now; `lasts`: the opposite follows after that time."""
        self.doings.act(Stimulus(self.at, part, action, value, lasts))

    def let_go(self, part: str, *, least: Ns = GRID) -> None:
        """End a press (or what else has an end) of a part, once it has lasted `least`."""
        place = self.doings.held(part, self.at)
        if place >= 0:
            self.doings.let_go(place, Ns(max(self.at, self.doings.stimuli[place].at + least)))

    def holds(self, part: str) -> bool:
        """Say whether somebody presses a part and has not let go."""
        return self.doings.held(part, self.at) >= 0

    def write(self, tag: str, value: Value) -> None:
        """Send a memory tag from the operator panel."""
        self.doings.write(Write(self.at, tag, value))

    # What the bench does

    def force(self, tag: str, value: Value | None) -> None:
        """Force a point, or let it go (None)."""
        self.doings.free(tag, self.at)
        if value is not None:
            self.doings.force(Force(self.at, tag, value))

    def forced(self, tag: str) -> Value | None:
        """Give what a point is forced to, or None."""
        place = self.doings.force_on(tag, self.at)
        return self.doings.forces[place].value if place >= 0 else None

    def fault(self, entry: CatalogueEntry, *, on: bool) -> None:
        """Let a fault of the catalogue begin, or end it; one that mixes up wires begins the run anew."""
        if on == self.has_fault(entry):
            return
        if entry.mode is SWAPPED:
            self._swap(entry, on=on)
        elif on:
            self.doings.fail(entry.fault(self.at, NEVER))
        else:
            self.doings.mend(str(entry), self.at)

    def _swap(self, entry: CatalogueEntry, *, on: bool) -> None:
        before = [fault for fault in self.doings.faults if fault.other and str(fault) != str(entry)]
        swaps = [*before, entry.fault(Ns(0))] if on else before
        self.doings.faults = swaps
        self.begin_anew()

    def has_fault(self, entry: CatalogueEntry) -> bool:
        """Say whether a fault of the catalogue is there."""
        return self.doings.fault_on(str(entry), self.at) >= 0

    def power(self, controller: str = MAIN, *, cold: bool = False) -> None:
        """Cut a controller's power, or give it back: then it restarts warm or cold."""
        place = self.doings.cut_on(controller, self.at)
        if place < 0:
            self.doings.cut(Power(self.at, controller))
        else:
            self.doings.feed(place, self.at, cold=cold)

    def is_cut(self, controller: str = MAIN) -> bool:
        """Say whether the bench has cut a controller's power."""
        return self.doings.cut_on(controller, self.at) >= 0

    def faults_on(self) -> list[Fault]:
        """Give the faults that are there now."""
        return [fault for fault in self.doings.faults if fault.onset <= self.at < fault.ends]

    # What stays

    def kept(self) -> dict[str, Value]:
        """Give the retained memory as it now is, times as text."""
        types = {name: tag.type for name, tag in self.machine.program.declared.items()}
        kept = kept_of(self.rig.main)
        return {n: as_text(Ns(int(v))) if types.get(n) is TIME and int(v) >= 0 else v for n, v in kept.items()}

    def recorded(self, title: str = "") -> tuple[Scenario, Trace]:
        """Settle the present instant; give all so far as a scenario that expects what came of it, and its trace."""
        if self.broken is None:
            now = self.at
            self.advance(Ns(now + 1))
        else:
            now = Ns(max(self.rig.now, 1))
        trace = self.rig.trace
        came = alarms_of(trace, self.machine.alarm_texts)
        steps = {chart: str(self.rig.value(chart)) for chart in self.machine.program.charts}
        first = next((alarm.name for alarm in came if alarm.first_out), None)
        expect = Expect(alarms=tuple(alarm.name for alarm in came), first_out=first, end=State(steps=steps))
        done = replace(self.doings.scenario(now), length=now, phase=Ns(0))
        self.advance(Ns(-(-self.at // GRID) * GRID))
        return replace(done, title=title or f"By hand: {self.base.title or self.machine.name}", expect=expect), trace

    def save(self, path: Path) -> None:
        """Write the session as a scenario, and its trace beside it; raises `UsageError` if they cannot be written."""
        scenario, trace = self.recorded()
        write_scenario(scenario, path)
        trace.write(path.with_suffix(".trace"))
