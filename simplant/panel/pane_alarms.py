"""The alarms: what is there, first-out first, then what is gone; each to be acknowledged.

Whether an alarm is gone is the program's affair, by its own reset. Rule: acknowledging says that somebody has seen it,
and does nothing to the machine.
"""

from simplant.panel.course import AlarmSeen, Course
from simplant.panel.lines import Line, fit, line, wrapped
from simplant.panel.pane import Pane
from simplant.panel.session import Session
from simplant.timebase import to_seconds


class AlarmsPane(Pane):
    """The list of alarms."""

    NAME = "alarms"

    def __init__(self, session: Session, course: Course) -> None:
        super().__init__(session)
        self.course = course
        tables = session.machine.program.alarm_tables
        self._rows = {alarm.name: alarm for table in tables for alarm in table.alarms}

    def lines(self, width: int) -> list[Line]:
        """Give those that are there in the order they came, then the others, the latest first."""
        there = self.course.there
        gone = [alarm for alarm in reversed(self.course.alarms) if alarm.cleared is not None]
        if not there and not gone:
            return [line(("no alarm came", "faint"))]
        lines = [told for alarm in there for told in self._there(alarm, width)]
        return lines + [self._gone(alarm, width) for alarm in gone[:50]]

    def _there(self, alarm: AlarmSeen, width: int) -> list[Line]:
        row = self._rows[alarm.name]
        mark = "1st" if alarm.first_out else "   "
        state = "seen" if alarm.seen else "NEW "
        begin = f"{mark} {to_seconds(alarm.at):>9.3f} {state} "
        lines = [line((begin, "bad" if not alarm.seen else "warn"), (alarm.name, "strong"), key=alarm.name)]
        spans = wrapped([(f"    {row.text}", "")], width, 4)
        if row.action:
            spans += wrapped([(f"    → {row.action}", "faint")], width, 6)
        lines += [line(*told, key=alarm.name) for told in spans]
        return lines

    def _gone(self, alarm: AlarmSeen, width: int) -> Line:
        mark = "1st" if alarm.first_out else "   "
        state = "gone" if alarm.seen else "GONE"
        text = f"{mark} {to_seconds(alarm.at):>9.3f} {state} {alarm.name}"
        return line((fit(text, width).rstrip(), "faint" if alarm.seen else ""), key=alarm.name)

    def use(self, key: str) -> str:
        """Acknowledge one."""
        self.course.acknowledge(key)
        return f"{key} acknowledged"
