"""One task at work: its grid of scan instants, its draws, its state, and until when it may rest.

The order of tasks within an instant, and what a scan's outcome leads to, is in controller.py. Rule:
everything about scan k is a pure function of (seed, name, k); nothing is drawn in sequence.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import compress
from operator import ne

from simplant.chance import below, stream
from simplant.errors import ProgramError, UsageError, nearest
from simplant.kernel.executable import Executable
from simplant.kernel.same import State, comparer, picker, settler
from simplant.kernel.setup import ControllerSetup, TaskSetup
from simplant.timebase import NEVER, Ns
from simplant.values import Value


class Task:
    """One task of a controller.

    `k` and `wake` are the number and the instant of the next scan (`NEVER` while halted); `last` is the
    number of the scan before, run or skipped; scans between `last` and `k` are slept through. `steady` is
    how long every scan takes, or -1 if that is drawn; `restless` counts the scans in a row that each
    handed on something new though no input changed.
    """

    __slots__ = (
        "_base", "_durations", "_execution", "_execution_jitter", "_kept", "_names", "_period", "_pick_shown",
        "_shown", "_start_jitter", "_starts", "_words", "dirty", "driven", "executable", "first", "image", "k", "last",
        "output_indices", "pick_image", "pick_outputs", "rank", "restless", "run", "runs", "same", "settled", "setup",
        "shared", "sleepy", "slept", "stale", "state", "steady", "wake", "watchdog",
    )  # fmt: skip

    def __init__(
        self, setup: TaskSetup, executable: Executable, inputs: Mapping[str, int], outputs: Mapping[str, int],
    ) -> None:  # fmt: skip
        """Bind a program to the controller's inputs and outputs; halted until `begin` and `rouse`."""
        self.setup, self.executable = setup, executable
        self.run, self.watchdog = executable.run, setup.watchdog
        self._execution, self._execution_jitter = setup.execution, setup.execution_jitter
        self._period, self._start_jitter = setup.period, setup.start_jitter
        self.steady: int = -1 if setup.execution_jitter else setup.execution
        self._base: int = setup.phase
        self._starts = self._durations = self.rank = 0
        self._bind(inputs, outputs)
        self.state: State = executable.initial
        self._kept: State | None = None
        self.image: State | None = None
        self.first = self.stale = self.dirty = self.sleepy = False
        self.k = self.last = -1
        self.wake: int = NEVER
        self.runs = self.slept = self.restless = 0

    def _bind(self, inputs: Mapping[str, int], outputs: Mapping[str, int]) -> None:
        slots = self.executable.slots
        self.pick_image = picker([inputs[name] for name in self.executable.inputs])
        self.pick_outputs = picker(self.executable.outputs)
        self.output_indices = [outputs[slots[p].name] for p in self.executable.outputs]
        self.driven: State = ()
        self.shared = [(p, slots[p].name) for p in self.executable.shared]
        shown = [p for p, slot in enumerate(slots) if slot.shown]
        told_by_others = {*self.executable.outputs, *self.executable.shared}
        self._names = ["" if p in told_by_others else slots[p].name for p in shown]
        self._words = [slots[p].words for p in shown]
        self._pick_shown = picker(shown)
        self._shown: tuple[object, ...] = (None,) * len(shown)
        self.same = comparer(self.executable.initial)
        self.settled = settler(self.executable.initial, self.executable.carried)

    def join(self, rank: int, seed: int, controller: str, *, sleepy: bool) -> None:
        """Take a place in the order of a controller, streams of chance, and leave to sleep."""
        self.rank, self.sleepy = rank, sleepy and not self.executable.restless
        self._starts = stream(seed, f"{controller}.{self.setup.name}.start")
        self._durations = stream(seed, f"{controller}.{self.setup.name}.execution")

    # The grid

    def start(self, k: int) -> int:
        """Give the instant at which scan k begins."""
        if self._start_jitter:
            return self._base + k * self._period + below(self._starts, k, self._start_jitter + 1)
        return self._base + k * self._period

    def took(self, k: int) -> int:
        """Give how long scan k takes, in nanoseconds."""
        if self._execution_jitter:
            return self._execution + below(self._durations, k, self._execution_jitter + 1)
        return self._execution

    def first_from(self, instant: int) -> int:
        """Give the number of the first scan after `last` that begins at `instant` or later."""
        if not self._start_jitter:
            return max(self.last + 1, -((self._base - instant) // self._period))
        k = max(self.last + 1, (instant - self._base - self._start_jitter) // self._period)
        while self.start(k) < instant:
            k += 1
        return k

    def takes_at(self, now: Ns) -> int:
        """Give how long the scan that begins at `now` takes, slept through or not; 0 if none begins."""
        k = (now - self._base) // self._period
        return self.took(k) if k >= 0 and self.start(k) == now else 0

    # Awake and at rest

    def next(self) -> None:
        """Scan at the next grid instant."""
        k = self.k
        self.slept += k - self.last - 1
        self.last = k
        self.k = k + 1
        self.wake = self.start(k + 1) if self._start_jitter else self.wake + self._period

    def rest(self, due: int) -> None:
        """Sleep until the first grid instant at or after `due` (`NEVER`: until roused)."""
        self.slept += self.k - self.last - 1
        self.last = self.k
        if due >= NEVER:
            self.wake = NEVER
            return
        self.k = self.first_from(due)
        self.wake = self.start(self.k)

    def rouse(self, earliest: int) -> None:
        """Scan at the first grid instant at or after `earliest`, unless one is planned before."""
        if self.wake > earliest:
            k = self.first_from(earliest)
            if self.start(k) < self.wake:
                self.k, self.wake = k, self.start(k)

    def slept_until(self, now: int) -> int:
        """Give how many grid instants up to `now` have been slept through."""
        return self.slept + self.first_from(now + 1) - self.last - 1

    # State

    def begin(self, origin: Ns, driven: State, *, warm: bool) -> None:
        """Set the state for a restart with the grid from `origin` and outputs as they are; at rest until roused."""
        self.state = self.executable.initial
        if warm and self._kept is not None:
            slots = zip(self.executable.slots, self._kept, strict=True)
            self.state = tuple(value if slot.retain else slot.initial for slot, value in slots)
        self._base = origin + self.setup.phase
        self.k = self.last = -1
        self.wake = NEVER
        self.driven = driven
        self.image, self.first, self.stale, self.dirty = None, True, False, True

    def remember(self, values: Mapping[str, Value]) -> None:
        """Hold retained values from an earlier run; for a warm first start."""
        slots = self.executable.slots
        kept = tuple(values.get(s.name, v) if s.retain else v for s, v in zip(slots, self.state, strict=True))
        self.state = self._kept = kept

    def halt(self, now: Ns) -> None:
        """Stop scanning; keep the state as what a warm restart finds."""
        self.slept = self.slept_until(now - 1)
        self.skip_to(now)
        self.wake = NEVER
        self._kept = self.state

    def skip_to(self, instant: int) -> None:
        """Leave out the scans before an instant, uncounted."""
        self.last = self.first_from(instant) - 1

    def patch(self, changes: Iterable[tuple[int, Value]]) -> None:
        """Write values from outside the program into the state."""
        state = list(self.state)
        for p, value in changes:
            state[p] = value
        self.state = tuple(state)

    def changes(self) -> Iterable[tuple[str, Value]]:
        """Give the shown slots that changed since this was last asked, charts by the names of their steps."""
        self.dirty = False
        now, before = self._pick_shown(self.state), self._shown
        if now == before:
            return
        self._shown = now
        for i in compress(range(len(now)), map(ne, now, before)):
            if name := self._names[i]:
                words = self._words[i]
                yield name, words[int(now[i])] if words else now[i]


def admit(
    setup: ControllerSetup, tasks: Sequence[tuple[TaskSetup, Executable]],
    inputs: Mapping[str, int], outputs: Mapping[str, int], *, sleepy: bool,
) -> list[Task]:  # fmt: skip
    """Make the tasks of a controller, in order of priority (ties in declared order).

    Raises:
        UsageError: two tasks have one name.
        ProgramError: a program uses an input or output that the controller does not have.
    """
    admitted: list[Task] = []
    for timing, executable in sorted(tasks, key=lambda pair: pair[0].priority):
        if timing.name in (task.setup.name for task in admitted):
            raise UsageError(f"controller {setup.name!r} has two tasks {timing.name!r}", mend="give each its own name")
        driven = [executable.slots[p].name for p in executable.outputs]
        _check(timing.name, "reads input", executable.inputs, inputs)
        _check(timing.name, "drives output", driven, outputs)
        task = Task(timing, executable, inputs, outputs)
        task.join(len(admitted), setup.seed, setup.name, sleepy=sleepy)
        admitted.append(task)
    return admitted


def _check(task: str, does: str, used: Iterable[str], known: Mapping[str, int]) -> None:
    for name in used:
        if name not in known:
            raise ProgramError(
                f"task {task!r} {does} {name!r}, which the controller does not have", mend=nearest(name, known)
            )
