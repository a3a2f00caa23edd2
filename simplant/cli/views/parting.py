"""Where two versions of a program part, for people and as JSON.

Comparing is rig/versions.py. Rule: the inputs that led there stand beside every difference.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from simplant.cli.views.plain import plain_table
from simplant.rig.table import Bench, Row
from simplant.rig.table_file import shown, write_table
from simplant.rig.versions import Parting
from simplant.scenario.trace import seconds_text, value_text
from simplant.values import Value


@dataclass(frozen=True, slots=True)
class Parted:
    """A run in which two versions part: what was run, where they part, and the table of inputs if there was one."""

    where: str
    parting: Parting
    table: tuple[Row, ...]
    bench: Bench | None = None


def parted_view(parted: Parted, most: int = 12) -> RenderableType:
    """Show one difference."""
    parting = parted.parting
    head = Text(f"differs from {seconds_text(parting.at)} s on  {parted.where}", style="bold red")
    rows = [(name, _text(old), _text(new)) for name, (old, new) in parting.values.items()]
    inputs = [(seconds_text(c.at), c.name, _text(c.value)) for c in parting.inputs]
    shown_below: list[RenderableType] = [head, plain_table("", ("name", "old", "new"), rows, most=most)]
    if inputs:
        shown_below.append(plain_table("Last inputs before", (">at s", "input", "value"), inputs))
    if parted.table:
        shown_below.append(Text("The inputs that are enough (a table for simplant table --in):"))
    return Group(*shown_below)


def others_view(parted: Sequence[Parted], most: int = 20) -> RenderableType:
    """Show further differences, one in a line."""
    rows = [(each.where, seconds_text(each.parting.at), ", ".join(each.parting.values)) for each in parted]
    return plain_table("These differ as well", ("where", ">from s", "names"), rows, most=most)


def parted_json(parted: Parted) -> dict[str, Any]:
    """Give one difference as JSON."""
    parting = parted.parting
    return {
        "where": parted.where,
        "at_ns": parting.at,
        "values": {name: {"old": old, "new": new} for name, (old, new) in parting.values.items()},
        "inputs": [{"at_ns": c.at, "name": c.name, "value": c.value} for c in parting.inputs],
        "table": table_text(parted) if parted.table else None,
    }


def table_text(parted: Parted) -> str:
    """Give the table of inputs as it stands in a file."""
    assert parted.bench is not None, "a table was run on something"
    columns = list(dict.fromkeys(name for row in parted.table for name in row.values))
    kept = [parted.bench.columns[name] for name in columns]
    rows = [(row.time, [shown(row.values[c.name], c) if c.name in row.values else "" for c in kept])
            for row in parted.table]  # fmt: skip
    return write_table(columns, rows)


def _text(value: Value | None) -> str:
    return "(none)" if value is None else value_text(value)
