"""The steps that each chart went through, with times.

Deriving them from a trace is scenario/records.py. Rule: a step still active at the end has no
leaving time, and says so.
"""

from collections.abc import Sequence

from rich.console import RenderableType

from simplant.cli.views.plain import plain_table
from simplant.scenario.records import StepRecord
from simplant.scenario.trace import seconds_text
from simplant.timebase import Ns


def steps_view(steps: Sequence[StepRecord], end: Ns, most: int = 60) -> RenderableType:
    """Show steps in the order entered.

    Args:
        steps: what was recorded.
        end: end of the run, ns: how long a step has lasted that is still active.
        most: the most rows to show.
    """
    rows = [
        (
            s.chart,
            s.step,
            seconds_text(s.entered),
            seconds_text(s.left, "active"),
            seconds_text((end if s.left is None else s.left) - s.entered),
        )
        for s in steps
    ]
    return plain_table("Steps", ("chart", "step", ">entered s", ">left s", ">lasted s"), rows, most=most)
