"""What has happened so far in a session, followed row by row of its trace: alarms, and a log of changes by scan.

Rule: each row is looked at once, so following a long session costs no more than a short one; a pulse of one scan is
marked at both its edges.
"""

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from simplant.scenario.trace import EVENT, Row, event_or_value
from simplant.timebase import Ns

KEPT: Final = 3000
"""Entries of the log that are kept to look at; the trace keeps all."""


@dataclass(slots=True)
class Entry:
    """One change or event; `brief`: how long the pulse of a scan or less lasted of which this is an edge, ns, or 0."""

    at: Ns
    name: str
    text: str
    brief: int = 0


@dataclass(slots=True)
class AlarmSeen:
    """An alarm that came and may have been cleared; `seen`: the operator has acknowledged it."""

    at: Ns
    name: str
    first_out: bool
    cleared: Ns | None = None
    seen: bool = False


class Course:
    """What a trace tells, as it grows.

    Args:
        rows: the rows of the recorder, which grow.
        alarms: alarm tag -> text.
        period: of a scan, ns: a pulse that lasts no longer is brief.
    """

    def __init__(self, rows: list[Row], alarms: Mapping[str, str], period: Ns) -> None:
        self.entries: Final[deque[Entry]] = deque(maxlen=KEPT)
        self.alarms: Final[list[AlarmSeen]] = []
        self.brief = 0
        """How many pulses of a scan or less there were."""
        self.count = 0
        """How many entries there were in all."""
        self._rows: Final = rows
        self._texts: Final = alarms
        self._period: Final = period
        self._next = 0
        self._there: dict[str, AlarmSeen] = {}
        self._last: dict[str, Entry] = {}

    def follow(self) -> bool:
        """Look at the rows that are new; say whether there were any."""
        new = self._rows[self._next :]
        self._next = len(self._rows)
        for row in new:
            if row[1] in self._texts:
                self._alarm(row)
            if row[0] or row[1] == EVENT:
                self._enter(row)
        return bool(new)

    def _enter(self, row: Row) -> None:
        at, name, value = row
        entry = Entry(Ns(at), name, event_or_value(name, value))
        self.entries.append(entry)
        self.count += 1
        if not isinstance(value, bool):
            return
        before = self._last.get(name)
        if before is not None and at - before.at <= self._period:
            before.brief = entry.brief = max(1, at - before.at)
            self.brief += 1
        self._last[name] = entry

    def _alarm(self, row: Row) -> None:
        at, name, value = row
        if bool(value) == (name in self._there):
            return
        if value:
            self._there[name] = AlarmSeen(Ns(at), name, not self._there)
            self.alarms.append(self._there[name])
        else:
            self._there.pop(name).cleared = Ns(at)

    @property
    def unseen(self) -> int:
        """How many alarms nobody has acknowledged."""
        return sum(not alarm.seen for alarm in self.alarms)

    @property
    def there(self) -> list[AlarmSeen]:
        """The alarms that are there, in the order they came."""
        return list(self._there.values())

    def acknowledge(self, name: str = "") -> None:
        """Note that the operator has seen an alarm, or all."""
        for alarm in self.alarms:
            alarm.seen = alarm.seen or not name or alarm.name == name
