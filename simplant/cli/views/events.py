"""What happened apart from changes (restarts, overruns, faults, breaches), and what the bench forced.

Rule: that nothing is forced is said, not left out.
"""

from collections.abc import Sequence

from rich.console import RenderableType

from simplant.cli.views.plain import plain_table, shown
from simplant.scenario.records import EventRecord, ForcedRecord
from simplant.scenario.trace import seconds_text


def events_view(events: Sequence[EventRecord], most: int = 60) -> RenderableType:
    """Show events in order of time."""
    return plain_table("Events", (">at s", "event"), [(seconds_text(e.time), e.text) for e in events], most=most)


def forced_view(forced: Sequence[ForcedRecord]) -> RenderableType:
    """Show which points were forced, to what, from when to when."""
    rows = [(f.tag, shown(f.value), seconds_text(f.since), seconds_text(f.until, "still forced")) for f in forced]
    return plain_table("Forced points", ("tag", "value", ">from s", ">to s"), rows, none="no point is forced")
