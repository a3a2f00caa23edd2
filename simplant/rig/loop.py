"""The instants of a run, one after the other: the order of things within each is fixed here.

Stimuli; plant, wires and points until still; filters; scans; publications, and the plant again where an output
changed; rules; trace. What a run is for is rig.py. Rule: a phase is gone through only where something
is due in it, and leaving it out never changes a trace.
"""

from collections.abc import Callable
from typing import Any, Final

from simplant.curves import Curve
from simplant.kernel.controller import Controller
from simplant.kernel.task import Task
from simplant.part import Part
from simplant.plant.watch import Watch
from simplant.plant.world import World
from simplant.rig.acts import Acts
from simplant.rig.blueprint import POWER, Blueprint, Desk, watch_name
from simplant.rig.judge import Judge
from simplant.rig.machine import MAIN
from simplant.rig.port import Port
from simplant.rig.signals import Signals
from simplant.rules.settle import RACE, UNREST, settles
from simplant.scenario.recorder import Recorder
from simplant.timebase import NEVER, Ns
from simplant.values import Value

ACTS: Final = -1
"""Place of the next act in the list of dues; before it, one for each controller."""


class Link:
    """One controller hanging in the plant: what it is told, and where its outputs go."""

    __slots__ = ("controller", "cut", "desk", "fed", "name", "port", "world")

    def __init__(self, desk: Desk, controller: Controller, world: World) -> None:
        self.name: Final = desk.plan.name
        self.desk: Final = desk
        self.controller: Final = controller
        self.world: Final = world
        port = world.parts.get(self.name)
        self.port = port if isinstance(port, Port) else None
        self.fed = not desk.plan.supply
        """Its supply is there."""
        self.cut = False
        """Its own power is cut, whatever its supply."""

    def step(self, now: Ns, moment: dict[int, Any], *, scanning: bool) -> Ns:
        """Take the controller through an instant, outputs into the plant; say when it next has something to do."""
        controller, numbers = self.controller, self.desk.numbers
        for name, value in controller.step(now, scanning=scanning):
            moment[numbers[name]] = value
            if self.port is None:
                self.world.feed(name, "level", value)
            else:
                self.port.driven[name] = value
                self.world.touch(self.name)
        for name, value in controller.collect():
            moment[numbers[name]] = value
        return controller.next_due()

    def power(self, now: Ns, *, cold: bool | None = None) -> None:
        """Give it power, or take it, as supply and cut say."""
        self.controller.power(now, on=self.fed and not self.cut, cold=cold)

    def word(self, name: str, value: Value) -> Value:
        """Give a chart's number as the name of its step; anything else as it is."""
        words = self.desk.words.get(name)
        return words[int(value)] if words else value


