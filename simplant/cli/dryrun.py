"""`simplant dryrun MACHINE`: run a machine's program against its modelled plant, and tell what happened.

Running and judging is rig/outcome.py, each table cli/views/. Rule: what is printed stands in the
JSON too.
"""

import argparse
import json
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from rich.console import Console
from rich.text import Text

from simplant.cli.covering import add_coverage, check_coverage, coverage_json, tell_coverage
from simplant.cli.find import find_machine, find_points, find_scenario
from simplant.cli.numbers import a_time
from simplant.cli.progress import progress
from simplant.cli.views.alarms import alarms_view
from simplant.cli.views.as_json import as_json
from simplant.cli.views.counts import counts_view, scans_view
from simplant.cli.views.events import events_view, forced_view
from simplant.cli.views.ledger import ledger_view
from simplant.cli.views.rules import rules_view
from simplant.cli.views.steps import steps_view
from simplant.cli.views.timing import TimingChart
from simplant.report.safety import SAFETY
from simplant.rig.coverage import Coverage
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rig.rig import Rig
from simplant.scenario.model import Scenario
from simplant.scenario.recorder import Recorder
from simplant.scenario.table import write_table
from simplant.scenario.vcd import write_vcd
from simplant.scenario.write import write_scenario
from simplant.timebase import Ns, ms, show

SLICE: Final = ms(50)
"""How far a run in real time goes between two looks at the clock."""


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("dryrun", help="run a machine's program against its modelled plant")
    parser.add_argument("machine", help="folder of the machine, or its name under programs/")
    parser.add_argument("--scenario", metavar="NAME", help="scenario by name or file (default: the machine's own)")
    parser.add_argument(
        "--for", dest="length", type=a_time, metavar="TIME", help="machine time to run, for instance 10m"
    )
    parser.add_argument("--seed", type=int, help="seed of all chance in the run")
    parser.add_argument(
        "--every-scan", action="store_true", help="run every scan; the trace is the same, it only takes longer"
    )
    parser.add_argument("--real-time", action="store_true", help="run at the pace of the wall clock")
    add_coverage(parser)
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.add_argument("--trace", metavar="FILE", help="where to write the trace (default: runs/...)")
    parser.add_argument("--vcd", metavar="FILE", help="also write the trace as VCD (IEEE 1364)")
    parser.add_argument("--csv", metavar="FILE", help="also write the trace as a CSV table")
    parser.add_argument("--save", metavar="FILE", help="save what was run as a scenario")
    parser.add_argument("--show", metavar="NAMES", help="points to draw in the timing chart, separated by commas")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    check_coverage(options)
    machine = find_machine(options.machine)
    scenario = _scenario(machine, options)
    wanted = find_points(machine, options.show) if options.show else []
    path = _trace_path(machine, scenario, options)
    coverage = Coverage()
    if options.coverage is not None:
        machine = coverage.cover(machine)
    result = _run(machine, scenario, Recorder(Rig.header_of(machine, scenario), path), options, console)
    if options.vcd:
        write_vcd(result.trace, options.vcd, result.ended)
    if options.csv:
        write_table(result.trace, options.csv)
    if options.save:
        write_scenario(scenario, options.save)
    if options.json:
        told = {**_json(result, path), **coverage_json(options, coverage)}
        console.file.write(json.dumps(told, indent=1, allow_nan=False) + "\n")
    else:
        _tell(result, path, wanted, console)
        tell_coverage(options, coverage, console)
    return result.exit_code


def _scenario(machine: Machine, options: argparse.Namespace) -> Scenario:
    scenario = find_scenario(machine, options.scenario)
    if options.length is not None:
        scenario = replace(scenario, length=options.length)
    return scenario if options.seed is None else replace(scenario, seed=options.seed)


def _trace_path(machine: Machine, scenario: Scenario, options: argparse.Namespace) -> Path:
    """Give where the trace goes: as told, or into a folder `runs` that is made here if need be."""
    if options.trace:
        return Path(options.trace)
    folder = Path("runs")
    folder.mkdir(exist_ok=True)
    stem = Path(options.scenario or machine.file.machine.scenario or "idle").stem
    return folder / f"{machine.name}-{stem}-{scenario.seed}.trace"


