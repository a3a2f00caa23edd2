"""A variant of a machine: the tables and files of another folder, with what its own say instead or besides.

`base = "../comet_toss"` in `[machine]` names that folder. Rule: tables are joined key by key, and the variant's word
counts; its I/O rows come after the base's, one of the same tag in its place; any file is looked for here, then there.
"""

import os
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from simplant.errors import WiringError
from simplant.wiring.io_file import read_io
from simplant.wiring.io_list import IoList, Point


def base_of(folder: Path, data: Mapping[str, Any]) -> Path | None:
    """Give the folder that a `machine.toml` is based on; None if it says none."""
    table = data.get("machine")
    named = table.get("base") if isinstance(table, dict) else None
    return Path(os.path.normpath(folder / named)) if isinstance(named, str) and named else None


def folders_of(folder: Path) -> tuple[Path, ...]:
    """Give a machine's folder and those it is based on, nearest first; a file that cannot be read ends it."""
    found, at = [folder], folder
    while True:
        try:
            at = base_of(at, tomllib.loads((at / "machine.toml").read_text(encoding="utf-8-sig"))) or at
        except (OSError, ValueError):
            return tuple(found)
        if at in found:
            return tuple(found)
        found.append(at)


def found(folder: Path, name: str) -> Path:
    """Give a file of a machine: its own, or its base's; its own if there is none."""
    return next((each / name for each in folders_of(folder) if (each / name).is_file()), folder / name)


def joined(base: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """Join two tables key by key; what is no table in both is the own one's."""
    both = dict(base)
    for key, value in own.items():
        there = both.get(key)
        both[key] = joined(there, value) if isinstance(there, dict) and isinstance(value, dict) else value
    return both


def io_of(folder: Path) -> IoList:
    """Read the I/O list of a machine, its base's rows first.

    Raises:
        WiringError: a list is wrong, or a row has the address of another tag of the base.
    """
    there = [each for each in folders_of(folder) if (each / "io.csv").is_file()] or [folder]
    points: dict[str, Point] = {}
    for each in reversed(there):
        points |= {point.name.upper(): point for point in read_io(each / "io.csv")}
    addresses: dict[str, Point] = {}
    for point in points.values():
        first = addresses.setdefault(str(point.tag.address), point)
        if first is not point:
            what = f"address {point.tag.address} of {point.name!r} is that of {first.name!r} too"
            raise WiringError(what, "the other stands in the base", "choose a free one", point.place)
    return IoList(tuple(points.values()))
