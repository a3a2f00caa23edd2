"""The input side: raw levels at the terminals, their filters, forcing, and the image that scans read.

Filters run in continuous time, with due instants of their own; scans do not move them. Who reads
the image is in task.py. Rule: the image changes only in `settle`, `force` and `power`, never in a scan.
"""

from collections.abc import Sequence

from simplant.errors import UsageError, nearest
from simplant.kernel.same import same
from simplant.kernel.setup import ControllerSetup, Filter
from simplant.timebase import NEVER, Ns
from simplant.values import Value


class Point:
    """One input: the level now, the level its filter is timing, the level accepted, and when the next is."""

    __slots__ = ("accepted", "due", "filter", "forced", "name", "raw", "seen", "start")

    def __init__(self, name: str, timing: Filter, start: Value) -> None:
        """Begin without power."""
        self.name, self.filter, self.start = name, timing, start
        self.raw = self.seen = self.accepted = start
        self.forced: Value | None = None
        self.due: Ns = NEVER

    def settle(self, now: Ns) -> None:
        """Time the level that is there at the end of an instant; accept one that has been there long enough.

        A level that comes and goes within one instant is not seen.
        """
        if self.raw is not self.seen and not same(self.raw, self.seen):
            self.seen = self.raw
            wait = self.filter.on if self.raw else self.filter.off
            self.due = NEVER if same(self.raw, self.accepted) else Ns(now + wait)
        if self.due <= now:
            self.accepted, self.due = self.seen, NEVER


class InputImage:
    """All inputs of one controller.

    Args:
        names: the inputs, in order.
        setup: for filters and start values.
    """

    __slots__ = ("_active", "_points", "_powered", "_told", "_touched", "due", "index", "values")

    def __init__(self, names: Sequence[str], setup: ControllerSetup) -> None:
        """Raise `UsageError` if a filter or start value names no input."""
        for name in (*setup.filters, *setup.filter_start):
            if name not in names:
                raise UsageError(
                    f"controller {setup.name!r} has a filter for {name!r}, which is no input of it",
                    mend=nearest(name, names),
                )
        self.index = {name: i for i, name in enumerate(names)}
        self._points = [Point(name, setup.filter_of(name), setup.filter_start.get(name, False)) for name in names]
        self.values: list[Value] = [point.start for point in self._points]
        """What a scan reads."""
        self._told = list(self.values)
        self._active: set[int] = set()
        self._touched: set[int] = set()
        self._powered = False
        self.due: Ns = NEVER
        """The next instant at which a filter may move."""

    def set_level(self, i: int, level: Value, now: Ns) -> None:
        """Take the level at terminal `i`; `settle` at the end of the instant times it."""
        self._points[i].raw = level
        if self._powered:
            self._active.add(i)
            self.due = min(self.due, now)

    def settle(self, now: Ns) -> list[int]:
        """Let the filters come to `now`; give the inputs whose image they changed, in order."""
        if now < self.due:
            return []
        moved, soonest = [], NEVER
        for i in sorted(self._active):
            point = self._points[i]
            point.settle(now)
            if point.due == NEVER:
                self._active.discard(i)
            elif point.due < soonest:
                soonest = point.due
            if self._show(i):
                moved.append(i)
        self.due = soonest
        return moved

    def force(self, i: int, value: Value | None) -> bool:
        """Hold the image of input `i` at a value, or let go of it (None); tell whether the image changed."""
        self._points[i].forced = value
        return self._show(i)

    def power(self, now: Ns, *, on: bool) -> None:
        """Set every filter back to its start value; with power on, begin to time the levels that are there."""
        self._powered = on
        self._active = set(range(len(self._points))) if on else set()
        self.due = now if on and self._points else NEVER
        for i, point in enumerate(self._points):
            point.seen = point.accepted = point.start
            point.due = NEVER
            self._show(i)

    def changes(self) -> list[tuple[str, Value]]:
        """Give what changed in the image since this was last asked, in the order of the inputs."""
        if not self._touched:
            return []
        changed = [i for i in sorted(self._touched) if not same(self.values[i], self._told[i])]
        self._touched.clear()
        for i in changed:
            self._told[i] = self.values[i]
        return [(self._points[i].name, self.values[i]) for i in changed]

    @property
    def forced(self) -> dict[str, Value]:
        """The inputs that are forced, with their values."""
        return {point.name: point.forced for point in self._points if point.forced is not None}

    def _show(self, i: int) -> bool:
        """Put point `i` into the image; tell whether that changed it."""
        point = self._points[i]
        value = point.accepted if point.forced is None else point.forced
        if value is self.values[i] or same(value, self.values[i]):
            return False
        self.values[i] = value
        self._touched.add(i)
        return True
