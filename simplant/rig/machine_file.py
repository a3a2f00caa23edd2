"""Reading `machine.toml`: the plant as a plain table, and how its controllers run.

What the tables make is machine.py. Rule: every key is known or refused, with its place and the
nearest right name; nothing is guessed.
"""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from re import split, sub
from typing import Any, Final

import msgspec

from simplant.errors import Place, PlantError, SimplantError, nearest
from simplant.files import shown
from simplant.rig.variant import base_of, folders_of, found, joined
from simplant.timebase import Ns, duration, show


class MachineTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """`[machine]`: files, and what a dry run is by default."""

    title: str
    base: str = ""
    logic: str = "logic.py"
    rules: str | list[str] = ""
    hazards: str = ""
    scenario: str = ""
    scenarios: str = ""
    chart: list[str] = []
    counts: dict[str, str] = {}
    panel: list[str] = []


class ControllerTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """`[controller]` (the main one) or `[controllers.NAME]`: timing, supply, wires."""

    period: str = "10ms"
    periods: tuple[str, str] | None = None
    execution: str = "0s"
    execution_jitter: str = "0s"
    start_jitter: str = "0s"
    watchdog: str = ""
    output_delay: str = "0s"
    boot: str = "0s"
    restart: str = "warm"
    supply: str = ""
    logic: str = ""
    inputs: list[str] = []
    outputs: list[str] = []
    wires: dict[str, str] = {}


COLOURS: Final = ("red", "yellow", "green", "blue", "white", "black", "grey")
"""Colours of lamps and buttons (IEC 60204-1)."""


class PanelTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """`[panel]`: what the operator panel looks like, where the I/O list does not say it."""

    colours: dict[str, str] = {}
    positions: dict[str, list[str]] = {}
    shows: dict[str, str] = {}
    messages: dict[str, str] = {}


class MachineFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The whole file."""

    machine: MachineTable
    controller: ControllerTable = ControllerTable()
    controllers: dict[str, ControllerTable] = {}
    parts: dict[str, dict[str, Any]] = {}
    points: dict[str, dict[str, float]] = {}
    panel: PanelTable = PanelTable()


_KEYS: Final = {
    (): MachineFile.__struct_fields__,
    ("machine",): MachineTable.__struct_fields__,
    ("controller",): ControllerTable.__struct_fields__,
    ("panel",): PanelTable.__struct_fields__,
}


def read_machine_file(path: Path) -> MachineFile:
    """Read and check the form of a `machine.toml`.

    Raises:
        PlantError: it is not there, not TOML, has an unknown key or a value of the wrong type.
    """
    data = _data(path, ())
    try:
        return msgspec.convert(data, MachineFile)
    except msgspec.ValidationError as error:
        what, _, where = str(error).partition(" - at `$")
        key = where.strip("`.") or "the file"
        raise PlantError(f"{key}: {_plain(what)}", place=place_in(path.parent, key)) from None


def _data(path: Path, variants: tuple[Path, ...]) -> Mapping[str, Any]:
    """Read the tables of a file, joined with those of the file that it is based on; their keys are known."""
    name = shown(path)
    try:
        text = path.read_bytes().decode("utf-8-sig")
        data = tomllib.loads(text)
    except OSError as error:
        raise PlantError(
            f"{name} cannot be read", error.strerror or "", "a machine is a folder with io.csv and machine.toml"
        ) from None
    except UnicodeDecodeError as error:
        raise PlantError(f"{name} is not UTF-8", f"byte {error.start + 1} is wrong", "save it as UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise PlantError(f"{name} is not TOML", str(error), "mend that line: texts and times stand in quotes") from None
    _known_keys(data, name, text)
    base = base_of(path.parent, data)
    if base is None:
        return data
    if base in (path.parent, *variants) or not (base / "machine.toml").is_file():
        why = "it is based on itself" if base in (path.parent, *variants) else f"there is no machine at {shown(base)}"
        raise PlantError("machine.base cannot be that", why, "", place_of(text, name, "machine.base"))
    return joined(_data(base / "machine.toml", (*variants, path.parent)), data)


_WORDS: Final = {
    "`str`": "text in quotes",
    "`int`": "a whole number",
    "`float`": "a number",
    "`bool`": "true or false",
    "`array`": "a list",
    "`object`": "a table",
}


def _plain(what: str) -> str:
    """Say a type error in words of TOML."""
    for word, plain in _WORDS.items():
        what = what.replace(word, plain)
    return what[0].lower() + what[1:]


def _known_keys(data: Mapping[str, Any], name: str, text: str) -> None:
    tables: list[tuple[tuple[str, ...], Any, tuple[str, ...]]] = [((), data, _KEYS[()])]
    tables += [((k,), data.get(k, {}), _KEYS[(k,)]) for k in ("machine", "controller", "panel")]
    others = data.get("controllers", {})
    if isinstance(others, dict):
        tables += [(("controllers", k), v, _KEYS[("controller",)]) for k, v in others.items()]
    for path, table, known in tables:
        for key in table if isinstance(table, dict) else ():
            if key not in known:
                where = ".".join((*path, key))
                raise PlantError(
                    f"there is no key {where!r}", mend=nearest(key, known), place=place_of(text, name, where)
                )


def place_of(text: str, name: str, dotted: str) -> Place:
    """Find the line of a key: in its table, or in the row of the table that it is written in; line 0 = not there."""
    return Place(name, _line_of(text, dotted)[0])


def place_in(folder: Path, dotted: str) -> Place:
    """Find a key in a machine's file, or in the one that it is based on: where it stands itself, else its table."""
    paths = [each / "machine.toml" for each in folders_of(folder)]
    lines = [(shown(path), *_line_of(path.read_text(encoding="utf-8-sig"), dotted)) for path in paths]
    name, line, _ = max(lines, key=lambda found: (found[2], found[1] > 0))
    return Place(name, line)


