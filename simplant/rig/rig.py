"""The bench: plant and controllers under one clock, stimuli in, trace and verdicts out.

The order of things within an instant is fixed in `_instant`, as the design says it: stimuli; plant,
wires and points until still; filters; scans; publications, and the plant again where an output
changed; rules; trace. Rule: the rig owns time; nothing else decides what comes next.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Final

from simplant.curves import Curve
from simplant.errors import ProgramError, UsageError, nearest
from simplant.faults import Fault, find
from simplant.kernel.controller import Controller
from simplant.part import Part
from simplant.plant.watch import Watch
from simplant.plant.world import Wire, World
from simplant.rig.acts import Acts, plan, plan_fault, plan_force
from simplant.rig.breaches import breaches_of, broken_rules, errors_in, told_so_far
from simplant.rig.judge import Judge, Signals
from simplant.rig.links import Link, build_controllers
from simplant.rig.machine import HANGING, MAIN, Machine
from simplant.rig.names import names_of
from simplant.rig.port import Port
from simplant.rules import Claim, Verdict
from simplant.scenario.check import check_against
from simplant.scenario.model import Force, Scenario
from simplant.scenario.recorder import Recorder
from simplant.scenario.records import alarms_of
from simplant.scenario.trace import Trace
from simplant.timebase import NEVER, Ns
from simplant.values import Value
from simplant.version import VERSION
from simplant.wiring.points import InputPoint, OutputPoint


class Rig:
    """One machine on the bench, for one run.

    Args:
        machine: what to run.
        scenario: what happens to it; by default nothing, for 60 s.
        claims: what is demanded of it; add more with `demand` before the first instant.
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
        claims: Sequence[Claim] = (),
        every_scan: bool = False,
        recorder: Recorder | None = None,
        extra_wakes: Callable[[str, int], bool] | None = None,
    ) -> None:
        self.machine: Final = machine
        self.scenario: Final = scenario or Scenario(machine.name)
        check_against(self.scenario, names_of(machine, claims))
        self.now = Ns(0)
        self.faults: Final = list(self.scenario.faults)
        self.checked = True
        """Nothing happened since the run was last held against its rules."""
        self.acts: Final = Acts()
        self.recorder: Final = recorder or Recorder(self.header_of(machine, self.scenario))
        self.claims: Final = list(claims)
        self._parts = machine.build(self.scenario.parameters)
        for part in self._parts.values():
            part.seed = self.scenario.seed
        self.links: Final[list[Link]] = build_controllers(
            machine, self.scenario, every_scan=every_scan, extra_wakes=extra_wakes
        )
        self.controllers: Final[dict[str, Controller]] = {link.name: link.controller for link in self.links}
        self.main: Final = self.controllers[MAIN]
        self._world: World | None = None
        self._judge: Judge | None = None
        self._moment: dict[int, Any] = {}
        self._notes: list[tuple[Ns, str]] = []
        plan(self, self.scenario)

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
        if self._world is not None:
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
        """Let a part or point fail as the fault says."""
        plan_fault(self, fault)
        self.faults.append(fault)

    def hold(self, force: Force) -> None:
        """Force a point as said."""
        plan_force(self, force)

    def severity(self, fault: Fault) -> float:
        """Give the severity of a fault: its own, or its mode's default."""
        mode = find(self.machine.catalogue, fault.target, fault.kind).mode
        return fault.value if fault.value is not None else mode.value if mode.value is not None else 1.0

    def fail(self, target: str, kind: str, severity: float | None, now: Ns) -> None:
        """Set (or, with None, end) a failure of a part, point or controller."""
        if kind == HANGING.kind and target in self.controllers:
            self.controllers[target].hang(now, on=severity is not None)
            return
        part = self._parts[target]
        if severity is None:
            part.faults.pop(kind, None)
        else:
            part.faults[kind] = severity
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
    def world(self) -> World:
        """The plant; it is built at the first instant."""
        if self._world is None:
            self._begin()
        assert self._world is not None, "_begin builds it"
        return self._world

    @property
    def judge(self) -> Judge:
        """The watchers of the rules."""
        assert self.world is not None, "building the world builds the judge"
        assert self._judge is not None, "_begin builds it"
        return self._judge

    def run(self, length: Ns | None = None, *, progress: Callable[[Ns], None] | None = None) -> "Rig":
        """Run on for so long (by default to the scenario's end), the last instant included.

        Args:
            length: machine time, ns.
            progress: told the instant reached, about a hundred times.
        """
        return self.run_until(Ns(self.now + length) if length is not None else self.scenario.length, progress=progress)

    def run_until(self, until: Ns, *, progress: Callable[[Ns], None] | None = None) -> "Rig":
        """Run on to an instant, that instant included."""
        if self._world is None:
            self._begin()
        self.checked = False
        tell = Ns(self.now + max(1, (until - self.now) // 100)) if progress else NEVER
        while (now := self.next_due()) <= until:
            if now >= tell and progress is not None:
                progress(now)
                tell = Ns(now + max(1, (until - self.now) // 100))
            self._instant(now)
        self.now = until
        return self

    def next_due(self) -> Ns:
        """Give the next instant at which anything can happen."""
        due = min(self.acts.next_due, self.world.next_due(), self.judge.next_due)
        for link in self.links:
            due = min(due, link.controller.next_due())
        return due

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
            raise broken_rules(demanded, self.trace)

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
        assert self.world is not None, "building the world builds the signals"
        if name not in self._signals.index:
            raise UsageError(f"nothing is named {name!r}", mend=nearest(name, self._signals.index))
        value = self._signals.values[self._signals.index[name]]
        return value.at(self.now) if isinstance(value, Curve) else value

    def since(self, name: str) -> Ns:
        """Give the instant since which a tag, chart or truth has its value (a curve: is this curve)."""
        self.value(name)
        return Ns(self._signals.since[self._signals.index[name]])

    @property
    def trace(self) -> Trace:
        """What was recorded so far."""
        return self.recorder.trace()

    # Building

    def _begin(self) -> None:
        machine, parts = self.machine, self._parts
        continuous = frozenset(n for n, v in machine.truths.items() if isinstance(v, Curve))
        shown = _shown_names(parts, self.links)
        self._signals = Signals(shown)
        self._judge = Judge(self.claims, self._signals, continuous)
        wires = [*machine.wires, *self._swaps()]
        for number, (name, level) in enumerate(self._judge.levels()):
            watch = f"watch {number}"
            parts[watch] = Watch(watch, level)
            wires.append(Wire(name, watch, "curve"))
            self._judge.watch(name, f"{watch}.passed")
        self._world = world = World(parts, wires)
        self._routes = self._route(continuous)
        self._is_loud = [n < len(shown) and _is_loud(s, machine.truths) for n, s in enumerate(self._signals.names)]
        for link in self.links:
            link.attach(world)
        world.begin()
        self._first_values()
        self._instant(Ns(0), first=True)

    def _swaps(self) -> list[Wire]:
        """Cross the wires of points that a fault of this run mixes up."""
        pairs = [(f.target, f.other) for f in self.scenario.faults if f.other]
        return [Wire(f"{a}.wire", b, "other") for x, y in pairs for a, b in ((x, y), (y, x))]

    def _route(self, continuous: frozenset[str]) -> dict[str, tuple[int, tuple[Any, ...]]]:
        """Say for each signal of the plant where it goes: its number, and controllers that hear it."""
        routes: dict[str, tuple[int, tuple[Any, ...]]] = {}
        for name in [f"{p.name}.{t}" for p in self._parts.values() for t in p.outputs]:
            part, _, terminal = name.rpartition(".")
            seen = part if terminal == "level" and isinstance(self._parts[part], InputPoint) else name
            hearers = tuple(h for link in self.links for h in link.hearers(name))
            number = self._signals.index.get(seen, -1)
            if number >= 0 or hearers:
                routes[name] = (number, hearers)
        return routes

    def _first_values(self) -> None:
        """Put every signal's first value in place; controllers hear the levels at their terminals."""
        signals = self._signals
        for part in self._parts.values():
            for terminal, value in part.outputs.items():
                number, hearers = self._routes.get(f"{part.name}.{terminal}", (-1, ()))
                if number >= 0:
                    signals.values[number] = value
                for hear in hearers:
                    hear(value, Ns(0))
        for link in self.links:
            for name, value in link.first_values():
                signals.values[signals.index[name]] = value
        self.world.changes.clear()

    # One instant

    def _instant(self, now: Ns, *, first: bool = False) -> None:
        self.now = now
        world, links = self._world, self.links
        assert world is not None, "_begin comes first"
        self.acts.take(now)
        world.advance(now)
        scanned = False
        while True:
            world.settle(now)
            if world.changes:
                self._hear(now)
            for link in links:
                link.controller.settle_filters(now)
                if not scanned:
                    link.controller.scan(now)
            scanned = True
            if not any([link.publish(now, self._moment) for link in links]):
                break
        for link in links:
            link.collect(now, self._moment, self._notes)
        if first:
            self._record_first()
            return
        self._record(now)

    def _hear(self, now: Ns) -> None:
        """Pass on what changed in the plant."""
        routes, moment, changes = self._routes, self._moment, self.world.changes
        for name, value in changes:
            route = routes.get(name)
            if route is not None:
                if route[0] >= 0:
                    moment[route[0]] = value
                for hear in route[1]:
                    hear(value, now)
        changes.clear()

    def _record(self, now: Ns) -> None:
        """Phases 7 and 8: keep what really changed, let the rules look, write the trace."""
        signals, judge, recorder = self._signals, self._judge, self.recorder
        assert judge is not None, "_begin comes first"
        changed: list[int] = []
        if self._moment:
            values, since, names, loud = signals.values, signals.since, signals.names, self._is_loud
            for number, value in self._moment.items():
                if values[number] != value:
                    values[number] = value
                    since[number] = now
                    changed.append(number)
                    if loud[number]:
                        recorder.change(now, names[number], value)
                    elif isinstance(value, Curve):
                        judge.new_piece(names[number], now)
            self._moment.clear()
        for when, text in self._notes:
            recorder.event(when, text)
        self._notes.clear()
        if changed or now >= judge.next_due:
            judge.look(now, changed)
        recorder.spill()

    def _record_first(self) -> None:
        """Write the state at the first instant: every shown signal."""
        values, names = self._signals.values, self._signals.names
        for number, value in self._moment.items():
            values[number] = value
        self._moment.clear()
        for number, name in enumerate(names):
            if self._is_loud[number]:
                self.recorder.change(Ns(0), name, values[number])
        for when, text in self._notes:
            self.recorder.event(when, text)
        self._notes.clear()
        self.judge.begin(Ns(0))


def _shown_names(parts: Mapping[str, Part], links: Iterable[Link]) -> list[str]:
    """Give the names of all signals that rules may speak of: tags first, then truths."""
    names = [name for link in links for name in link.names]
    for part in parts.values():
        if not isinstance(part, InputPoint | OutputPoint | Port):
            names += [f"{part.name}.{terminal}" for terminal in part.outputs]
    return names


def _is_loud(name: str, truths: Mapping[str, Any]) -> bool:
    """Say whether a signal stands in the trace: tags, and truths that are no measured numbers."""
    return name not in truths or isinstance(truths[name], bool | int | str)
