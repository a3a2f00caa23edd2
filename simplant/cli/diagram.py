"""`simplant diagram MACHINE_OR_FILE`: the charts of a program as pictures, for a README or a wall.

Drawing is report/state_diagram.py and sfc_diagram.py. Rule: it is made from what the program runs by, so it
cannot be out of date.
"""

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from simplant.cli.find import find_machine
from simplant.errors import UsageError, nearest
from simplant.files import write_text
from simplant.logic.layout import Prepared
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.faces import READERS
from simplant.logic.st.project import read_project
from simplant.logic.st.sequences import charts_of
from simplant.report.sfc_diagram import SfcPicture
from simplant.report.state_diagram import Picture


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("diagram", help="draw the charts of a program: Mermaid or SVG")
    parser.add_argument("machine", help="folder of the machine, its name under programs/, or a file with charts")
    parser.add_argument("--chart", metavar="NAME", help="which chart (default: all as Mermaid, the only one as SVG)")
    parser.add_argument("--mermaid", action="store_true", help="print Mermaid text (this is the default)")
    parser.add_argument("--svg", metavar="FILE", help="write one chart as SVG")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    pictures = _pictures(Path(options.machine), options.chart)
    if options.svg:
        if len(pictures) > 1:
            first, *_ = names = list(pictures)
            raise UsageError("an SVG file holds one chart", f"there are: {', '.join(names)}", f"add --chart {first}")
        (picture,) = pictures.values()
        write_text(options.svg, picture.svg())
        console.print(Text(f"diagram written to {options.svg}"))
    if options.mermaid or not options.svg:
        console.file.write("\n".join(picture.mermaid() for picture in pictures.values()))
    return 0


def _pictures(path: Path, named: str | None) -> dict[str, Picture | SfcPicture]:
    """Give the pictures of a machine's program, or of a file, by the name of the chart."""
    if path.suffix.lower() in READERS:
        units = read_project(path).written.units
        told, pictures = str(path), _several({u.name: u.body for u in units if isinstance(u.body, Chart)})
        why = "none of its bodies is a sequential function chart"
    else:
        machine = find_machine(path.as_posix())
        program = machine.program
        told, why = machine.name, f"its program is {machine.file.machine.logic}"
        pictures = {name: Picture(chart) for name, chart in charts_of(program).items()}
        pictures |= _several(program.charts_of_units if isinstance(program, Prepared) else {})
    if named is not None and named not in pictures:
        raise UsageError(f"{told} has no chart {named!r}", mend=nearest(named, pictures))
    if not pictures:
        mend = "diagrams are drawn of step sequences, of a CASE of steps, and of sequential function charts"
        raise UsageError(f"{told} has no chart to draw", why, mend)
    return pictures if named is None else {named: pictures[named]}


def _several(charts: Mapping[str, Chart]) -> dict[str, Picture | SfcPicture]:
    return {name: SfcPicture(name, chart) for name, chart in charts.items()}
