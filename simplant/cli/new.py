"""`simplant new NAME [--io FILE]`: begin a machine, small and whole, or as a draft from an I/O list.

What is written is starter/. Rule: it tells what was written, what is left to do, and what to type next.
"""

import argparse
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from simplant.starter.draft import draft
from simplant.starter.in_text import in_text
from simplant.starter.place import check_free, put
from simplant.starter.station import station
from simplant.starter.trial import must_pass


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("new", help="begin a machine: a small one, or a draft from an I/O list")
    parser.add_argument("name", help="name of the machine: small letters, digits and _")
    parser.add_argument("--io", metavar="FILE", help="I/O list (CSV) to draft the machine from")
    parser.add_argument("--st", action="store_true", help="write its program as Structured Text instead of Python")
    parser.add_argument("--into", metavar="DIR", default=".", help="where programs/ and scenarios/ are (default: here)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    name, into = options.name, Path(options.into)
    check_free(name, into)
    drafted = draft(name, Path(options.io)) if options.io else None
    files = drafted.files if drafted else station(name)
    files = in_text(files, name) if options.st else files
    written = put(files, name, into, partial(must_pass, name=name))
    console.print(Text("written:", style="bold"))
    for path in written:
        console.print(Text(f"  {path}"))
    if drafted:
        left = [note.replace("logic.py", "logic.st") for note in drafted.left] if options.st else drafted.left
        _notes("how the I/O list was read:", drafted.read, console)
        _notes("left to you:", left, console)
    _next(name, into, console)
    return 0


def _notes(title: str, notes: Sequence[str], console: Console) -> None:
    if notes:
        console.print("")
        console.print(Text(title, style="bold"))
        for note in notes:
            console.print(Text(f"  {note}"), soft_wrap=True)


def _next(name: str, into: Path, console: Console) -> None:
    console.print("")
    console.print(Text("next:", style="bold"))
    if into.resolve() != Path.cwd():
        console.print(Text(f"  cd {into}"))
    for command in (
        f"simplant dryrun programs/{name}",
        f"simplant check programs/{name}",
        f"pytest scenarios/{name} tests/test_{name}.py",
    ):
        console.print(Text(f"  {command}"), soft_wrap=True)
