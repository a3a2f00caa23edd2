"""`simplant matrix MACHINE`: every cause of the cause-and-effect matrix in every step, and what follows it.

The table is campaign/matrix_file.py, the tests campaign/matrix.py, the view cli/views/matrix.py. Rule: exit code 1 if a
cell is broken; a cell that no drill put to the test is told, and is no finding.
"""

import argparse
import json
from typing import Any

from rich.console import Console

from simplant.campaign.campaign import Campaign
from simplant.campaign.failures import ways_of
from simplant.campaign.matrix import Seen, Tested, drill, drills_of, judge, matrix_of
from simplant.cli.find import find_machine, find_ways
from simplant.cli.progress import add_campaign_options, bar, store_of
from simplant.cli.views.matrix import matrix_view
from simplant.rules import Outcome


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("matrix", help="test each cell of a machine's cause-and-effect matrix")
    parser.add_argument("machine", help="folder of the machine, or its name under programs/")
    parser.add_argument(
        "--scenario",
        metavar="NAME",
        action="append",
        help="a way of use (default: each scenario in which all goes well)",
    )
    add_campaign_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    machine = find_machine(options.machine)
    matrix = matrix_of(machine)
    ways = ways_of(machine, find_ways(machine, options.scenario), named=bool(options.scenario))
    drills = drills_of(matrix, ways)
    with store_of(options, f"{machine.name}-matrix") as store, bar("drills", console, silent=options.json) as tell:
        campaign = Campaign(machine, drill, Seen, store, options.processes, tell, options.cluster)
        seen = campaign.run(drills)
    tested = judge(matrix, drills, seen)
    if options.json:
        console.file.write(json.dumps([_json(each) for each in tested], indent=1) + "\n")
    else:
        console.print(matrix_view(machine.name, matrix, tested, len(drills) // 2, tuple(way.name for way in ways)))
    return 1 if any(each.outcome is Outcome.BROKEN for each in tested) else 0


def _json(each: Tested) -> dict[str, Any]:
    return {
        "cause": each.cause,
        "effect": each.effect,
        "mark": each.cell.mark.value,
        "within": each.cell.within,
        "after": each.cell.after,
        "outcome": each.outcome.value,
        "tested": each.tested,
        "longest": each.longest,
        "wrong": [{"drill": drill, "what": what} for drill, what in each.wrong],
    }
