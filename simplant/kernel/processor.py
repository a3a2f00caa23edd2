"""The processor: which tasks scan at an instant, in what order, and what a scan leads to.

Its power and modes are in controller.py, one task's grid and state in task.py, the reasons for staying
awake in rest.py. Rule: all that a scan leads to is decided by its state before and after; whether the scans
between were slept through or run makes no difference.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from simplant.errors import ProgramError
from simplant.kernel.event import Event, EventKind
from simplant.kernel.image import InputImage
from simplant.kernel.memory import Memory
from simplant.kernel.outputs import OutputStage
from simplant.kernel.same import State
from simplant.kernel.setup import ControllerSetup
from simplant.kernel.task import Task
from simplant.timebase import NEVER, Ns, show

SUSPICIOUS: Final = 4
"""Scans in a row that each hand on something new, after which a task is suspected of a race; then at twice as many."""


class Cause(Enum):
    """Why a sleeping task is roused before its due."""

    IMAGE = "an input it reads changed"
    SHARED = "another task changed a tag it uses"
    FORCE = "an input it reads was forced or let go"
    WRITE = "a tag it uses was written from outside"
    RUN = "the controller began to run"


@dataclass(frozen=True, slots=True)
class Trip:
    """A scan that takes longer than its watchdog allows: it leaves nothing behind, and trips at `time`."""

    time: Ns
    text: str


class Processor:
    """What runs the tasks of one controller.

    Args:
        tasks: in order of priority.
        image: what they read.
        memory: what they store.
        outputs: what they drive.
        setup: for the output delay.
        extra_wakes: (task, k) -> True where a sleeping task is to scan all the same.
    """

    __slots__ = (
        "_busy_until", "_delay", "_extra_wakes", "_image", "_live", "_memory", "_outputs", "_tasks",
        "events", "next_scan", "passed", "suspects",
    )  # fmt: skip

    def __init__(
        self, tasks: Sequence[Task], image: InputImage, memory: Memory, outputs: OutputStage,
        setup: ControllerSetup, extra_wakes: Callable[[str, int], bool] | None = None,
    ) -> None:  # fmt: skip
        """Begin halted."""
        self._tasks = tuple(tasks)
        self._image, self._memory, self._outputs, self._delay = image, memory, outputs, setup.output_delay
        self._extra_wakes = extra_wakes
        self._busy_until: int = 0
        self._live = False
        self.passed: int = -1
        """The last instant whose scans are over, run or not."""
        self.next_scan: int = NEVER
        """The next instant at which a task scans."""
        self.events: list[Event] = []
        self.suspects: list[Task] = []
        """Tasks that did not come to rest under held inputs; whoever looks into it clears the list."""

    def scan(self, now: Ns) -> Trip | ProgramError | None:
        """Run the tasks that are due; give what went wrong, after which no other task runs."""
        self.passed = now
        if now < self.next_scan:
            return None
        if now < self._busy_until:
            self._skip(now)
            return None
        spent = 0
        for task in self._tasks:
            if task.wake > now:
                spent += task.takes_at(now)
                continue
            took = task.steady if task.steady >= 0 else task.took(task.k)
            if took > task.watchdog:
                return Trip(Ns(now + spent + task.watchdog), _late(task, took))
            spent += took
            try:
                self._run(task, now, now + spent)
            except ProgramError as error:
                return error
        self._busy_until = now + spent
        self._plan()
        return None

    def _run(self, task: Task, now: Ns, done: int) -> None:
        """Run one scan; what it decides for the outputs is on its way from `done` on."""
        if task.stale:
            self._memory.refresh(task)
        image = self._freeze(task) if task.image is None else task.image
        before = task.state
        after, due = task.run(image, before, now)
        task.runs += 1
        quiet = not task.first
        if task.first or (before != after if task.same is None else not task.same(before, after)):
            quiet = quiet and task.settled(before, after)
            task.state = after
            task.dirty, task.first = True, False
            self._memory.fresh = True
            self._drive(task, after, done + self._delay)
            if task.shared:
                self._share(task, after, now)
        if quiet:
            task.restless = 0
        else:
            self._suspect(task)
        if quiet and task.sleepy:
            self._rest(task, due)
        else:
            task.next()

    def _freeze(self, task: Task) -> State:
        """Take what a task reads out of the image, anew after a change in it."""
        task.image = image = tuple(task.pick_image(self._image.values))
        task.restless = 0
        return image

    def _suspect(self, task: Task) -> None:
        """Note a task that does not come to rest, now and then: somebody should see whether it is a race."""
        task.restless = count = task.restless + 1
        if count >= SUSPICIOUS and not count & (count - 1):
            self.suspects.append(task)

    def _drive(self, task: Task, after: State, due: int) -> None:
        """Send the outputs that a scan changed on their way."""
        driven = task.pick_outputs(after)
        if driven != task.driven:
            pairs = zip(task.output_indices, driven, task.driven, strict=True)
            self._outputs.schedule(due, [(i, new) for i, new, old in pairs if new != old])
            task.driven = driven

    def _share(self, writer: Task, after: State, now: Ns) -> None:
        """Rouse the tasks that use what a scan changed: those after it in order still at this instant."""
        for task in self._memory.share(writer, after):
            self.wake(task, now if task.rank > writer.rank else now + 1, Cause.SHARED)

    def _skip(self, now: Ns) -> None:
        for task in self._tasks:
            if task.wake <= now:
                busy = show(self._busy_until)
                text = f"task {task.setup.name!r} skips scan {task.k}: the processor is busy until {busy}"
                self.events.append(Event(now, EventKind.OVERRUN, text))
                task.next()
        self._plan()

    def counts(self, now: Ns) -> tuple[int, int]:
        """Give how many scans have been run and how many slept through, up to and with `now`."""
        slept = sum(task.slept_until(now) if self._live else task.slept for task in self._tasks)
        return sum(task.runs for task in self._tasks), slept

    # Rest and waking

    def _rest(self, task: Task, due: int) -> None:
        """Let a task sleep until `due`, or until an extra wake."""
        task.rest(due)
        if self._extra_wakes is not None:
            for k in range(task.last + 1, task.last + 33):
                if self._extra_wakes(task.setup.name, k):
                    task.rouse(task.start(k))
                    return

    def earliest(self, now: Ns) -> int:
        """Give from when on a change at `now` is scanned: just after it if this instant's scans are over."""
        return now if self.passed < now else now + 1

    def wake(self, task: Task, earliest: int, cause: Cause) -> None:
        """Let a task scan at its first grid instant at or after `earliest` (tests leave a cause out)."""
        if not self._live:
            return
        task.rouse(earliest)
        self.next_scan = min(self.next_scan, task.wake)

    def rouse(self, tasks: Iterable[Task], now: Ns, cause: Cause) -> None:
        """Wake tasks because of something that happened at `now`."""
        for task in tasks:
            self.wake(task, self.earliest(now), cause)

    def _plan(self) -> None:
        self.next_scan = min([task.wake for task in self._tasks]) if self._tasks else NEVER

    # Running or not

    def begin(self, now: Ns, *, warm: bool) -> None:
        """Set up the state and count the grids from `now`."""
        self._busy_until = 0
        self._live = True
        for task in self._tasks:
            task.begin(now, self._outputs.safe_of(task.output_indices), warm=warm)
        self._memory.begin()
        for task in self._tasks:
            self.wake(task, now, Cause.RUN)

    def halt(self, now: Ns) -> None:
        """Run no more scans; keep the state, with the newest values of shared tags."""
        self._memory.keep()
        self._live = False
        for task in self._tasks:
            task.halt(now)
        self.next_scan = NEVER

    def go_on(self, now: Ns) -> None:
        """Scan again after `halt`, on the same grids; what fell between is left out."""
        self._live = True
        for task in self._tasks:
            task.skip_to(self.earliest(now))
        self.rouse(self._tasks, now, Cause.RUN)


def _late(task: Task, took: int) -> str:
    name, allowed = task.setup.name, show(task.watchdog)
    return f"a scan of task {name!r} takes {show(took)}, its watchdog allows {allowed}"
