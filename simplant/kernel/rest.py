"""Whether a controller may sleep between scans at all: only if no scan can be skipped or trip.

When a task that may sleep does so is in task.py. Rule: refuse where it cannot be shown; a controller that
never sleeps is slow, one that sleeps wrongly is worthless.
"""

from collections.abc import Iterable, Sequence
from math import gcd

from simplant.kernel.executable import Executable
from simplant.kernel.setup import TaskSetup
from simplant.timebase import show


def why_awake(tasks: Sequence[TaskSetup]) -> str:
    """Say why a controller with these tasks cannot sleep; empty if it can.

    A scan may be left out only if leaving it out changes no other: no execution may trip the watchdog, and
    none may reach the start of another scan, whatever the draws.
    """
    for task in tasks:
        if task.longest > task.watchdog:
            return f"a scan of task {task.name!r} may take {show(task.longest)}, longer than its watchdog"
    for first in tasks:
        longest = sum(task.longest for task in tasks if task is first or _may_meet(first, task))
        for then in tasks:
            if longest and longest >= _least_gap(first, then):
                return (
                    f"scans may take {show(longest)} from the start of task {first.name!r}, "
                    f"and task {then.name!r} may start {show(_least_gap(first, then))} after it"
                )
    return ""


def who_is_restless(tasks: Iterable[tuple[TaskSetup, Executable]]) -> str:
    """Say which tasks have programs that cannot sleep, and why; empty if all can."""
    return "; ".join(f"task {timing.name!r}: {program.restless}" for timing, program in tasks if program.restless)


def _gaps(first: TaskSetup, then: TaskSetup) -> tuple[int, int, int]:
    """Give the times from a start of one task to one of another, up to multiples of a step: least, greatest, step."""
    step = gcd(first.period, then.period)
    apart = (then.phase - first.phase) % step
    return apart - first.start_jitter, apart + then.start_jitter, step


def _may_meet(first: TaskSetup, then: TaskSetup) -> bool:
    least, most, step = _gaps(first, then)
    return least <= 0 or most >= step


def _least_gap(first: TaskSetup, then: TaskSetup) -> int:
    """Give the least time, over 0, from a start of one task to a later one of the other (or its own next)."""
    if first is then:
        return first.period - first.start_jitter
    least, most, step = _gaps(first, then)
    if most - least >= step:
        return 1
    return min(max(least + n * step, 1) for n in (-1, 0, 1, 2) if most + n * step >= 1)
