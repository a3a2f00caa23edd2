"""`simplant replay PATH...`: rerun scenarios, judge them, and compare with their stored traces.

A golden trace stands beside its scenario (`good_calls.toml`, `good_calls.trace`) and is optional.
Rule: `--accept` shows what changed before it renews anything, and never accepts a newly broken rule.
"""

import argparse
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.progress import track
from rich.text import Text

from simplant.cli.find import machine_of, scenario_files
from simplant.cli.views.as_json import as_json
from simplant.cli.views.difference import difference_view
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.scenario.compare import Difference, first_difference
from simplant.scenario.read import read_scenario
from simplant.scenario.trace import Trace


@dataclass(frozen=True, slots=True)
class Replayed:
    """One scenario rerun: its run, its golden trace if there is one, and where they part."""

    path: Path
    result: Run
    golden: Path
    difference: Difference | None

    @property
    def stored(self) -> bool:
        """Whether there is a golden trace."""
        return self.golden.is_file()

    @property
    def good(self) -> bool:
        """Whether all expectations are met and the trace is the stored one."""
        return not self.result.findings and self.difference is None


def add_parser(commands: Any) -> None:  # noqa: ANN401 - argparse gives its sub-parsers no public type
    """Add this command."""
    parser = commands.add_parser("replay", help="rerun scenarios and compare them with their stored traces")
    parser.add_argument("paths", nargs="+", metavar="PATH", help="scenario files, or folders of them")
    parser.add_argument("--accept", action="store_true", help="show what changed, then renew the stored traces")
    parser.add_argument("--every-scan", action="store_true", help="run every scan; the traces must be the same")
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.set_defaults(run=run)


def replay_file(path: Path, machines: dict[Path, Machine], *, every_scan: bool = False) -> Replayed:
    """Rerun one scenario file.

    Args:
        machines: machines read so far, by folder; added to.
        every_scan: never sleep.

    Raises:
        SimplantError: the scenario, its machine or its trace cannot be read.
    """
    scenario = read_scenario(path)
    folder = machine_of(path, scenario)
    if folder not in machines:
        machines[folder] = Machine.load(folder)
    result = run_scenario(machines[folder], scenario, every_scan=every_scan)
    golden = path.with_suffix(".trace")
    difference = first_difference(Trace.read(golden), result.trace) if golden.is_file() else None
    return Replayed(path, result, golden, difference)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    files = scenario_files(options.paths)
    machines: dict[Path, Machine] = {}
    silent = options.json or len(files) < 2
    steps = track(files, "replay", console=console, transient=True, disable=silent)
    done = [replay_file(path, machines, every_scan=options.every_scan) for path in steps]
    if options.json:
        console.file.write(json.dumps([_json(r) for r in done], indent=1, allow_nan=False) + "\n")
    else:
        for replayed in done:
            _tell(replayed, console)
    if options.accept:
        return _accept(done, console)
    bad = sum(not r.good for r in done)
    if not options.json:
        console.print(Text(f"{len(done) - bad} of {len(done)} scenarios as expected", style="bold"))
    return 1 if bad else 0


def _tell(replayed: Replayed, console: Console) -> None:
    result = replayed.result
    if replayed.good:
        against = "same trace" if replayed.stored else "no stored trace"
        hazards = f", {len(result.accepted)} accepted hazard(s)" if result.accepted else ""
        console.print(Text(f"as expected  {replayed.path} ({against}{hazards})"))
        return
    console.print(Text(f"DIFFERENT    {replayed.path}", style="bold red"))
    for text in result.findings:
        console.print(Text(f"  {text}"))
    for verdict in result.verdicts:
        if any(f"rule {verdict.rule!r} broken" in text for text in result.findings):
            console.print(Text(f"  {verdict.told()}"))
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
