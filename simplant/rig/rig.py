"""The bench: one machine under test for one run, and all that one may do to it or ask of it.

The order of things within an instant is loop.py; judging is outcome.py. Rule: the rig owns time;
what happens from outside is planned as an act for an instant, never done in between.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from simplant.errors import ProgramError, ScenarioError, SimplantError, UsageError, nearest
from simplant.faults import POWER_CUT, Fault
from simplant.kernel.controller import Controller
from simplant.plant.world import World
from simplant.rig.acts import Acts, of_fault, of_force, planned
from simplant.rig.blueprint import blueprint_of
from simplant.rig.breaches import breaches_of, broken_rules, errors_in, told_so_far
from simplant.rig.common_causes import Causes
from simplant.rig.judge import Judge
from simplant.rig.loop import Loop
from simplant.rig.machine import HANGING, MAIN, ControllerPlan, Machine
from simplant.rig.names import names_of
from simplant.rig.panel import PANEL, Panel
from simplant.rules import Claim, Verdict
from simplant.scenario.check import check_against
from simplant.scenario.model import Force, Scenario
from simplant.scenario.recorder import Recorder
from simplant.scenario.records import alarms_of
from simplant.scenario.trace import Trace
from simplant.tags import Tag
from simplant.timebase import Ns, duration
from simplant.values import TIME, Value
from simplant.version import VERSION


class Rig:
    """One machine on the bench, for one run.

    Args:
        machine: what to run.
        scenario: what happens to it; by default nothing, for 60 s.
        claims: what is demanded of it; None means the rules of the machine, `()` nothing. Add more with `demand` before
            the first instant.
        every_scan: never sleep (the trace is the same).
        recorder: where changes go; by default memory.
        extra_wakes: for tests: wake sleeping tasks now and then.

    Raises:
        ScenarioError: the scenario names something that the machine does not have.
    """

    def __init__(
        self,
        machine: Machine,
        scenario: Scenario | None = None,
        *,
        claims: Sequence[Claim] | None = None,
        every_scan: bool = False,
        recorder: Recorder | None = None,
        extra_wakes: Callable[[str, int], bool] | None = None,
    ) -> None:
        self.machine: Final = machine
        self.scenario: Final = scenario or Scenario(machine.name)
        self.claims: Final = list(machine.rules if claims is None else claims)
        check_against(self.scenario, names_of(machine, self.claims))
        happens = self.scenario.shifted()
        self.faults: Final = list(happens.all_faults)
        self.forces: Final = list(happens.forces)
        self.checked = True
        """Nothing happened since the run was last held against its rules."""
        self.acts: Final = Acts(self.scenario.ties)
        self.recorder: Final = recorder or Recorder(self.header_of(machine, self.scenario))
        self._parts = machine.build(self.scenario.parameters)
        for part in self._parts.values():
            part.seed = self.scenario.seed
        self.controllers: Final[dict[str, Controller]] = {
            plan.name: _controller(plan, self.scenario, sleep=not every_scan, extra_wakes=extra_wakes)
            for plan in machine.controllers
        }
        self.main: Final = self.controllers[MAIN]
        self._notes: list[tuple[Ns, str]] = []
        self._causes: Final = Causes()
        self.panel: Final = Panel(machine.file.machine.panel, self.main, self.acts, self._notes)
        self._loop: Loop | None = None
        _remember(self.main, self.scenario, machine.program.declared)
        self.acts.extend(planned(self, happens))

    @staticmethod
    def header_of(machine: Machine, scenario: Scenario) -> dict[str, str]:
        """What stands above a trace: shown, never compared."""
        return {
            "machine": machine.name,
            "scenario": scenario.title,
            "seed": str(scenario.seed),
            "length": f"{scenario.length / 1e9:g} s",
            "program": machine.digest,
            "simplant": VERSION,
        }

    # Before and during a run

    def demand(self, *claims: Claim) -> None:
        """Add demands; only before the first instant."""
        if self._loop is not None:
            raise UsageError("a demand came after the run began", mend="demand first, then run")
        self.claims.extend(claims)

    def press(self, button: str, *, at: Ns | None = None, for_: Ns | None = None) -> None:
        """Press a button part, now or at an instant, and let go after `for_` if that is given."""
        self.do(button, "press", at=at)
        if for_ is not None:
            self.do(button, "release", at=Ns((self.now if at is None else at) + for_))

    def do(self, part: str, action: str, value: float | str | None = None, *, at: Ns | None = None) -> None:
        """Let somebody act on a part (one of its actions), now or at an instant."""
        if part not in self._parts:
            raise UsageError(f"there is no part {part!r}", mend=nearest(part, self._parts))
        if action not in self._parts[part].ACTIONS:
            raise UsageError(f"{part!r} has no action {action!r}", mend=nearest(action, self._parts[part].ACTIONS))

        def act(now: Ns) -> None:
            self._parts[part].act(action, value, now)
            self.world.touch(part)

        self.acts.at(self.now if at is None else at, act)

    def inject(self, fault: Fault) -> None:
        """Let a part or point fail as the fault says; wires are swapped only before the first instant."""
        if fault.other and self._loop is not None:
            raise UsageError(f"{fault} came after the run began", mend="inject it first, with a later onset, then run")
        self.acts.extend(of_fault(self, fault))
        self.faults.append(fault)

    def hold(self, force: Force) -> None:
        """Force a point as said."""
        self.acts.extend(of_force(self, force))
        self.forces.append(force)

    def severity(self, fault: Fault) -> float:
        """Give the severity of a fault: its own, or its mode's default."""
        value = self.machine.mode(fault.target, fault.kind).value if fault.value is None else fault.value
        return 1.0 if value is None else value

    def fail(self, target: str, kind: str, severity: float | None, now: Ns) -> None:
        """Set (or, with None, end) a failure of a part, point or controller, or of all that a common cause fails."""
        if members := self.machine.common_causes.get((target, kind)):
            for name, of_its_own in members:
                self.fail(name, of_its_own, severity, now)
            return
        if kind == HANGING.kind and target in self.controllers:
            self.controllers[target].hang(now, on=severity is not None)
            return
        if kind == POWER_CUT.kind and target in self.controllers:
            self.loop.cut(target, now, on=severity is not None)
            return
        faults = self.panel.faults if target == PANEL else self._parts[target].faults
        self._causes.change(faults, (target, kind), severity)
        if target != PANEL:
            self.world.touch(target)

    def force(self, tag: str, value: Value | None, now: Ns) -> None:
        """Force a point of the main controller, or let it go (None)."""
        self.note(now, f"force {tag} = {value}" if value is not None else f"force on {tag} let go")
        self.main.force(tag, value, now)

    def note(self, now: Ns, text: str) -> None:
        """Note an event for the trace."""
        self._notes.append((now, text))

    # Time

    @property
    def now(self) -> Ns:
        """The instant reached."""
        return Ns(0) if self._loop is None else self._loop.now

    @property
    def loop(self) -> Loop:
        """The running bench; it is built, and settles its first instant, when it is first asked for."""
        if self._loop is None:
            swaps = [(f.target, f.other) for f in self.faults if f.other]
            blueprint = blueprint_of(self.machine, self.claims, swaps)
            self._loop = Loop(blueprint, self._parts, self.controllers, self.acts, self.recorder, self._notes)
            self._loop.world.ties = self.scenario.ties
            self._loop.begin()
        return self._loop

    @property
    def world(self) -> World:
        """The plant."""
        return self.loop.world

    @property
    def judge(self) -> Judge:
        """The watchers of the rules."""
        return self.loop.judge

    def run(self, length: Ns | None = None, *, progress: Callable[[Ns], None] | None = None) -> "Rig":
        """Run on for so long (by default to the scenario's end), the last instant included.

        Args:
            length: machine time, ns.
            progress: told the instant reached, about a hundred times.
        """
        return self.run_until(Ns(self.now + length) if length is not None else self.scenario.length, progress=progress)

    def run_until(self, until: Ns, *, progress: Callable[[Ns], None] | None = None) -> "Rig":
        """Run on to an instant, that instant included."""
        self.checked = False
        loop, step = self.loop, Ns(max(1, (until - self.now) // 100))

        def tell(now: Ns) -> Ns:
            if progress is not None:
                progress(now)
            return Ns(now + step)

        loop.run_until(until, tell if progress else None)
        return self

    def finish(self) -> tuple[Verdict, ...]:
        """Judge the run up to now."""
        return self.judge.finish(self.now)

    def check(self) -> None:
        """Hold the run so far against its rules; the run may go on.

        Raises:
            ProgramError: a controller's program failed.
            RuleBroken: a demanded rule is broken; notes tell since when, and what happened around it.
        """
        self.checked = True
        if errors := errors_in(self.trace):
            raise ProgramError(errors[0].text)
        verdicts = self.judge.so_far(self.now)
        demanded = breaches_of(verdicts, self.claims, self.faults, self.machine.hazards).demanded
        if demanded:
            raise broken_rules(demanded, self.trace, self.faults, self.forces)

    def told(self) -> str:
        """Tell where the run is: the charts, the alarms, the rules broken so far, and the last changes."""
        charts = [f"{name} is {self.value(name)}" for name in self.machine.program.charts]
        return told_so_far(self.machine.name, self.now, charts, self.alarms, self.judge.so_far(self.now), self.trace)

    def verdict(self, rule: str) -> Verdict:
        """Give what became of a rule so far; raises `UsageError` if there is none of that name."""
        verdicts = {v.rule: v for v in self.judge.so_far(self.now)}
        if rule not in verdicts:
            raise UsageError(f"no rule {rule!r} is demanded", mend=nearest(rule, verdicts))
        return verdicts[rule]

    @property
    def alarms(self) -> tuple[str, ...]:
        """Names of the alarms that came so far, in order."""
        return tuple(a.name for a in alarms_of(self.trace, self.machine.alarm_texts))

    @property
    def first_out(self) -> str:
        """The alarm that came first while no other was there, of the latest such; "" if none came."""
        return next((a.name for a in reversed(alarms_of(self.trace, self.machine.alarm_texts)) if a.first_out), "")

    def value(self, name: str) -> Any:
        """Give the present value of a tag, chart or truth; a continuous truth as a number."""
        known = self.loop.blueprint.names.index
        if name not in known:
            raise UsageError(f"nothing is named {name!r}", mend=nearest(name, known))
        return self.loop.value(name)

    def since(self, name: str) -> Ns:
        """Give the instant since which a tag, chart or truth has its value (a curve: is this curve)."""
        self.value(name)
        return self.loop.signals.since_when(name)

    @property
    def trace(self) -> Trace:
        """What was recorded so far."""
        return self.recorder.trace()


def _remember(controller: Controller, scenario: Scenario, tags: Mapping[str, Tag]) -> None:
    """Let the controller hold what the scenario says it kept from before."""
    for name, value in scenario.retained.items():
        place = scenario.places.of(("retained", name))
        if controller.setup.restart == "cold":
            raise ScenarioError(
                "the controller keeps nothing", '[controller] says restart = "cold"', "leave out [retained]", place
            )
        try:
            kind = tags[name].type if name in tags else None
            held = duration(value) if kind is TIME and isinstance(value, str) else value
            controller.remember({name: held if kind is None else kind.check(held)})
        except SimplantError as error:
            raise ScenarioError(error.what, error.why, error.mend, place) from None


def _controller(
    plan: ControllerPlan, scenario: Scenario, *, sleep: bool, extra_wakes: Callable[[str, int], bool] | None
) -> Controller:
    setup = replace(plan.setup, seed=scenario.seed, sleep=sleep)
    tasks = plan.scanning(scenario.scans[plan.name]) if plan.name in scenario.scans else plan.tasks
    return Controller(setup, tasks, plan.inputs, plan.outputs, plan.safe, extra_wakes=extra_wakes)
