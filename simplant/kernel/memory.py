"""The memory of a controller: tags that tasks share, writes from outside, and what a trace is told of it all.

Each task has its own state (task.py); this file keeps their common tags in step. Rule: a task finds the
newest value of a shared tag at its scan, whoever wrote it.
"""

from collections.abc import Sequence

from simplant.errors import ProgramError, UsageError, nearest
from simplant.kernel.executable import Slot
from simplant.kernel.same import State, same
from simplant.kernel.task import Task
from simplant.values import Value


class Memory:
    """What the tasks of one controller store.

    Args:
        tasks: in order of priority.
    """

    __slots__ = ("_homes", "_order", "_shared", "_slots", "_tasks", "_told", "_touched", "_users", "fresh")

    def __init__(self, tasks: Sequence[Task]) -> None:
        """Raise `ProgramError` if two tasks store a tag that is not marked as shared."""
        self._tasks = tuple(tasks)
        self._users: dict[str, list[tuple[Task, int]]] = {}
        self._homes: dict[str, tuple[Task, int]] = {}
        self._slots: dict[str, Slot] = {}
        for task in tasks:
            self._add(task)
        self._shared: dict[str, Value] = {
            n: task.executable.slots[p].initial for n, ((task, p), *_) in self._users.items()
        }
        outputs = {task.executable.slots[p].name for task in tasks for p in task.executable.outputs}
        self._order = [name for name in self._users if name in self._slots and name not in outputs]
        self._touched: set[str] = set()
        self.fresh = False
        """There is something to collect."""
        self._told: dict[str, Value] = {}

    def _add(self, task: Task) -> None:
        slots = task.executable.slots
        shared = {p for p, _ in task.shared}
        for p, slot in enumerate(slots):
            if p in shared:
                self._users.setdefault(slot.name, []).append((task, p))
            elif slot.shown and slot.name in self._slots:
                raise ProgramError(
                    f"task {task.setup.name!r} stores {slot.name!r}, and so does another task",
                    "each would have a value of its own",
                    "mark it as shared in both",
                )
            else:
                self._homes.setdefault(slot.name, (task, p))
            if slot.shown:
                self._slots.setdefault(slot.name, slot)

    # From outside

    def slot(self, name: str) -> Slot:
        """Give the slot of a shown tag; raises `UsageError` if there is none."""
        if name not in self._slots:
            raise self._unknown(name)
        return self._slots[name]

    def _unknown(self, name: str) -> UsageError:
        return UsageError(f"the controller stores no tag {name!r}", mend=nearest(name, self._slots))

    def retained(self, name: str, value: Value) -> Value:
        """Give a value as a retained slot stores it; raises `UsageError` if it is not retained or does not fit."""
        slot = self.slot(name)
        if not slot.retain:
            kept = [slot.name for slot in self._slots.values() if slot.retain]
            raise UsageError(f"{name!r} is not kept over a power loss", mend=nearest(name, kept))
        if slot.words:
            if value not in slot.words:
                raise UsageError(f"{name!r} has no step {value!r}", mend=nearest(str(value), slot.words))
            return slot.words.index(str(value))
        if type(slot.initial) is float and type(value) is int:
            return float(value)
        if type(value) is not type(slot.initial):
            kind = type(slot.initial).__name__
            raise UsageError(f"{name!r} cannot hold {value!r}", f"it holds values of type {kind}")
        return value

    def value(self, name: str) -> Value:
        """Give a stored value as it now is; raises `UsageError` if there is none of this name."""
        if name in self._shared:
            return self._shared[name]
        if name in self._homes:
            task, p = self._homes[name]
            return task.state[p]
        raise self._unknown(name)

    def write(self, name: str, value: Value) -> list[Task]:
        """Write a shown tag; give the tasks that use it."""
        if name in self._shared:
            return self._set(name, value)
        task, p = self._homes[name]
        task.patch([(p, value)])
        task.dirty = self.fresh = True
        return [task]

    # Around a scan

    def refresh(self, task: Task) -> None:
        """Bring the shared tags in a task's state up to date."""
        task.patch([(p, self._shared[name]) for p, name in task.shared])
        task.stale = False

    def share(self, writer: Task, after: State) -> list[Task]:
        """Take the shared tags that a scan changed; give the other tasks that use them."""
        roused: list[Task] = []
        for p, name in writer.shared:
            if not same(after[p], self._shared[name]):
                roused += self._set(name, after[p], writer)
        return roused

    def _set(self, name: str, value: Value, writer: Task | None = None) -> list[Task]:
        self._shared[name] = value
        self._touched.add(name)
        self.fresh = True
        others = [task for task, _ in self._users[name] if task is not writer]
        for task in others:
            task.stale = True
        return others

    # Over a restart

    def keep(self) -> None:
        """Bring every task's state up to date, before power goes."""
        for task in self._tasks:
            if task.stale:
                self.refresh(task)

    def begin(self) -> None:
        """Take the shared tags from the tasks' states, which a restart has just set."""
        self.fresh = True
        for name, ((task, p), *_) in self._users.items():
            self._shared[name] = task.state[p]
            self._touched.add(name)

    # For the trace

    def collect(self) -> list[tuple[str, Value]]:
        """Give the shown values that changed since last asked: each task's own in order, then the shared ones."""
        changed: list[tuple[str, Value]] = []
        self.fresh = False
        for task in self._tasks:
            if task.dirty:
                changed += task.changes()
        if self._touched:
            for name in self._order:
                value = self._shared[name]
                if name in self._touched and (name not in self._told or not same(value, self._told[name])):
                    self._told[name] = value
                    words = self._slots[name].words
                    changed.append((name, words[int(value)] if words else value))
            self._touched.clear()
        return changed
