"""A file of retained memory: what a controller kept when its machine was last run by hand.

Rule: it has the form of a scenario's `[retained]`, is written whole or not at all, and is of one machine.
"""

import tomllib
from collections.abc import Mapping
from pathlib import Path

from simplant.errors import ScenarioError
from simplant.files import shown, write_text
from simplant.scenario.text_file import read_text
from simplant.scenario.write import toml_text
from simplant.values import Value

_HEAD = "# Retained memory, kept by `simplant panel`; `--cold` clears it.\n"


def write_memory(path: Path, machine: str, kept: Mapping[str, Value]) -> None:
    """Write it; raises `UsageError` if it cannot be written."""
    write_text(path, _HEAD + toml_text({"machine": machine, "retained": dict(kept)}))


def read_memory(path: Path, machine: str) -> dict[str, Value]:
    """Read it, empty if there is none.

    Raises:
        ScenarioError: it is not such a file, or of another machine.
    """
    if not path.is_file():
        return {}
    again = "start with --cold, or take the file away"
    try:
        data = tomllib.loads(read_text(path, "retained memory"))
    except tomllib.TOMLDecodeError as error:
        raise ScenarioError(f"{shown(path)} is no file of retained memory", str(error), again) from None
    if set(data) - {"machine", "retained"} or not isinstance(data.get("retained", {}), dict):
        raise ScenarioError(f"{shown(path)} is no file of retained memory", "it has other keys", again)
    if data.get("machine") != machine:
        raise ScenarioError(f"{shown(path)} is of {data.get('machine')!r}, not of {machine!r}", mend=again)
    return dict(data.get("retained", {}))
