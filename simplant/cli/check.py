"""`simplant check MACHINE`: what is wrong with a program before it runs.

Being written; the checks are logic/check/. Rule: nothing is run.
"""

import argparse
from typing import Any

from rich.console import Console


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("check", help="say what is wrong with a program before it runs")
    parser.add_argument("machine", help="folder of the machine")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    return 0
