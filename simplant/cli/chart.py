"""`simplant chart PATH`: the timing chart of a run as a picture of its own.

Drawing is report/timing.py. Rule: SVG needs nothing, PNG a library that is an extra; what is out of the window is not
drawn, what is within it always.
"""

import argparse
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from simplant.cli.numbers import a_time
from simplant.errors import UsageError
from simplant.files import write_bytes, write_text
from simplant.report.choice import first_of, groups_of
from simplant.report.marks import lanes_of
from simplant.report.png import png_of
from simplant.report.shown import Shown, show_file
from simplant.report.timing import Chart
from simplant.timebase import Ns, show

LEAST, MOST = 400, 8000
"""Widths that can be drawn, pixels."""


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("chart", help="draw the timing chart of a run as SVG or PNG")
    parser.add_argument("path", metavar="PATH", help="scenario to run, or stored trace")
    parser.add_argument("--svg", metavar="FILE", help="write it as SVG, its text selectable")
    parser.add_argument("--png", metavar="FILE", help="write it as PNG (needs the extra: simplant[report])")
    parser.add_argument("--show", metavar="NAMES", help="what to draw, separated by commas (default: what moved)")
    parser.add_argument(
        "--from", dest="first", type=a_time, metavar="TIME", default="0s", help="begin of the window (default: 0s)"
    )
    parser.add_argument(
        "--to", dest="last", type=a_time, metavar="TIME", help="end of the window (default: the end of the run)"
    )
    parser.add_argument(
        "--width", metavar="PIXELS", type=int, default=1100, help="width of the picture (default: 1100)"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    if not options.svg and not options.png:
        raise UsageError("nothing to write the chart to", mend="give --svg FILE, --png FILE or both")
    if not LEAST <= options.width <= MOST:
        raise UsageError(f"a chart cannot be {options.width} pixels wide", mend=f"choose {LEAST} to {MOST}")
    wanted = None if options.show is None else [name.strip() for name in options.show.split(",") if name.strip()]
    shown = show_file(Path(options.path), {}, lines=wanted)
    svg = _chart(shown, wanted, options).svg()
    if options.svg:
        write_text(options.svg, svg)
    if options.png:
        write_bytes(options.png, png_of(svg))
    for path in filter(None, (options.svg, options.png)):
        console.print(Text(f"chart written to {path}"))
    return 0


def _chart(shown: Shown, wanted: list[str] | None, options: argparse.Namespace) -> Chart:
    first: Ns = options.first
    last: Ns = shown.ended if options.last is None else min(options.last, shown.ended)
    if not 0 <= first < last:
        raise UsageError(
            f"there is nothing from {show(first)} to {show(last)}", f"the run ends at {show(shown.ended)}",
            "let --from be before --to, and both within the run",
        )  # fmt: skip
    groups = groups_of(shown, wanted)
    return Chart(shown.title, groups if wanted else first_of(groups), lanes_of(shown), first, last, options.width)