def _run(
    machine: Machine, scenario: Scenario, recorder: Recorder, options: argparse.Namespace, console: Console
) -> Run:
    with _bar(scenario, console, silent=options.json) as advance:
        return run_scenario(
            machine,
            scenario,
            every_scan=options.every_scan,
            recorder=recorder,
            progress=advance,
            pace=_pacer(advance) if options.real_time else None,
        )


@contextmanager
def _bar(scenario: Scenario, console: Console, *, silent: bool) -> Iterator[Any]:
    """Show how far the machine's clock is, while it runs."""
    with progress("dry run", scenario.length, console, silent=silent) as tell:
        yield lambda now: tell(now, f"{now / 1e9:.1f} s of {show(scenario.length)}")


def _pacer(advance: Any) -> Any:
    began = time.monotonic()

    def pace(rig: Rig, until: Ns) -> None:
        while rig.now < until:
            rig.run_until(Ns(min(until, rig.now + SLICE)))
            advance(rig.now)
            ahead = rig.now / 1e9 - (time.monotonic() - began)
            if ahead > 0:
                time.sleep(ahead)

    return pace


def _tell(result: Run, path: Path, wanted: Sequence[str], console: Console) -> None:
    machine, scenario = result.machine, result.scenario
    console.print(Text(f"{machine.name}: {machine.title}", style="bold"))
    told = f"{scenario.title or 'no stimuli'}; {show(result.ended)} of machine time, seed {scenario.seed}"
    console.print(Text(told), "")
    if result.steps:
        console.print(steps_view(result.steps, result.ended), "")
    console.print(TimingChart(result.trace, chart_names(result, wanted), Ns(0), result.ended), "")
    console.print(alarms_view(result.alarms), "")
    console.print(rules_view(result.verdicts, set(result.accepted) | set(result.undemanded)), "")
    for records, view in (
        (result.balls, ledger_view(result.balls)),
        (result.counts, counts_view(result.counts)),
        (result.scans, scans_view(result.scans)),
        (result.events, events_view(result.events)),
        (result.forced, forced_view(result.forced)),
    ):
        if records:
            console.print(view, "")
    _tell_findings(result, path, console)


def _tell_findings(result: Run, path: Path, console: Console) -> None:
    for rule, hazard in result.accepted.items():
        console.print(Text(f"accepted hazard: {rule}: {hazard.reason} ({hazard.who}, {hazard.date})", style="yellow"))
    for rule in result.undemanded:
        console.print(Text(f"broken, but not demanded under these faults: {rule}", style="yellow"))
    for text in result.warnings:
        console.print(Text(f"warning: {text}", style="yellow"))
    for text in result.findings:
        console.print(Text(f"FINDING: {text}", style="bold red"))
    console.print(Text(f"trace written to {path}"))
    held = "everything that was demanded held" if not result.findings else f"{len(result.findings)} finding(s)"
    console.print(Text(held, style="bold"))
    console.print(Text(SAFETY, style="italic"))


def chart_names(result: Run, wanted: Sequence[str] = ()) -> dict[str, list[str]]:
    """Give what the timing chart draws: what was asked for, else the machine's choice, else all points that change."""
    if wanted:
        return {"": [*wanted]}
    machine = result.machine
    moved = {name for at, name, _ in result.trace if at > 0}
    groups = {
        "steps": list(machine.program.charts),
        "inputs": [p.name for p in machine.io.inputs],
        "outputs": [p.name for p in machine.io.outputs],
        "truths": machine.file.machine.chart,
    }
    return {head: kept for head, names in groups.items() if (kept := [n for n in names if n in moved])}


def _json(result: Run, path: Path) -> dict[str, Any]:
    told = as_json(
        header=result.trace.header,
        steps=result.steps,
        alarms=result.alarms,
        verdicts=result.verdicts,
        balls=result.balls,
        counts=result.counts,
        scans=result.scans,
        forced=result.forced,
        events=result.events,
    )
    return {
        **told,
        "accepted": {rule: hazard.reason for rule, hazard in result.accepted.items()},
        "undemanded": list(result.undemanded),
        "warnings": list(result.warnings),
        "findings": list(result.findings),
        "plant_moves": result.moves,
        "trace": str(path),
        "safety": SAFETY,
    }
