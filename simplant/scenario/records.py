"""What happened in a run, as plain records, and the ones that a trace alone can tell.

Shown by cli/views/. Counts, ledger and forces come from the rig, verdicts from rules/. Rule: a
record holds only what was recorded; nothing here is judged.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from simplant.scenario.trace import EVENT, Row
from simplant.timebase import Ns
from simplant.values import Value


@dataclass(frozen=True, slots=True)
class StepRecord:
    """A chart was in a step from `entered` to `left` (ns; None = still in it at the end)."""

    chart: str
    step: str
    entered: Ns
    left: Ns | None


@dataclass(frozen=True, slots=True)
class AlarmRecord:
    """An alarm came at `time` and was cleared at `cleared` (ns; None = still there at the end).

    `first_out`: no other alarm was there when it came.
    """

    time: Ns
    name: str
    text: str
    first_out: bool
    cleared: Ns | None


@dataclass(frozen=True, slots=True)
class ScanCount:
    """Scans of one controller that were run and slept through; `reason`: why it could not sleep, or ""."""

    controller: str
    run: int
    slept: int
    reason: str = ""


@dataclass(frozen=True, slots=True)
class BallRecord:
    """Where a ball is at the end, and since when (ns; None = since the start)."""

    ball: str
    where: str
    since: Ns | None


@dataclass(frozen=True, slots=True)
class Count:
    """A number to report: catches, misses; `text` says more, or ""."""

    name: str
    value: int | float
    text: str = ""


@dataclass(frozen=True, slots=True)
class EventRecord:
    """Something that happened: an overrun, a restart, a fault set or gone."""

    time: Ns
    text: str


@dataclass(frozen=True, slots=True)
class ForcedRecord:
    """A point held by the bench from `since` to `until` (ns; None = still held at the end)."""

    tag: str
    value: Value
    since: Ns
    until: Ns | None


def steps_of(rows: Iterable[Row], charts: Collection[str]) -> tuple[StepRecord, ...]:
    """Give the steps of charts in the order entered.

    Args:
        rows: a trace, in order of time.
        charts: names of the charts.
    """
    entered = [(at, name, value) for at, name, value in rows if name in charts]
    following: dict[str, Ns] = {}
    done: list[StepRecord] = []
    for at, name, value in reversed(entered):
        done.append(StepRecord(name, str(value), Ns(at), following.get(name)))
        following[name] = Ns(at)
    return tuple(reversed(done))


def alarms_of(rows: Iterable[Row], alarms: Mapping[str, str]) -> tuple[AlarmRecord, ...]:
    """Give the alarms in the order they came; the first to come while none was there is first-out.

    Args:
        rows: a trace, in order of time; an alarm comes when its tag goes to 1.
        alarms: tag -> text; of two that come in one instant the one the trace names first leads.
    """
    done: list[AlarmRecord] = []
    there: dict[str, int] = {}
    for at, name, value in rows:
        if name not in alarms or bool(value) == (name in there):
            continue
        if value:
            there[name] = len(done)
            done.append(AlarmRecord(Ns(at), name, alarms[name], len(there) == 1, None))
        else:
            index = there.pop(name)
            was = done[index]
            done[index] = AlarmRecord(was.time, was.name, was.text, was.first_out, Ns(at))
    return tuple(done)


def events_of(rows: Iterable[Row]) -> tuple[EventRecord, ...]:
    """Give the event lines of a trace."""
    return tuple(EventRecord(Ns(at), str(text)) for at, name, text in rows if name == EVENT)
