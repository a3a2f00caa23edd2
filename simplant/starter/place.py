"""Putting the files of a new machine where they belong: all of them, or none.

What stands in them is station.py and draft.py. Rule: nothing that exists is overwritten; everything is written to a
folder aside and tried there, then moved.
"""

import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from re import fullmatch
from shutil import rmtree
from tempfile import mkdtemp
from typing import Final

from simplant.errors import UsageError
from simplant.files import write_text

NAME: Final = r"[a-z][a-z0-9_]*"
Files = Mapping[str, str]
"""Path from the root of a project -> text."""


def homes(name: str) -> tuple[str, ...]:
    """Give where the files of a machine go: its two folders, its test."""
    return f"programs/{name}", f"scenarios/{name}", f"tests/test_{name}.py"


def check_free(name: str, into: Path) -> None:
    """Raise `UsageError` if the name is none, or something of that name is there already."""
    if not fullmatch(NAME, name):
        raise UsageError(
            f"{name!r} cannot be a machine's name", "it names folders and tests", "write small letters, digits and _"
        )
    for home in homes(name):
        if (into / home).exists():
            raise UsageError(f"{into / home} is there already", "nothing is overwritten", "choose another name")


def put(files: Files, name: str, into: Path, trial: Callable[[Path], None]) -> Sequence[str]:
    """Write the files of a machine.

    Args:
        files: path from the root -> text; all under `homes(name)`.
        name: of the machine.
        into: the root; made if it is not there.
        trial: tried on the root aside before anything is moved; what it raises leaves nothing behind.

    Returns:
        The paths written, in order.

    Raises:
        UsageError: something is there already, or the place cannot be written to.
    """
    check_free(name, into)
    into.mkdir(parents=True, exist_ok=True)
    aside = Path(mkdtemp(prefix=f".new-{name}-", dir=into))
    try:
        for path, text in files.items():
            (aside / path).parent.mkdir(parents=True, exist_ok=True)
            write_text(aside / path, text)
        trial(aside)
        _move(aside, into, [home for home in homes(name) if (aside / home).exists()])
    except OSError as error:
        raise UsageError(f"{into} cannot be written to", error.strerror or str(error)) from None
    finally:
        rmtree(aside, ignore_errors=True)
    return sorted(files)


def _move(aside: Path, into: Path, found: Sequence[str]) -> None:
    """Move each home; if one cannot be, take back those before it."""
    moved: list[str] = []
    try:
        for home in found:
            (into / home).parent.mkdir(parents=True, exist_ok=True)
            os.rename(aside / home, into / home)
            moved.append(home)
    except OSError:
        for home in moved:
            os.rename(into / home, aside / home)
        raise
