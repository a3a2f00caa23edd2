"""`simplant diagram MACHINE`: the machine's charts as state diagrams, for a README or a wall.

Drawing is report/state_diagram.py. Rule: it is made from the table the program runs by, so it cannot be out of date.
"""

import argparse
from typing import Any

from rich.console import Console
from rich.text import Text

from simplant.errors import UsageError, nearest
from simplant.files import write_text
from simplant.logic.nodes import Chart
from simplant.report.state_diagram import Picture
from simplant.rig.machine import Machine


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("diagram", help="draw a machine's charts as state diagrams: Mermaid or SVG")
    parser.add_argument("machine", help="folder of the machine, for instance programs/comet_toss")
    parser.add_argument("--chart", metavar="NAME", help="which chart (default: all as Mermaid, the only one as SVG)")
    parser.add_argument("--mermaid", action="store_true", help="print Mermaid text (this is the default)")
    parser.add_argument("--svg", metavar="FILE", help="write one chart as SVG")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    charts = _charts(Machine.load(options.machine), options.chart)
    if options.svg:
        if len(charts) > 1:
            names = ", ".join(chart.name for chart in charts)
            raise UsageError("an SVG file holds one chart", f"there are: {names}", f"add --chart {charts[0].name}")
        write_text(options.svg, Picture(charts[0]).svg())
        console.print(Text(f"diagram written to {options.svg}"))
    if options.mermaid or not options.svg:
        console.file.write("\n".join(Picture(chart).mermaid() for chart in charts))
    return 0


def _charts(machine: Machine, named: str | None) -> list[Chart]:
    charts = {name: sequence.chart for name, sequence in machine.program.charts.items() if sequence.chart is not None}
    if named is not None and named not in charts:
        raise UsageError(f"{machine.name} has no chart {named!r}", mend=nearest(named, charts))
    if not charts:
        why = "diagrams are drawn of step sequences written in Python"
        raise UsageError(f"{machine.name} has no chart to draw: its program is {machine.file.machine.logic}", why)
    return list(charts.values()) if named is None else [charts[named]]
