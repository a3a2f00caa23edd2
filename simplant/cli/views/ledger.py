"""The ball ledger: where each ball is at the end of a run.

Rule: every ball stands in it, the lost ones too.
"""

from collections.abc import Sequence

from rich.console import RenderableType

from simplant.cli.views.plain import plain_table
from simplant.scenario.records import BallRecord
from simplant.scenario.trace import seconds_text


def ledger_view(balls: Sequence[BallRecord]) -> RenderableType:
    """Show where each ball is and since when."""
    rows = [(b.ball, b.where.replace("_", " "), seconds_text(b.since, "start")) for b in balls]
    return plain_table("Balls", ("ball", "where", ">since s"), rows)
