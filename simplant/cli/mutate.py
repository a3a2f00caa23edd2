"""`simplant mutate MACHINE`: which mistakes in the program would any rule or expectation notice?

The mistakes are logic/mutate/, running them campaign/mutation.py, the tables cli/views/mutation.py. Rule: a survivor is
told with its place and what is missing; exit code 1 only if a wanted score is not reached.
"""

import argparse
import json
from typing import Any

from rich.console import Console

from simplant.campaign.campaign import Campaign
from simplant.campaign.mutation import Fate, Suite, Trial, Tried, all_mutants, score, suite_of, try_mutant
from simplant.chance import draw
from simplant.cli.find import find_machine, find_scenario, scenario_files
from simplant.cli.numbers import at_least_one
from simplant.cli.progress import add_campaign_options, bar, store_of
from simplant.cli.views.mutation import mutation_view
from simplant.errors import UsageError
from simplant.logic.mutate import KINDS, Mutant
from simplant.rig.machine import Machine
from simplant.scenario.model import Scenario
from simplant.scenario.read import read_scenario


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("mutate", help="tell which mistakes in a machine's program nothing would notice")
    parser.add_argument("machine", help="folder of the machine, or its name under programs/")
    parser.add_argument(
        "--scenario", metavar="NAME", action="append", help="run this one (default: all of the machine)"
    )
    parser.add_argument(
        "--only", metavar="KIND", action="append", choices=tuple(KINDS), help=f"one of: {', '.join(KINDS)}"
    )
    parser.add_argument("--sample", metavar="N", type=at_least_one, help="try so many, drawn by chance (default: all)")
    parser.add_argument("--seed", metavar="N", type=int, default=1, help="of the sample (default 1)")
    parser.add_argument("--at-least", metavar="PERCENT", type=float, help="exit code 1 if fewer are killed")
    add_campaign_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    machine = find_machine(options.machine)
    suite, spoilt = suite_of(machine, _scenarios(machine, options.scenario))
    if not suite.names:
        raise UsageError("no scenario is without a finding", "a mutant is known by a finding that was not there before")
    chosen = _chosen(machine, options)
    trials = [Trial(controller, number, str(mutant), suite) for controller, number, mutant in chosen]
    with store_of(options, f"{machine.name}-mutate") as store, bar("mutants", console, silent=options.json) as tell:
        fates = Campaign(machine, try_mutant, Fate, store, options.processes, tell, options.cluster).run(trials)
    tried = [Tried(controller, mutant, fate) for (controller, _, mutant), fate in zip(chosen, fates, strict=True)]
    if options.json:
        console.file.write(json.dumps(_json(tried, suite, spoilt), indent=1) + "\n")
    else:
        console.print(mutation_view(machine.name, tried, suite, spoilt))
    counted = score(tried)
    return 1 if options.at_least and counted.killed * 100 < options.at_least * counted.counted else 0


def _scenarios(machine: Machine, named: list[str] | None) -> list[tuple[str, Scenario]]:
    if named:
        return [(name, find_scenario(machine, name)) for name in dict.fromkeys(named)]
    return [(path.stem, read_scenario(path)) for path in scenario_files([str(machine.scenario_folder())])]


def _chosen(machine: Machine, options: argparse.Namespace) -> list[tuple[str, int, Mutant]]:
    numbers: dict[str, int] = {}
    listed = []
    for controller, mutant in all_mutants(machine):
        number = numbers[controller] = numbers.get(controller, -1) + 1
        if not options.only or mutant.kind in options.only:
            listed.append((controller, number, mutant))
    if options.sample is None or options.sample >= len(listed):
        return listed
    order = sorted(range(len(listed)), key=lambda k: draw(options.seed, "sample of mutants", k))
    return [listed[k] for k in sorted(order[: options.sample])]


def _json(tried: list[Tried], suite: Suite, spoilt: tuple[str, ...]) -> dict[str, Any]:
    counted = score(tried)
    return {
        "mutants": len(tried),
        "counted": counted.counted,
        "killed": counted.killed,
        "differed": counted.differed,
        "bounds": counted.bounds,
        "scenarios": suite.names,
        "left_out": spoilt,
        "fates": [
            {
                "controller": each.controller,
                "kind": each.mutant.kind,
                "place": str(each.mutant.place),
                "where": each.mutant.where,
                "before": each.mutant.before,
                "after": each.mutant.after,
                "inside": each.mutant.inside,
                "became": each.fate.became,
                "by": each.fate.by,
                "how": each.fate.how,
                "rule": each.fate.rule,
                "differed": each.fate.differed,
                "needed": each.needed if each.fate.became == "survived" else "",
            }
            for each in tried
        ],
    }
