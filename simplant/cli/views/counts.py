"""Numbers of a run: catches and misses, and how many scans were run and slept through.

Rule: a controller that could not sleep says why.
"""

from collections.abc import Sequence

from rich.console import RenderableType

from simplant.cli.views.plain import plain_table, shown
from simplant.scenario.records import Count, ScanCount


def counts_view(counts: Sequence[Count]) -> RenderableType:
    """Show what was counted."""
    return plain_table("Counts", ("", ">", ""), [(c.name, shown(c.value), c.text) for c in counts])


def scans_view(scans: Sequence[ScanCount]) -> RenderableType:
    """Show the scans of each controller: run, slept through, the share slept, and why it stayed awake."""
    rows = [(s.controller, f"{s.run:,}", f"{s.slept:,}", _share(s), s.reason) for s in scans]
    return plain_table("Scans", ("controller", ">run", ">slept", ">share slept", "why not asleep"), rows)


def _share(scans: ScanCount) -> str:
    total = scans.run + scans.slept
    return f"{scans.slept / total:.1%}" if total else ""
