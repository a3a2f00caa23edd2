"""The option `--coverage [FILE]` of commands that run scenarios.

What is covered is rig/coverage.py, the table cli/views/coverage.py. Rule: the file holds all that is printed, and more.
"""

import argparse
import json
from typing import Any

from rich.console import Console
from rich.text import Text

from simplant.cli.views.coverage import coverage_view
from simplant.errors import UsageError
from simplant.files import write_text
from simplant.rig.coverage import Coverage


def add_coverage(parser: argparse.ArgumentParser) -> None:
    """Add the option."""
    told = "tell which steps, transitions, rungs and conditions the runs show; FILE.json: all of it, as JSON"
    parser.add_argument("--coverage", nargs="?", const="", metavar="FILE", help=told)


def check_coverage(options: argparse.Namespace) -> None:
    """Refuse a file that is no place for JSON, before anything runs: `--coverage` may have taken a scenario for it.

    Raises:
        UsageError: it does not end in .json.
    """
    if options.coverage and not options.coverage.lower().endswith(".json"):
        why = "--coverage takes the word behind it as the file to write"
        raise UsageError(f"{options.coverage} is no .json file", why, "name one, or put --coverage last")


def tell_coverage(options: argparse.Namespace, coverage: Coverage, console: Console) -> None:
    """Print the coverage, and write it if the option says where."""
    if options.coverage is not None:
        console.print(coverage_view(coverage))
    if options.coverage:
        write_coverage(options.coverage, coverage)
        console.print(Text(f"coverage written to {options.coverage}"))


def coverage_json(options: argparse.Namespace, coverage: Coverage) -> dict[str, Any]:
    """Give what the JSON of a command says of it; writes the file if one is asked for."""
    if options.coverage:
        write_coverage(options.coverage, coverage)
    return {} if options.coverage is None else {"coverage": coverage.as_json()}


def write_coverage(path: str, coverage: Coverage) -> None:
    """Write all of it as JSON."""
    write_text(path, json.dumps(coverage.as_json(), indent=1) + "\n")
