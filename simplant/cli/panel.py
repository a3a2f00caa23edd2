"""`simplant panel MACHINE`: stand at the machine's operator panel, press, force and fail, and look.

The session is panel/, its terminal panel/screen/, the browser panel/browser.py. Rule: what is done there is a scenario,
and the wall clock is asked here only.
"""

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from rich.console import Console
from rich.text import Text

from simplant.cli.find import find_machine, find_scenario
from simplant.errors import ScenarioError, UsageError
from simplant.files import shown
from simplant.panel.browser import is_served, serve
from simplant.panel.memory import Memory
from simplant.panel.session import Session
from simplant.panel.view import View
from simplant.report.safety import SAFETY
from simplant.rig.machine import Machine
from simplant.scenario.memory_file import read_memory
from simplant.scenario.model import Scenario

LEAST, MOST = 0.1, 100.0
"""Paces, times that of the clock."""

PORT: Final = 8137


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser(
        "panel", help="run a machine by hand at its operator panel, in a terminal or a browser"
    )
    parser.add_argument("machine", help="folder of the machine, or its name under programs/")
    parser.add_argument("--scenario", metavar="NAME", help="scenario that happens besides what you do (default: none)")
    parser.add_argument(
        "--pace", type=float, default=1.0, metavar="TIMES", help="machine seconds per second (default: 1)"
    )
    parser.add_argument("--memory", metavar="FILE", help="file of retained memory (default: MACHINE.memory.toml)")
    parser.add_argument("--cold", action="store_true", help="begin with retained memory cleared")
    parser.add_argument("--browser", action="store_true", help="serve the panel to a browser on this computer only")
    parser.add_argument("--port", type=int, default=PORT, help=f"port for the browser, 0 = any (default: {PORT})")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    if not LEAST <= options.pace <= MOST:
        raise UsageError(f"the pace cannot be {options.pace:g}", mend=f"choose {LEAST:g} to {MOST:g}")
    machine = find_machine(options.machine)
    path = Path(options.memory) if options.memory else memory_file(machine)
    session = session_of(machine, options, path)
    if options.browser:
        return _serve(options, console)
    if not (sys.stdin.isatty() and sys.stdout.isatty()) and not is_served():
        raise UsageError("the panel needs a terminal", mend="run it in one, or give --browser")
    _show(session, options, Memory(path) if _keeps(machine) else None)
    console.print(Text(SAFETY, style="italic"))
    return 0


def memory_file(machine: Machine) -> Path:
    """Give where a machine's retained memory is kept: beside its folder."""
    return machine.folder.with_name(f"{machine.folder.resolve().name}.memory.toml")


def session_of(machine: Machine, options: argparse.Namespace, path: Path) -> Session:
    """Begin with a scenario or nothing, and with what the machine kept."""
    base = find_scenario(machine, options.scenario) if options.scenario else Scenario(machine.name)
    kept = {} if options.cold or not _keeps(machine) else read_memory(path, machine.name)
    try:
        return Session(machine, replace(base, retained={**kept, **base.retained}))
    except ScenarioError as error:
        if not kept:
            raise
        raise ScenarioError(f"{shown(path)}: {error.what}", error.why, "start with --cold, which clears it") from None


def _keeps(machine: Machine) -> bool:
    return machine.controllers[0].setup.restart == "warm"


def _show(session: Session, options: argparse.Namespace, memory: Memory | None) -> None:
    try:
        from simplant.panel.screen.app import PanelApp  # noqa: PLC0415 - an optional extra
    except ImportError as error:
        raise _missing(error) from None
    app = PanelApp(View(session), time.monotonic, pace=options.pace, memory=memory)
    app.run()


def _serve(options: argparse.Namespace, console: Console) -> int:
    words = ["panel", options.machine, "--pace", f"{options.pace:g}"]
    words += ["--scenario", options.scenario] if options.scenario else []
    words += ["--memory", options.memory] if options.memory else []
    words += ["--cold"] if options.cold else []
    try:
        serve(
            words,
            options.port,
            lambda url: console.print(Text(f"panel of {options.machine} at {url} (Ctrl+C ends it)")),
        )
    except ImportError as error:
        raise _missing(error) from None
    return 0


def _missing(error: ImportError) -> UsageError:
    return UsageError("the panel needs a library that is not there", str(error), 'pip install "simplant[panel]"')
