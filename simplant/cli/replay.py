"""`simplant replay PATH...`: rerun scenarios, judge them, and compare with their stored traces.

A golden trace stands beside its scenario (`good_calls.toml`, `good_calls.trace`) and is optional. FINDING is a rule
or an expectation, DIFFERENT a trace. Of a folder is told, too, what none of its scenarios shows. Rule: `--accept` shows
what changed before it renews anything, and never accepts a newly broken rule.
"""

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from textwrap import indent
from typing import Any

from rich.console import Console
from rich.progress import track
from rich.text import Text

from simplant.cli.covering import add_coverage, check_coverage, coverage_json, tell_coverage
from simplant.cli.find import scenario_files
from simplant.cli.views.as_json import as_json
from simplant.cli.views.difference import difference_view
from simplant.rig.coverage import Coverage
from simplant.rig.machine import Machine
from simplant.rig.replay import Replayed, never_shown, replay_file
from simplant.scenario.trace import Trace


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("replay", help="rerun scenarios and compare them with their stored traces")
    told = "scenario files, folders of them, or names under scenarios/"
    parser.add_argument("paths", nargs="+", metavar="PATH", help=told)
    parser.add_argument("--accept", action="store_true", help="show what changed, then renew the stored traces")
    parser.add_argument("--every-scan", action="store_true", help="run every scan; the traces must be the same")
    add_coverage(parser)
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    check_coverage(options)
    files = scenario_files(options.paths)
    machines: dict[Path, Machine] = {}
    silent = options.json or len(files) < 2 or not console.is_terminal
    steps = track(files, "replay", console=console, transient=True, disable=silent)
    coverage = Coverage()
    load = Machine.load if options.coverage is None else coverage.load
    done = [replay_file(path, machines, every_scan=options.every_scan, load=load) for path in steps]
    whole = files != [Path(path) for path in options.paths]  # a folder is among them
    warnings = never_shown(done) if whole else ()
    if options.json:
        told = {"scenarios": [_json(r) for r in done], "warnings": list(warnings), **coverage_json(options, coverage)}
        console.file.write(json.dumps(told, indent=1, allow_nan=False) + "\n")
    else:
        _tell_all(done, warnings, console)
        tell_coverage(options, coverage, console)
    if options.accept:
        return _accept(done, console)
    bad = sum(not r.good for r in done)
    if not options.json:
        console.print(Text(f"{len(done) - bad} of {len(done)} scenarios as expected", style="bold"))
    return 1 if bad else 0


def _tell_all(done: list[Replayed], warnings: Sequence[str], console: Console) -> None:
    """Tell each scenario; of a single one its warnings too, of a folder what it leaves unshown."""
    for replayed in done:
        _tell(replayed, console)
    if len(done) == 1 and not warnings:
        warnings = done[0].result.warnings
    for text in warnings:
        console.print(Text(f"warning: {text}", style="yellow"))


def _tell(replayed: Replayed, console: Console) -> None:
    result = replayed.result
    if replayed.good:
        against = "same trace" if replayed.stored else "no stored trace"
        hazards = f", {len(result.accepted)} accepted hazard(s)" if result.accepted else ""
        console.print(Text(f"as expected  {replayed.path} ({against}{hazards})"))
        return
    word = "FINDING" if result.findings else "DIFFERENT"
    console.print(Text(f"{word:<13}{replayed.path}", style="bold red"))
    console.print(Text(indent(replayed.told(), "  ")))
    if replayed.difference is not None:
        console.print(difference_view(replayed.difference))
    console.print(Text(f"  again: simplant replay {replayed.path}"))


def _accept(done: list[Replayed], console: Console) -> int:
    refused = 0
    for replayed in done:
        if replayed.result.findings:
            refused += 1
            console.print(Text(f"not renewed  {replayed.golden}: {replayed.result.findings[0]}", style="bold red"))
        elif replayed.difference is not None or not replayed.stored:
            Trace(tuple(replayed.result.trace), replayed.result.trace.header).write(replayed.golden)
            console.print(Text(f"renewed      {replayed.golden}"))
    return 1 if refused else 0


def _json(replayed: Replayed) -> dict[str, Any]:
    result = replayed.result
    return {
        "scenario": str(replayed.path),
        "good": replayed.good,
        "stored_trace": replayed.stored,
        "findings": list(result.findings),
        "warnings": list(result.warnings),
        "accepted": {rule: hazard.reason for rule, hazard in result.accepted.items()},
        "difference": as_json(difference=replayed.difference)["difference"],
    }
