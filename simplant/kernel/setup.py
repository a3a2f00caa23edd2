"""The settings of a controller and of its tasks, checked when made.

What they do is in task.py, image.py, outputs.py and controller.py. Rule: every time is in whole nanoseconds.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Final, Literal

from simplant.errors import UsageError
from simplant.timebase import NEVER, Ns, show
from simplant.values import Value

AT_ONCE: Final = Ns(0)
"""No time at all."""


@dataclass(frozen=True, slots=True)
class TaskSetup:
    """When a task scans and how long that takes.

    Scan k starts at k periods + phase + a start jitter of its own, counted from the end of the boot.

    Args:
        name: unique within the controller.
        period: > 0.
        priority: the lower number goes first where tasks are due at one instant; ties in declared order.
        phase: delay of scan 0 after the end of the boot, >= 0.
        execution: least time that a scan takes, >= 0; outputs appear after it.
        execution_jitter: greatest addition to it, >= 0; drawn for each scan.
        start_jitter: greatest delay of a scan's start, >= 0 and below the period; drawn for each scan.
        watchdog: a scan that takes longer trips the controller, > 0; `NEVER` for none.
    """

    name: str
    period: Ns
    priority: int = 1
    phase: Ns = AT_ONCE
    execution: Ns = AT_ONCE
    execution_jitter: Ns = AT_ONCE
    start_jitter: Ns = AT_ONCE
    watchdog: Ns = NEVER

    def __post_init__(self) -> None:
        """Raise `UsageError` if a time is out of its range."""
        for key in ("period", "watchdog"):
            _check(f"{key} of task {self.name!r}", getattr(self, key), least=1)
        for key in ("phase", "execution", "execution_jitter", "start_jitter"):
            _check(f"{key} of task {self.name!r}", getattr(self, key), least=0)
        if self.start_jitter >= self.period:
            raise UsageError(
                f"the start jitter of task {self.name!r} is {show(self.start_jitter)}, its period {show(self.period)}",
                "scans would overtake each other",
                "keep the jitter below the period",
            )

    @property
    def longest(self) -> int:
        """The longest that a scan can take, in nanoseconds."""
        return self.execution + self.execution_jitter


@dataclass(frozen=True, slots=True)
class Filter:
    """An input filter: a level is accepted once it has been there for this long.

    Args:
        on: for a level other than FALSE or 0, >= 0.
        off: for FALSE or 0, >= 0.
    """

    on: Ns = AT_ONCE
    off: Ns = AT_ONCE

    def __post_init__(self) -> None:
        """Raise `UsageError` if a time is out of its range."""
        _check("on time of a filter", self.on, least=0)
        _check("off time of a filter", self.off, least=0)


@dataclass(frozen=True, slots=True)
class ControllerSetup:
    """What a controller is like, apart from its tasks.

    Args:
        name: unique within the machine; names its streams of chance.
        filters: per input; none for an input not named. A plain time counts for on and off alike.
        filter_start: value of an input in the image when power comes up; FALSE for an input not named
            (so every NC input reads as open until its filter has passed).
        output_delay: from the end of a scan to its outputs at the terminals, >= 0.
        boot: from power up to the end of the boot, >= 0.
        restart: what a return of power makes: `warm` keeps retained values, `cold` does not.
        seed: of the run.
        sleep: skip scans that cannot change anything; the trace is the same either way.
    """

    name: str
    filters: Mapping[str, Ns | Filter] = field(default_factory=dict)
    filter_start: Mapping[str, Value] = field(default_factory=dict)
    output_delay: Ns = AT_ONCE
    boot: Ns = AT_ONCE
    restart: Literal["warm", "cold"] = "warm"
    seed: int = 0
    sleep: bool = True

    def __post_init__(self) -> None:
        """Raise `UsageError` if a time is out of its range or the restart is no such word."""
        _check(f"output delay of controller {self.name!r}", self.output_delay, least=0)
        _check(f"boot time of controller {self.name!r}", self.boot, least=0)
        if self.restart not in ("warm", "cold"):
            raise UsageError(f"controller {self.name!r} is to restart {self.restart!r}", mend='write "warm" or "cold"')

    def filter_of(self, name: str) -> Filter:
        """Give the filter of an input."""
        given = self.filters.get(name, AT_ONCE)
        return given if isinstance(given, Filter) else _both_ways(given)


@cache
def _both_ways(time: Ns) -> Filter:
    return Filter(time, time)


def _check(what: str, value: int, *, least: int) -> None:
    if isinstance(value, bool) or not isinstance(value, int):
        raise UsageError(f"the {what} is {value!r}", "a time is a whole number of nanoseconds", "write ms(10)")
    if value < least:
        raise UsageError(f"the {what} is {show(value)}", f"the least is {show(least) if least else '0'}")
