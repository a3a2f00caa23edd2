"""The alarms of a run in the order they came, the first-out marked.

Rule: the mark is a word; an alarm still there at the end says so.
"""

from collections.abc import Sequence

from rich.console import RenderableType
from rich.text import Text

from simplant.cli.views.plain import plain_table
from simplant.scenario.records import AlarmRecord
from simplant.scenario.trace import seconds_text


def alarms_view(alarms: Sequence[AlarmRecord], most: int = 60) -> RenderableType:
    """Show alarms: when, which was first-out, when cleared, what it means."""
    rows = [
        (
            seconds_text(a.time),
            Text("first-out", style="bold red") if a.first_out else "",
            a.name,
            seconds_text(a.cleared, "still there"),
            a.text,
        )
        for a in alarms
    ]
    return plain_table("Alarms", (">came s", "", "alarm", ">cleared s", "text"), rows, most=most)