class Loop:
    """Plant, controllers, rules and recorder of one run, under one clock."""

    def __init__(
        self,
        blueprint: Blueprint,
        parts: dict[str, Part],
        controllers: dict[str, Controller],
        acts: Acts,
        recorder: Recorder,
        notes: list[tuple[Ns, str]],
    ) -> None:
        for number, (_, level) in enumerate(blueprint.watches):
            parts[watch_name(number)] = Watch(watch_name(number), level)
        self.blueprint: Final = blueprint
        self.acts: Final = acts
        self.recorder: Final = recorder
        self.notes: Final = notes
        self.world: Final = World(parts, blueprint.network)
        self.signals: Final = Signals(blueprint.names)
        self.judge: Final = Judge(blueprint.docket, self.signals)
        self.links: Final = [Link(desk, controllers[desk.plan.name], self.world) for desk in blueprint.desks]
        self._controllers: Final = [link.controller for link in self.links]
        self._dues: Final = [Ns(0)] * (len(self.links) + 1)
        self._moment: dict[int, Any] = {}
        self._races: set[str] = set()
        self.now = Ns(0)

    def begin(self) -> None:
        """Settle the first instant, and write down the state in it."""
        for link in self.links:
            link.power(Ns(0))
        self.world.begin()
        self._first_values()
        self.world.changes.clear()
        self._stir(Ns(0))
        self._phases(Ns(0))
        self._end_scans(Ns(0))
        self._write_first()
        self.judge.begin(Ns(0))

    def run_until(self, until: Ns, tell: Callable[[Ns], Ns] | None = None) -> None:
        """Settle every instant up to one, that one included; `tell` says when it wants to be told again."""
        world, judge, dues = self.world, self.judge, self._dues
        wanted = NEVER if tell is None else self.now
        self._stir(self.now)
        while True:
            now = min(dues)
            if world.due < now:
                now = world.due
            if judge.next_due < now:
                now = judge.next_due
            if now > until:
                break
            if now >= wanted and tell is not None:
                wanted = tell(now)
            self.now = now
            self._phases(now)
            if self._moment or self.notes or now >= judge.next_due:
                self._write(now)
        self.now = until
        self._end_scans(until)

    def cut(self, controller: str, now: Ns, *, on: bool, cold: bool | None = None) -> None:
        """Cut a controller's own power, or end the cut: then it restarts as said, or as it is set to."""
        link = next(link for link in self.links if link.name == controller)
        link.cut = on
        link.power(now, cold=cold)

    # Phases 1 to 6

    def _phases(self, now: Ns) -> None:
        world = self.world
        if self._dues[ACTS] <= now:
            self.acts.take(now)
            self._stir(now)
        if world.due <= now:
            world.advance(now)
        self._round(now, scanning=True)
        while world.dirty:
            self._end_scans(now)
            self._round(now, scanning=False)

    def _round(self, now: Ns, *, scanning: bool) -> None:
        """Let the plant come to rest, then the controllers act; what they drive makes the next round."""
        world, dues = self.world, self._dues
        if world.dirty:
            world.settle(now)
        if world.changes:
            self._hear(now)
        for at, link in enumerate(self.links):
            if dues[at] <= now:
                self._step(at, link, now, scanning=scanning)

    def _step(self, at: int, link: Link, now: Ns, *, scanning: bool) -> None:
        self._dues[at] = link.step(now, self._moment, scanning=scanning)
        if events := link.controller.events:
            self.notes.extend((e.time, f"{link.name}: {e.kind.value}: {e.text}") for e in events)
            events.clear()
        if suspects := link.controller.suspects:
            for task in suspects:
                self._look_for_race(link, task)
            suspects.clear()

    def _end_scans(self, now: Ns) -> None:
        """What comes later in this instant waits for the next scan, whether or not there was one."""
        for controller in self._controllers:
            controller.pass_by(now)

    def _stir(self, now: Ns) -> None:
        """Somebody acted: look at every controller, and at the acts to come."""
        self._dues[:] = [*([now] * len(self.links)), self.acts.next_due]

    def _hear(self, now: Ns) -> None:
        """Pass on what changed in the plant, to the record and to the controllers."""
        routes, moment, changes = self.blueprint.routes, self._moment, self.world.changes
        for name, value in changes:
            route = routes[name]
            if route.number >= 0:
                moment[route.number] = value
            for at, which in route.hearers:
                self._tell(at, which, value, now)
        changes.clear()

    def _tell(self, at: int, which: int, value: Any, now: Ns) -> None:
        self._dues[at] = now
        if which == POWER:
            self.links[at].fed = bool(value)
            self.links[at].power(now)
        else:
            self._controllers[at].set_input(which, value, now)

    def _look_for_race(self, link: Link, task: Task) -> None:
        """Hold inputs and time on a copy of a program; note, once, what then goes on changing."""
        if task.image is None or task.executable.restless:
            return
        slots, free = task.executable.slots, link.desk.plan.program.free_running
        found = settles(task.executable.tried or task.run, task.image, task.state, self.now, slots, free)
        if found is not None:
            told = f"{link.name}: {RACE if found.is_race else UNREST}: {found.told()}"
            if told not in self._races:
                self._races.add(told)
                self.notes.append((self.now, told))

    # Phases 7 and 8

    def _write(self, now: Ns) -> None:
        """Keep what really changed, write the trace, let the rules look."""
        changed: list[int] = []
        if self._moment:
            signals, told, append = self.signals, self.blueprint.told, self.recorder.append
            values, since, kept = signals.values, signals.since, signals.kept
            for number, value in self._moment.items():
                if values[number] != value:
                    values[number] = value
                    since[number] = now
                    changed.append(number)
                    if name := told[number]:
                        append((now, name, value))
                    elif number in kept:
                        kept[number].append((now, value))
            self._moment.clear()
        if self.notes:
            self._write_notes()
        if changed or now >= self.judge.next_due:
            self.judge.look(now, changed)
        self.recorder.spill()

    def _write_notes(self) -> None:
        for when, text in self.notes:
            self.recorder.event(when, text)
        self.notes.clear()

    # The first instant

    def _first_values(self) -> None:
        """Put every signal's first value in place; controllers hear the levels at their terminals."""
        values, parts = self.signals.values, self.world.parts
        for route in self.blueprint.routes.values():
            value = parts[route.part].outputs[route.terminal]
            if route.number >= 0:
                values[route.number] = value
            for at, which in route.hearers:
                self._tell(at, which, value, Ns(0))
        for link in self.links:
            numbers = link.desk.numbers
            for name in (*link.desk.plan.outputs, *link.desk.inner):
                values[numbers[name]] = link.word(name, link.controller.value(name))

    def _write_first(self) -> None:
        """Write the state at the first instant: every shown signal."""
        values = self.signals.values
        for number, value in self._moment.items():
            values[number] = value
        self._moment.clear()
        append = self.recorder.append
        for name, value in zip(self.blueprint.told, values, strict=True):
            if name:
                append((Ns(0), name, value))
        self._write_notes()

    def value(self, name: str) -> Any:
        """Give the present value of a signal; a continuous truth as a number."""
        value = self.signals.value(name)
        return value.at(self.now) if isinstance(value, Curve) else value


__all__ = ["MAIN", "Link", "Loop"]
