"""Reading the command line and calling the command; what each does is in a file of its own.

Rule: every error a user can make ends here in one clear message and exit code 2.
"""

import argparse
import sys
from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from simplant.cli import (
    chart,
    check,
    compare,
    convert,
    diagram,
    dryrun,
    faults,
    fmea,
    fuzz,
    matrix,
    mutate,
    new,
    panel,
    replay,
    report,
    rungs,
    sweep,
    table,
)  # fmt: skip
from simplant.errors import InternalError, SimplantError
from simplant.version import VERSION

COMMANDS = (
    dryrun, panel, replay, compare, check, faults, fuzz, sweep, fmea, matrix, mutate, report, chart, diagram, rungs,
    convert, new, table,
)  # fmt: skip


def parser() -> argparse.ArgumentParser:
    """Build the parser of all commands."""
    root = argparse.ArgumentParser(
        prog="simplant",
        description="A bench for proving a machine's control logic before it is wired.",
        epilog="Exit codes: 0 held, 1 a finding, 2 wrong usage or input. "
        "A simulation proves nothing about the safety of the real machine.",
    )
    root.add_argument("--version", action="version", version=f"simplant {VERSION}")
    commands = root.add_subparsers(metavar="COMMAND", required=True)
    for module in COMMANDS:
        module.add_parser(commands)
    return root


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; give the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    options = parser().parse_args(arguments)
    console = Console(highlight=False, soft_wrap=False)
    try:
        code: int = options.run(options, console)
    except InternalError as error:
        _say(f"this is a bug in simplant, please report it: {error}")
        return 2
    except SimplantError as error:
        _say(str(error))
        return 2
    except KeyboardInterrupt:
        _say("stopped by the user; nothing half-written is left")
        return 2
    return code


def _say(text: str) -> None:
    Console(stderr=True, highlight=False, soft_wrap=True).print(Text(f"simplant: {text}"))