def _line_of(text: str, dotted: str) -> tuple[int, bool]:
    """Give the line of a key or at least of a table it belongs to (0: neither), and whether it is there itself."""
    keys = sub(r"\[.*?\]", "", dotted).split(".")
    lines = [line.strip().replace('"', "") for line in text.splitlines()]
    for depth in range(len(keys), -1, -1):
        head = f"[{'.'.join(keys[:depth])}]"
        if depth and head not in lines:
            continue
        start = lines.index(head) + 1 if depth else 0
        for number, line in enumerate(lines[start:] if depth < len(keys) else [], start + 1):
            if line.startswith("["):
                break
            if line.partition("=")[0].strip() in (keys[depth], ".".join(keys[depth:])):
                return number, keys[-1] in split(r"\W+", line)
        if depth:
            return start, depth == len(keys)
    return 0, False


def named_file(folder: Path, key: str, name: str) -> Path:
    """Give a file that a key of a folder's `machine.toml` names; raises `PlantError` at the key if it is not there."""
    path = found(folder, name)
    if not path.is_file():
        table = folder / "machine.toml"
        beside = [
            p.name for each in folders_of(folder) for p in each.iterdir() if p.suffix == path.suffix and p != table
        ]
        place = place_in(folder, key)
        raise PlantError(f"there is no file {shown(path)}", f"it is the file of {key!r}", nearest(name, beside), place)
    return path


def time_of(text: str, key: str) -> Ns:
    """Read a duration of the file; raises `PlantError` naming the key."""
    try:
        return duration(text)
    except SimplantError as error:
        raise PlantError(f"{key}: {error.what}", error.why, error.mend) from None


def periods_of(table: ControllerTable, key: str, path: Path) -> tuple[Ns, Ns] | None:
    """Read the range of scan periods that a controller must do with; None if none is stated.

    Raises:
        PlantError: it is no range.
    """
    if table.periods is None:
        return None
    least, most = (time_of(text, f"{key}.periods") for text in table.periods)
    if not 0 < least < most:
        what = f"{key}.periods goes from {show(least)} to {show(most)}"
        place = place_of(path.read_text(encoding="utf-8-sig"), shown(path), f"{key}.periods")
        raise PlantError(what, "", 'write the least and the most: periods = ["8ms", "12ms"]', place)
    return least, most
