"""One controller: what happens to it at an instant, in the order of the phases.

Filters are in image.py, publications in outputs.py, grids and rest in task.py, memory shared by tasks
in memory.py, the reasons for staying awake in rest.py. The rig says what time it is and calls, at every
instant it settles: power, force, write, set_input; settle_filters; scan; publish. Rule: what a caller
can see (publications, changes, events) is the same whether scans are slept through or not.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar, Final

from simplant.errors import ProgramError, UsageError, nearest
from simplant.kernel.event import Event, EventKind
from simplant.kernel.executable import Executable
from simplant.kernel.image import InputImage
from simplant.kernel.memory import Memory
from simplant.kernel.mode import Mode
from simplant.kernel.outputs import OutputStage
from simplant.kernel.processor import Cause, Processor, Trip
from simplant.kernel.rest import who_is_restless, why_awake
from simplant.kernel.setup import ControllerSetup, TaskSetup
from simplant.kernel.task import admit
from simplant.timebase import NEVER, Ns, show
from simplant.values import Value


class Controller:
    """A controller with its tasks, inputs and outputs. Without power until `power` is called.

    Args:
        setup: its settings.
        tasks: its tasks with their programs, in declared order.
        inputs: names of its input tags.
        outputs: names of its output tags.
        safe: value of each output when de-energised; FALSE for one not named.
        extra_wakes: for tests: (task, k) -> True where a sleeping task is to scan all the same.
    """

    PROCESSOR: ClassVar[type[Processor]] = Processor

    def __init__(
        self, setup: ControllerSetup, tasks: Sequence[tuple[TaskSetup, Executable]],
        inputs: Sequence[str], outputs: Sequence[str], safe: Mapping[str, Value],
        *, extra_wakes: Callable[[str, int], bool] | None = None,
    ) -> None:  # fmt: skip
        """Raise `UsageError` or `ProgramError` if tasks, tags and settings do not fit together."""
        self.setup: Final = setup
        awake = why_awake([timing for timing, _ in tasks]) if setup.sleep else "sleeping is switched off"
        self.why_awake: Final = awake or who_is_restless(tasks)
        """Why no task ever sleeps, or which ones do not; empty if all may."""
        self._image = InputImage(inputs, setup)
        self._outputs = OutputStage(outputs, safe)
        self.tasks: Final = admit(setup, tasks, self._image.index, self._outputs.index, sleepy=not awake)
        """In order of priority; for looking, not for touching."""
        self._memory = Memory(self.tasks)
        self._readers = [[task for task in self.tasks if name in task.executable.inputs] for name in inputs]
        self._processor = self.PROCESSOR(self.tasks, self._image, self._memory, self._outputs, setup, extra_wakes)
        self.events: Final = self._processor.events
        """What happened; whoever has read it may clear it."""
        self.suspects: Final = self._processor.suspects
        """Tasks that do not rest though no input changes: races, if held time shows it. To be cleared likewise."""
        self.mode = Mode.OFF
        self.error: ProgramError | None = None
        """What the program raised, after a program error."""
        self._turn: Ns = NEVER  # when the boot ends, or the watchdog trips
        self._trip = ""
        self._warm = self._has_run = self._hanging = False

    # Phase 1: power, mode, forces, writes

    def power(self, now: Ns, *, on: bool, cold: bool | None = None) -> None:
        """Take or give supply; nothing happens if that is no change.

        Without it the outputs go to their safe values, the image to its start values, and all state but
        retained values is lost. Its return starts the filters, and after the boot time the tasks.

        Args:
            now: the instant.
            on: supply is there.
            cold: at its return: drop retained values too; None takes it from the setup.
        """
        if on == (self.mode is not Mode.OFF):
            return
        self._image.power(now, on=on)
        if on:
            self._tell(now, EventKind.POWER_BACK, f"boots for {show(self.setup.boot)}")
            self._boot(Ns(now + self.setup.boot), cold)
        else:
            self._tell(now, EventKind.POWER_LOST, "outputs go to their safe values")
            self._halt(now, Mode.OFF)

    def remember(self, values: Mapping[str, Value]) -> None:
        """Hold retained tags and charts (a chart by the name of a step) from an earlier run, while without power.

        The next start is then a warm one, unless the setup says cold.

        Raises:
            UsageError: a tag is not retained or of another type, a chart has no such step, or there is power.
        """
        if self.mode is not Mode.OFF:
            raise UsageError(
                f"controller {self.setup.name!r} is {self.mode.value}", mend="let it remember before power-up"
            )
        known = {name: self._memory.retained(name, value) for name, value in values.items()}
        for task in self.tasks:
            task.remember(known)
        self._memory.begin()
        self._has_run = self._has_run or bool(known)

    def stop(self, now: Ns, why: str = "by command") -> None:
        """Run no more scans, and let the outputs go to their safe values, unless that is so already."""
        if self.mode in (Mode.BOOTING, Mode.RUNNING, Mode.HUNG, Mode.STUCK):
            self._tell(now, EventKind.STOP, why)
            self._halt(now, Mode.STOPPED)

    def start(self, now: Ns, *, cold: bool | None = None) -> None:
        """Start again after `stop`, as after a power loss but without booting.

        Raises:
            UsageError: it is not stopped; after a watchdog trip or a program error only a power cycle helps.
        """
        if self.mode is not Mode.STOPPED:
            what = f"controller {self.setup.name!r} cannot start at {show(now)}"
            mend = "take its power away and give it back" if self.mode is Mode.FAULTED else ""
            raise UsageError(what, f"it is {self.mode.value}", mend)
        self._boot(now, cold)

    def hang(self, now: Ns, *, on: bool) -> None:
        """Let the processor hang, or go on: no scans, outputs stay, until its shortest watchdog trips.

        One that does not run yet hangs as it begins, and again after each restart, until it is let go.
        """
        self._hanging = on
        if on and self.mode is Mode.RUNNING:
            self._tell(now, EventKind.HANG, "the processor hangs")
            patience = min((task.watchdog for task in self.tasks), default=NEVER)
            self._hang(now, Mode.HUNG, Ns(now + patience), f"the processor has hung for {show(patience)}")
        elif not on and self.mode is Mode.HUNG:
            self._tell(now, EventKind.HANG, "the processor goes on")
            self.mode, self._turn = Mode.RUNNING, NEVER
            self._processor.go_on(now)

    def force(self, name: str, value: Value | None, now: Ns) -> None:
        """Hold an input in the image, or an output at its terminal, at a value; None lets go.

        Forces outlast stops and power losses, but a controller that does not run holds no output on.

        Raises:
            UsageError: the controller has no such input or output.
        """
        if name in self._image.index:
            i = self._image.index[name]
            if self._image.force(i, value):
                self._reread(i, now, Cause.FORCE)
        elif name in self._outputs.index:
            self._outputs.force(self._outputs.index[name], value, now)
        else:
            what = f"controller {self.setup.name!r} has no input or output {name!r} to force"
            raise UsageError(what, mend=nearest(name, [*self._image.index, *self._outputs.index]))

    @property
    def forced(self) -> Mapping[str, Value]:
        """What is forced, and to what: inputs first, each in declared order."""
        return self._image.forced | self._outputs.forced

    def write(self, name: str, value: Value, now: Ns) -> None:
        """Write a memory tag from outside (an operator panel); lost, with an event, unless the tasks run.

        Raises:
            UsageError: there is no such memory tag, or the value is of another type.
        """
        kind = type(self._memory.slot(name).initial)
        if name in self._outputs.index:
            raise UsageError(f"{name!r} is an output", "the program writes it at every scan", "force it instead")
        if type(value) is not kind:
            raise UsageError(f"{name!r} cannot be written {value!r}", f"it holds values of type {kind.__name__}")
        if self.mode is Mode.RUNNING:
            self._processor.rouse(self._memory.write(name, value), now, Cause.WRITE)
        else:
            self._tell(now, EventKind.WRITE_LOST, f"{name} := {value} finds the controller {self.mode.value}")

    def set_input(self, which: str | int, level: Value, now: Ns) -> None:
        """Take the level at an input terminal, given by name or by position (faster)."""
        self._image.set_level(self._image.index[which] if isinstance(which, str) else which, level, now)

    # Phases 4 to 6

    def step(self, now: Ns, *, scanning: bool) -> Sequence[tuple[str, Value]]:
        """Go through phases 4 to 6, each only if something is due in it; give the outputs that changed.

        `scanning`: the scans of this instant are not over yet.
        """
        if self._image.due <= now:
            self._filter(now)
        if scanning and (self._processor.next_scan <= now or self._turn <= now):
            self.scan(now)
        return self._outputs.publish(now) if self._outputs.due <= now else ()

    def settle_filters(self, now: Ns) -> list[tuple[str, Value]]:
        """Phase 4: let the filters come to `now`; give what changed in the image, by force and power too."""
        self._filter(now)
        return self._image.changes()

    def _filter(self, now: Ns) -> None:
        for i in self._image.settle(now):
            self._reread(i, now, Cause.IMAGE)

    def scan(self, now: Ns) -> None:
        """Phase 5: run the tasks that are due, by priority, on one image and with one `now`."""
        if now >= self._turn:
            self._take_turn(now)
        wrong = self._processor.scan(now)
        if isinstance(wrong, Trip):
            self._hang(now, Mode.STUCK, wrong.time, wrong.text)
        elif wrong is not None:
            self.error = wrong
            self._fail(now, EventKind.ERROR, str(wrong))

    def pass_by(self, now: Ns) -> None:
        """Phase 5 where nothing is due: what comes later in this instant must wait for the next grid instant."""
        self._processor.passed = now

    def publish(self, now: Ns) -> list[tuple[str, Value]]:
        """Phase 6: bring the output terminals to `now`; give those that changed."""
        return self._outputs.publish(now)

    # Looking on

    def next_due(self) -> Ns:
        """Give the next instant at which it does something by itself (`NEVER` if none)."""
        return Ns(min(self._image.due, self._processor.next_scan, self._turn, self._outputs.due))

    def collect(self) -> Sequence[tuple[str, Value]]:
        """Give the shown memory tags and charts that changed since last asked; outputs show at their terminals."""
        return self._memory.collect() if self._memory.fresh else ()

    def value(self, name: str) -> Value:
        """Give a tag as it now is: an input in the image, an output at its terminal, else in memory.

        Raises:
            UsageError: the controller has no such tag.
        """
        if name in self._image.index:
            return self._image.values[self._image.index[name]]
        if name in self._outputs.index:
            return self._outputs.terminals[self._outputs.index[name]]
        return self._memory.value(name)

    def counts(self, now: Ns) -> tuple[int, int]:
        """Give how many scans have been run and how many slept through, up to and with `now`."""
        return self._processor.counts(now)

    # Turns

    def _reread(self, i: int, now: Ns, cause: Cause) -> None:
        """Let the tasks that read input `i` see it."""
        for task in self._readers[i]:
            task.image = None
        self._processor.rouse(self._readers[i], now, cause)

    def _boot(self, ready: Ns, cold: bool | None) -> None:  # noqa: FBT001 - passed on as it came
        self.mode, self._turn, self.error = Mode.BOOTING, ready, None
        wanted = self.setup.restart == "warm" if cold is None else not cold
        self._warm = wanted and self._has_run

    def _take_turn(self, now: Ns) -> None:
        """End the boot, or the patience of the watchdog."""
        self._turn = NEVER
        if self.mode is not Mode.BOOTING:
            self._fail(now, EventKind.WATCHDOG, self._trip)
            return
        self.mode, self._has_run = Mode.RUNNING, True
        self._outputs.energise(now)
        self._processor.begin(now, warm=self._warm)
        self._tell(now, EventKind.RESTART, "warm: retained values kept" if self._warm else "cold: all values initial")
        if self._hanging:
            self.hang(now, on=True)

    def _hang(self, now: Ns, mode: Mode, trip: Ns, text: str) -> None:
        self._processor.halt(now)
        self.mode, self._turn, self._trip = mode, trip, text

    def _fail(self, now: Ns, kind: EventKind, text: str) -> None:
        self._tell(now, kind, text)
        self._halt(now, Mode.FAULTED)

    def _halt(self, now: Ns, mode: Mode) -> None:
        """Run no more scans; every output goes to its safe value."""
        if self.mode is Mode.RUNNING:
            self._processor.halt(now)
        self.mode, self._turn = mode, NEVER
        self._outputs.release(now)

    def _tell(self, now: Ns, kind: EventKind, text: str) -> None:
        self.events.append(Event(now, kind, text, self.error if kind is EventKind.ERROR else None))
