"""The bars of what takes long: how far, how fast, how long still; and what every campaign is asked.

The campaign is campaign/. Rule: nothing of a bar is left on the screen when it is done, and none is drawn for a pipe.
"""

import argparse
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn, TimeRemainingColumn

from simplant.campaign import Told
from simplant.campaign.store import Store
from simplant.cli.numbers import at_least_one


@contextmanager
def progress(title: str, total: int, console: Console, *, silent: bool) -> Iterator[Callable[[int, str], None]]:
    """Give what is told how much of a total is done, and in words."""
    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.fields[told]}"), TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True, disable=silent or not console.is_terminal) as shown:
        task = shown.add_task(title, total=total, told="")
        yield lambda done, told: shown.update(task, completed=done, told=told)


@contextmanager
def bar(title: str, console: Console, *, silent: bool) -> Iterator[Callable[[Told], None]]:
    """Give what is told how far a campaign is."""
    columns = (
        TextColumn("{task.description}"), BarColumn(), TextColumn("{task.fields[told]}"), TimeElapsedColumn(),
        TextColumn("left"), TimeRemainingColumn(),
    )  # fmt: skip
    began = time.monotonic()
    with Progress(*columns, console=console, transient=True, disable=silent or not console.is_terminal) as shown:
        task = shown.add_task(title, total=None, told="")

        def tell(told: Told) -> None:
            pace = (told.done - told.earlier) / max(time.monotonic() - began, 1e-9)
            died = f", {told.deaths} worker(s) died and were replaced" if told.deaths else ""
            text = f"{told.done} of {told.cases} at {pace:.0f}/s{died}"
            shown.update(task, completed=told.done, total=told.cases, told=text)

        yield tell


def add_campaign_options(parser: Any) -> None:
    """Add what every campaign takes."""
    parser.add_argument("--results", metavar="FILE", help="where results are kept as they come (default: runs/...)")
    parser.add_argument(
        "--processes", metavar="N", type=at_least_one, help="how many processes (default: one for each core)"
    )
    parser.add_argument("--cluster", metavar="ADDRESS", default="", help="a Dask cluster that runs it: tcp://host:8786")
    parser.add_argument("--json", action="store_true", help="print the result as JSON")


def store_of(options: argparse.Namespace, name: str) -> Store:
    """Open the file of results."""
    if options.results:
        return Store(Path(options.results))
    Path("runs").mkdir(exist_ok=True)
    return Store(Path("runs") / f"{name}.sqlite")
