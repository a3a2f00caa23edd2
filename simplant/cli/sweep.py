"""`simplant sweep SCENARIO`: one story again and again, with a power cut, the phase or the scan period varied.

Sweeping is campaign/, the table cli/views/sweep.py. Rule: exit code 1 if a demanded rule breaks that no accepted hazard
covers; what breaks first is written down as a scenario, to be replayed for ever.
"""

import argparse
import json
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from re import sub
from typing import Any, Final

from rich.console import Console
from rich.text import Text

from simplant.campaign import Axis, Span, Sweep, cuts, periods, phases, sweep
from simplant.cli.numbers import a_time
from simplant.cli.progress import progress
from simplant.cli.views.sweep import sweep_view
from simplant.errors import UsageError
from simplant.rig.machine import MAIN, Machine
from simplant.rig.replay import machine_of
from simplant.scenario.model import Expect, Scenario
from simplant.scenario.read import read_scenario
from simplant.scenario.write import write_scenario
from simplant.timebase import Ns, duration, show

_HOW: Final = (
    ("--steps", "N", int, "how many phases, or periods (default: 20 phases, a period for each millisecond)"),
    ("--random", "N", int, "with --cut-power: also at so many random instants"),
    ("--seed", "N", int, "of the random instants (default: the scenario's)"),
    ("--supply", "NAME", str, "with --cut-power: cut the feed of this supply, and all that hangs on it"),
    ("--processes", "N", int, "how many processes (default: one for each core, if there are runs enough)"),
)


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("sweep", help="vary one thing through a scenario, and tell where anything changes")
    parser.add_argument("scenario", help="scenario file")
    parser.add_argument("--cut-power", action="store_true", help="cut the power once, at every scan that is not asleep")
    parser.add_argument("--phase", action="store_true", help="let all that happens come later, through one scan period")
    parser.add_argument("--period", metavar="FROM..TO", help="vary the scan period, for instance 5ms..50ms")
    parser.add_argument("--controller", metavar="NAME", default=MAIN, help="whose power or period (default: main)")
    parser.add_argument(
        "--for", dest="length", type=a_time, metavar="TIME", default="300ms", help="length of a cut (default 300ms)"
    )
    parser.add_argument("--restart", choices=("warm", "cold"), help="after a cut (default: as the controller is set)")
    for name, metavar, kind, text in _HOW:
        parser.add_argument(name, metavar=metavar, type=kind, help=text)
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    scenario = read_scenario(options.scenario)
    machine = Machine.load(machine_of(Path(options.scenario), scenario))
    axes = list(_axes(machine, scenario, options))
    if not axes:
        raise UsageError("nothing is varied", mend="add --cut-power, --phase or --period 5ms..50ms")
    done = [_sweep(machine, scenario, axis, options, console) for axis in axes]
    saved = _save(done, options)
    if options.json:
        told = {"machine": machine.name, "scenario": options.scenario, "sweeps": [_json(each) for each in done]}
        console.file.write(json.dumps({**told, "saved": saved}, indent=1) + "\n")
    else:
        _tell(done, saved, console)
    return 1 if done[0].base.exit_code or any(each.found for each in done) else 0


def _axes(machine: Machine, scenario: Scenario, options: argparse.Namespace) -> Iterator[Axis]:
    if options.cut_power:
        yield cuts(
            machine, scenario, controller=options.controller, supply=options.supply or "",
            for_=options.length, restart=options.restart, random=options.random or 0, seed=options.seed,
        )  # fmt: skip
    if options.phase:
        yield phases(machine, scenario, steps=options.steps or 20)
    if options.period:
        least, most = _range(options.period)
        yield periods(machine, scenario, least, most, controller=options.controller, steps=options.steps)


def _range(text: str) -> tuple[Ns, Ns]:
    least, dots, most = text.partition("..")
    if not dots:
        raise UsageError(f"{text!r} is no range of periods", mend="write for instance --period 5ms..50ms")
    return duration(least), duration(most)


def _sweep(machine: Machine, scenario: Scenario, axis: Axis, options: argparse.Namespace, console: Console) -> Sweep:
    with _bar(axis, console, silent=options.json) as tell:
        return sweep(machine, scenario, axis, processes=options.processes, tell=tell)


@contextmanager
def _bar(axis: Axis, console: Console, *, silent: bool) -> Iterator[Callable[[int], None]]:
    began = time.monotonic()
    with progress("sweep", len(axis.cases), console, silent=silent) as tell:

        def advance(done: int) -> None:
            pace = done / max(time.monotonic() - began, 1e-9)
            tell(done, f"{done} of {len(axis.cases)} at {pace:.0f}/s")

        yield advance


def _save(done: list[Sweep], options: argparse.Namespace) -> list[str]:
    """Write the first case of each rule that breaks; a period is no part of a scenario, so those cannot be."""
    first: dict[str, tuple[Sweep, Span]] = {}
    for swept in done:
        for span in swept.found:
            if not span.first.period:
                first.setdefault(span.change.what, (swept, span))
    paths = []
    for what, (swept, span) in first.items():
        Path("runs").mkdir(exist_ok=True)
        title = f"{Path(options.scenario).stem}, {swept.axis.at} {show(span.first.at)}: {what}"
        path = Path("runs") / sub(r"[^a-z0-9]+", "_", f"{span.first.scenario.machine} sweep {what}".lower())
        write_scenario(replace(span.first.scenario, title=title, expect=Expect()), path.with_suffix(".toml"))
        paths.append(path.with_suffix(".toml").as_posix())
    return paths


def _tell(done: list[Sweep], saved: list[str], console: Console) -> None:
    for text in done[0].base.findings:
        console.print(Text(f"the story as it is already has a finding: {text}", style="bold red"))
    for swept in done:
        console.print(sweep_view(swept), "")
    for path in saved:
        console.print(Text(f"again: simplant replay {path}"))
    rules = dict.fromkeys(span.change.what for swept in done for span in swept.found)
    told = f"{len(rules)} demanded rule(s) break" if rules else "no demanded rule breaks that the base run holds"
    console.print(Text(told, style="bold"))


def _json(swept: Sweep) -> dict[str, Any]:
    return {
        "axis": swept.axis.title,
        "at": swept.axis.at,
        "runs": len(swept.axis.cases),
        "base_findings": list(swept.base.findings),
        "changes": [
            {
                "kind": span.change.kind,
                "what": span.change.what,
                "from_ns": span.first.at,
                "to_ns": span.last.at,
                "runs": span.runs,
                "steps": list(span.steps),
            }
            for span in swept.spans
        ],
    }
