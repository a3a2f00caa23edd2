"""`simplant compare OLD NEW`: two versions of a program side by side, on all scenarios and on random inputs.

Comparing is rig/compared.py. Rule: any difference that no condition allows is a finding (exit code 1), with the first
instant, what either version wrote, and the last inputs before.
"""

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.progress import track
from rich.text import Text

from simplant.cli.find import find_folder, scenario_files
from simplant.cli.numbers import a_period
from simplant.cli.views.parting import Parted, others_view, parted_json, parted_view, table_text
from simplant.errors import UsageError
from simplant.expr import Expr
from simplant.rig.compared import Pair, conditions, on_rows, on_scenario, read_pair, shortest, story
from simplant.rig.table import Row
from simplant.scenario.read import read_scenario
from simplant.timebase import Ns


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("compare", help="run two versions of a program side by side: where do they differ?")
    parser.add_argument("old", help="folder of a machine, its name under programs/, or a program file")
    parser.add_argument("new", help="the same of the new version")
    parser.add_argument("--scenarios", action="append", metavar="PATH", help="scenarios (the machine's own)")
    parser.add_argument("--random", type=int, default=50, metavar="N", help="so many random tables of inputs (50)")
    parser.add_argument("--seed", type=int, default=0, help="of the random inputs (0)")
    parser.add_argument("--scan", type=a_period, default="10ms", help="scan period of files that give none (10ms)")
    parser.add_argument(
        "--allow", action="append", default=[], metavar="EXPRESSION",
        help="they may differ while this holds of the new version",
    )  # fmt: skip
    parser.add_argument("--all", action="store_true", help="compare every variable that both have, not only outputs")
    parser.add_argument("--unit", help="of files that run alone: which program, function block or function")
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    pair = read_pair(_path(options.old), _path(options.new), unit=options.unit, every_name=options.all)
    allowed = conditions(options.allow, pair)
    if options.random < 0:
        raise UsageError(f"--random is {options.random}", mend="write 0 or more")
    files = _scenarios(options.scenarios, pair)
    if not files and not options.random:
        raise UsageError("nothing is compared", "there is no scenario, and --random is 0", "leave --random out")
    scan: Ns = options.scan
    parted, courses = _on_scenarios(pair, files, allowed, console, silent=options.json)
    parted += _on_random(pair, courses, options, scan, allowed, console)
    if options.json:
        told = {
            "old": pair.old.name, "new": pair.new.name, "compared": list(pair.names),
            "only_old": list(pair.only_old), "only_new": list(pair.only_new),
            "scenarios": len(files), "random": options.random, "seed": options.seed,
            "differences": [parted_json(each) for each in parted],
        }  # fmt: skip
        console.file.write(json.dumps(told, indent=1, allow_nan=False) + "\n")
    else:
        _tell(pair, parted, len(files), options.random, console)
    return 1 if parted else 0


def _path(named: str) -> Path:
    return Path(named) if Path(named).suffix else find_folder(named)


def _scenarios(given: list[str] | None, pair: Pair) -> list[Path]:
    """Give the scenarios to run: those named, or all of the machine's own."""
    if pair.new.machine is None or pair.old.machine is None:
        if given:
            raise UsageError("there is no machine, so no scenario", mend="compare machine folders, or leave it out")
        return []
    folders = [m.scenario_folder() for m in (pair.new.machine, pair.old.machine)]
    own = next((folder for folder in folders if folder.is_dir()), None)
    return scenario_files(given) if given else scenario_files([str(own)]) if own is not None else []


def _on_scenarios(
    pair: Pair, files: Sequence[Path], allowed: Sequence[Expr], console: Console, *, silent: bool
) -> tuple[list[Parted], list[Sequence[Row]]]:
    """Run the scenarios; give those that differ, and the inputs of each."""
    hidden = silent or not console.is_terminal
    parted: list[Parted] = []
    courses: list[Sequence[Row]] = []
    for path in track(files, "scenarios", console=console, transient=True, disable=hidden):
        found, course = on_scenario(pair, read_scenario(path), allowed)
        if found is not None:
            parted.append(Parted(f"scenario {path.as_posix()}", found, ()))
        if course:
            courses.append(course)
    return parted, courses


def _on_random(
    pair: Pair, courses: Sequence[Sequence[Row]], options: argparse.Namespace, scan: Ns, allowed: Sequence[Expr],
    console: Console,
) -> list[Parted]:  # fmt: skip
    """Run the random tables; of those that differ, tell the first one, made short, and count the others."""
    hidden = options.json or not console.is_terminal
    found = []
    numbers = range(options.random if pair.inputs else min(options.random, 1))
    for number in track(numbers, "random inputs", console=console, transient=True, disable=hidden):
        made = story(pair, courses, options.seed, number, scan)
        apart = on_rows(pair, made.rows, scan, made.until, allowed)
        if apart is not None:
            found.append((made, apart))
    if not found:
        return []
    least, first = min(found, key=lambda each: each[1].at)
    short, parted = shortest(pair, least, scan, first.at, allowed)
    told = f"random inputs {short.number} of seed {options.seed} ({len(found)} of {options.random} differ)"
    return [Parted(told, parted, short.rows, pair.new.bench)]


def _tell(pair: Pair, parted: Sequence[Parted], scenarios: int, random: int, console: Console) -> None:
    for side, names in (("old", pair.only_old), ("new", pair.only_new)):
        if names:
            console.print(Text(f"only in the {side} version: {', '.join(names)}", style="yellow"))
    for group in ([p for p in parted if not p.table], [p for p in parted if p.table]):
        first = min(group, key=lambda p: p.parting.at, default=None)
        if first is not None:
            console.print(parted_view(first))
            if first.table:
                console.print(Text(table_text(first)), soft_wrap=True)
        if len(group) > 1:
            console.print(others_view([p for p in group if p is not first]))
    ran = f"{scenarios} scenario(s), {random} random table(s) of inputs, {len(pair.names)} name(s) compared"
    console.print(Text(f"{'the versions differ' if parted else 'no difference'}: {ran}", style="bold"), soft_wrap=True)
