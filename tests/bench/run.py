"""The bench: one table of ratios, measured in one run, each beside the bound it must keep.

What is measured is measures.py; where the time goes is profile.py. CI does not time anything: it counts scans and
moves (tests/machines/test_comet_toss_counts.py). Rule: exit code 1 if a bound is not kept.
"""

import argparse
import json
from collections.abc import Sequence
from dataclasses import asdict

from rich.console import Console
from rich.table import Table

from simplant.rig.machine import Machine
from tests.bench.measures import Bench
from tests.bench.profile import profile_of


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure and show; give the exit code."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--turns", type=int, default=30, help="how often each side takes its turn (default 30)")
    parser.add_argument("--hours", type=float, default=8.0, help="machine time of the long run (default 8)")
    parser.add_argument("--quick", action="store_true", help="few turns and half an hour")
    parser.add_argument("--profile", action="store_true", help="also show where the time of the 60 s run goes")
    parser.add_argument("--json", action="store_true", help="print JSON instead of tables")
    options = parser.parse_args(arguments)
    turns, hours = (6, 0.5) if options.quick else (options.turns, options.hours)
    bench = Bench(Machine.load("programs/comet_toss"), turns, hours)
    bench.all()
    console = Console(highlight=False)
    if options.json:
        console.file.write(json.dumps(_json(bench), indent=1) + "\n")
    else:
        _tell(bench, console)
    if options.profile:
        for table in profile_of(bench.run):
            console.print(table)
    return 0 if all(ratio.kept for ratio in bench.ratios) else 1


def _json(bench: Bench) -> dict[str, object]:
    ratios = [asdict(ratio) | {"kept": ratio.kept} for ratio in bench.ratios]
    return {"ratios": ratios, "figures": bench.figures}


def _tell(bench: Bench, console: Console) -> None:
    table = Table("", "ratio of", "measured", "required", "", title="comet_toss")
    for r in bench.ratios:
        bound = f"{'at least' if r.least else 'at most'} {r.bound:g}"
        table.add_row(r.name, r.what, f"{r.value:.2f}", bound, "kept" if r.kept else "NOT KEPT")
    console.print(table)
    figures = Table("figure", "", title="on this machine, now")
    for name, value in bench.figures.items():
        figures.add_row(name, f"{value:,.0f}" if value >= 1000 else f"{value:,.4g}")
    console.print(figures)
