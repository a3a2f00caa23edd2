"""The output side: publications on their way, forcing, the safe state, and the values at the terminals.

What a scan decides comes in through `schedule`; the rig carries what `publish` gives to the plant.
Rule: without a running program every output is safe, forced or not.
"""

from collections import deque
from collections.abc import Mapping, Sequence

from simplant.errors import UsageError, nearest
from simplant.timebase import NEVER, Ns
from simplant.values import Value

Changes = list[tuple[int, Value]]


class OutputStage:
    """All outputs of one controller.

    Args:
        names: the outputs, in order.
        safe: value of each when de-energised; FALSE for one not named.
    """

    __slots__ = ("_forced", "_live", "_names", "_pending", "_safe", "_stage", "_touched", "due", "index", "terminals")

    def __init__(self, names: Sequence[str], safe: Mapping[str, Value]) -> None:
        """Begin de-energised; raises `UsageError` if a safe value is for no output."""
        for name in safe:
            if name not in names:
                raise UsageError(f"{name!r} has a safe value but is no output", mend=nearest(name, names))
        self._names = tuple(names)
        self.index = {name: i for i, name in enumerate(names)}
        self._safe: list[Value] = [safe.get(name, False) for name in names]
        self._stage = list(self._safe)
        self.terminals = list(self._safe)
        """What the plant sees."""
        self._forced: dict[int, Value] = {}
        self._pending: deque[tuple[int, Changes]] = deque()
        self._touched: set[int] = set()
        self._live = False
        self.due: int = NEVER
        """When `publish` next has something to do."""

    def safe_of(self, indices: Sequence[int]) -> tuple[Value, ...]:
        """Give the safe values of some outputs."""
        return tuple(self._safe[i] for i in indices)

    def schedule(self, due: int, changes: Changes) -> None:
        """Let outputs change at `due`, which is never before that of an earlier call."""
        self._pending.append((due, changes))
        self.due = min(self.due, due)

    def energise(self, now: Ns) -> None:
        """Let the program drive the outputs, from their safe values on; forced ones go to their values."""
        self._live = True
        self._touched.update(self._forced)
        self.due = min(self.due, now)

    def release(self, now: Ns) -> None:
        """Drop what is on its way and let every output go to its safe value."""
        self._live = False
        self._pending.clear()
        self._stage = list(self._safe)
        self._touched.update(range(len(self._names)))
        self.due = now

    def force(self, i: int, value: Value | None, now: Ns) -> None:
        """Hold output `i` at a value, or let go of it (None); the program does not notice."""
        if value is None:
            self._forced.pop(i, None)
        else:
            self._forced[i] = value
        self._touched.add(i)
        self.due = min(self.due, now)

    @property
    def forced(self) -> dict[str, Value]:
        """The outputs that are forced, with their values, in order."""
        return {self._names[i]: value for i, value in sorted(self._forced.items())}

    def publish(self, now: Ns) -> list[tuple[str, Value]]:
        """Bring the terminals to `now`; give those that changed, in the order of the outputs."""
        if now < self.due:
            return []
        while self._pending and self._pending[0][0] <= now:
            for i, value in self._pending.popleft()[1]:
                self._stage[i] = value
                self._touched.add(i)
        changed = []
        for i in sorted(self._touched):
            value = self._forced.get(i, self._stage[i]) if self._live else self._safe[i]
            if value != self.terminals[i]:
                self.terminals[i] = value
                changed.append((self._names[i], value))
        self._touched.clear()
        self.due = self._pending[0][0] if self._pending else NEVER
        return changed
