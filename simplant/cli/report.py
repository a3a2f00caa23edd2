"""`simplant report PATH...`: one page that shows what happened in runs, to send or to keep with the machine's papers.

What stands in the page is report/. Rule: the page is written whole or not at all, and judged as `replay` judges.
"""

import argparse
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.progress import track
from rich.text import Text

from simplant.cli.find import scenario_files
from simplant.files import write_text
from simplant.report.coverage_part import coverage_part
from simplant.report.failure_part import failure_part, read_lines
from simplant.report.html import tag
from simplant.report.page import page
from simplant.report.safety import SAFETY
from simplant.report.shown import Shown, show_file
from simplant.rig.coverage import Coverage
from simplant.rig.machine import Machine
from simplant.scenario.text_file import read_text


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("report", help="write one HTML page that shows runs: chart, rules, alarms, path")
    parser.add_argument("paths", nargs="+", metavar="PATH", help="scenarios to run, folders of them, or stored traces")
    parser.add_argument("--out", metavar="FILE", help="where to write the page (default: runs/...)")
    parser.add_argument("--failures", metavar="FILE", help="also show this failure table (of simplant fmea --csv)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    files = scenario_files(options.paths)
    machines: dict[Path, Machine] = {}
    steps = track(files, "report", console=console, transient=True, disable=len(files) < 2)
    coverage = Coverage()
    runs = [show_file(path, machines, coverage=coverage) for path in steps]
    out = Path(options.out) if options.out else _default(runs)
    write_text(out, page(runs, coverage_part(coverage) + _failures(options.failures)))
    for shown in runs:
        _tell(shown, console)
    console.print(Text(f"page written to {out}"))
    console.print(Text(SAFETY, style="italic"))
    return 1 if any(shown.run is not None and shown.run.findings for shown in runs) else 0


def _failures(path: str | None) -> str:
    if path is None:
        return ""
    lines = read_lines(read_text(Path(path), "failure table"), path)
    return tag("h2", "Failure table") + failure_part(lines)


def _default(runs: list[Shown]) -> Path:
    folder = Path("runs")
    folder.mkdir(exist_ok=True)
    one = runs[0]
    stem = one.path.stem if one.path.stem.startswith(one.machine.name) else f"{one.machine.name}-{one.path.stem}"
    return folder / (f"{stem}.html" if len(runs) == 1 else "report.html")


def _tell(shown: Shown, console: Console) -> None:
    if shown.run is None:
        console.print(Text(f"stored trace, not judged: {shown.path}"))
        return
    for finding in shown.run.findings:
        console.print(Text(f"FINDING: {finding}", style="bold red"))
    word = f"{len(shown.run.findings)} finding(s)" if shown.run.findings else "everything that was demanded held"
    console.print(Text(f"{word}: {shown.path}"))
