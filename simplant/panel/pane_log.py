"""The scan log: every change of a point, step or truth, and every event, with its scan; the latest at the bottom.

Rule: a pulse that lasted one scan or less says so at both its edges, however fast the machine runs.
"""

from typing import Final

from simplant.panel.course import Course, Entry
from simplant.panel.lines import Line, Span, fit, line
from simplant.panel.pane import Pane
from simplant.panel.session import Session
from simplant.scenario.trace import EVENT
from simplant.timebase import show


def clock(at: int) -> str:
    """Give an instant as `12.345 678` s: with microseconds, of one width as long as it can be."""
    whole, rest = divmod(at // 1000, 1_000_000)
    return f"{whole:>4}.{rest // 1000:03d} {rest % 1000:03d}"


WIDE: Final = 44
"""Columns from which on there is room for the number of the scan."""


class LogPane(Pane):
    """The log."""

    NAME = "log"
    LONG = True

    def __init__(self, session: Session, course: Course) -> None:
        super().__init__(session)
        self.course = course
        self._kept: list[Line] = []
        self._made = (-1, -1, "", -1)

    def lines(self, width: int) -> list[Line]:
        """Give the log; made anew only if something came."""
        made = (self.course.count, width, self.sought, id(self.course))
        if made != self._made:
            self._made = made
            entries = (e for e in self.course.entries if self.found(e.name, e.text))
            self._kept = [self._line(entry, width) for entry in entries]
        return self._kept

    def _line(self, entry: Entry, width: int) -> Line:
        scan = max(0, (entry.at - self._first) // self.session.main_period)
        counted = f"{scan:>6} " if width >= WIDE else ""
        when: Span = (f"{clock(entry.at)} {counted}", "faint")
        room = width - len(when[0])
        if entry.name == EVENT:
            return line(when, (fit(f"! {entry.text}", room).rstrip(), "strong"))
        pulse = "pulse of " if width >= WIDE else ""
        mark = f" ◄ {pulse}{show(entry.brief)}" if entry.brief else ""
        told = fit(f"{entry.name} = {entry.text}", room - len(mark)).rstrip()
        return line(when, told, (mark, "warn"))

    @property
    def _first(self) -> int:
        """The instant from which scans are counted: that of the latest start."""
        task = self.session.rig.main.tasks[0]
        return task.start(0)
