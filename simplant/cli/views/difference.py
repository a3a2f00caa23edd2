"""Where a run parts from its stored trace.

Comparing is scenario/compare.py. Rule: `-` is what was stored, `+` what this run did, whatever
the colours.
"""

from io import StringIO

from rich.console import Console, Group, RenderableType
from rich.text import Text

from simplant.cli.views.plain import plain_table
from simplant.scenario.compare import Difference
from simplant.scenario.trace import seconds_text


def difference_view(difference: Difference | None, most: int = 20) -> RenderableType:
    """Show the first differing line with its neighbours, and each name's first differing instant.

    Args:
        difference: None says that the traces are the same.
        most: the most names to show.
    """
    if difference is None:
        return Text("Trace: as stored")
    since = min((d.at for d in difference.names), default=None)
    lines = [Text(f"Trace: differs from change {difference.line} on, {seconds_text(since)} s", style="bold")]
    lines += [Text(f"    {line}", style="dim") for line in difference.before]
    lines += [Text(f"  - {line}", style="red") for line in difference.stored or ("(the stored trace ends here)",)]
    lines += [Text(f"  + {line}", style="green") for line in difference.now or ("(this run ends here)",)]
    rows = [(d.name, seconds_text(d.at), d.stored or "(none)", d.now or "(none)") for d in difference.names]
    return Group(
        *lines, plain_table("First difference of each name", ("name", ">at s", "stored", "now"), rows, most=most)
    )


def difference_text(difference: Difference, width: int = 100) -> str:
    """Give the same as lines without colours, for whoever has no terminal (a test report)."""
    text = StringIO()
    Console(file=text, width=width, color_system=None, legacy_windows=False).print(difference_view(difference))
    return "\n".join(line.rstrip() for line in text.getvalue().splitlines())
