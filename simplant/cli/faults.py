"""`simplant faults MACHINE`: every way in which a machine can fail, derived from its parts and points.

What the modes are stands in the parts; the level at a point is asked of the point (wiring/asked.py), the reach
follows the wires (rig/reach.py). Rule: nothing about a machine is listed here.
"""

import argparse
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from rich.console import Console
from rich.text import Text

from simplant.cli.find import find_machine
from simplant.cli.views.plain import plain_table
from simplant.errors import UsageError, nearest
from simplant.faults import SWAPPED, CatalogueEntry
from simplant.rig.machine import Machine
from simplant.rig.panel import PANEL
from simplant.rig.reach import Reach, reaches
from simplant.timebase import NEVER, show
from simplant.wiring.asked import Answer, ask
from simplant.wiring.io_list import Point

_USUAL: Final = (">severity", "from", "lasts")


@dataclass(frozen=True, slots=True)
class Row:
    """One failure mode of the catalogue, with what it does to a point's level (`None` of a part)."""

    entry: CatalogueEntry
    healthy: Answer | None
    faulty: Answer | None
    is_input: bool = True

    @property
    def level(self) -> str:
        """What the point reads or drives, whatever the device does or from end to end of its range."""
        if self.healthy is None or self.faulty is None:
            return ""
        if self.faulty == self.healthy:
            return "in time only" if isinstance(self.healthy.at_rest, bool) else "its last value"
        at_rest, actuated = (f"{number:g}" for number in (self.faulty.at_rest, self.faulty.actuated))
        if at_rest == actuated:
            return at_rest
        return "the other way" if isinstance(self.faulty.at_rest, bool) else f"{at_rest} to {actuated}"

    @property
    def shows(self) -> str:
        """When that differs from a healthy point."""
        if self.healthy is None or self.faulty is None:
            return ""
        if self.faulty == self.healthy:
            return "at changes"
        if not isinstance(self.healthy.at_rest, bool):
            return "at all times"
        at_rest, actuated = ("at rest", "when actuated") if self.is_input else ("when off", "when on")
        return at_rest if self.faulty.at_rest is not self.healthy.at_rest else actuated

    @property
    def severity(self) -> str:
        """The default severity with its unit."""
        value = self.entry.mode.value
        return "" if value is None else f"{value:g} {self.entry.mode.unit}".rstrip()

    @property
    def onset(self) -> str:
        """When it usually begins."""
        return "power-up" if self.entry.mode.early else "any time"

    @property
    def lasts(self) -> str:
        """How long it usually lasts."""
        return "for good" if self.entry.mode.lasts == NEVER else show(self.entry.mode.lasts)


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("faults", help="list every way in which a machine can fail")
    parser.add_argument("machine", help="folder of the machine, or its name under programs/")
    parser.add_argument(
        "names", nargs="*", help="parts, points, controllers, or faults (part.kind) to show (default: all)"
    )
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    machine = find_machine(options.machine)
    entries = wanted(machine, options.names)
    reach = reaches(machine)
    rows = [_row(machine, entry) for entry in entries]
    if options.json:
        told = [_json(row, reach.get(row.entry.target)) for row in rows]
        console.file.write(json.dumps(told, indent=1) + "\n")
    else:
        _tell(machine, rows, reach, console)
    return 0


def wanted(machine: Machine, names: Sequence[str]) -> list[CatalogueEntry]:
    """Give the catalogue, or the faults named: by part, point or controller, or one alone; raises `UsageError`."""
    targets = dict.fromkeys(e.target for e in machine.catalogue)
    alone = dict.fromkeys(f"{e.target}.{e.mode.kind}" for e in machine.catalogue)
    for name in names:
        if name not in targets and name not in alone:
            raise UsageError(f"nothing named {name!r} can fail", mend=nearest(name, alone if "." in name else targets))
    return [e for e in machine.catalogue if not names or {e.target, e.other, f"{e.target}.{e.mode.kind}"} & {*names}]


def _row(machine: Machine, entry: CatalogueEntry) -> Row:
    if entry.target not in machine.io or entry.mode is SWAPPED:
        return Row(entry, None, None)
    point = machine.io[entry.target]
    volts = machine.plans[point.supply].parameters.get("volts", 24.0) if point.supply else 24.0
    return Row(entry, ask(point, None, volts), ask(point, entry.mode, volts), point.is_input)


def _tell(machine: Machine, rows: Sequence[Row], reach: Mapping[str, Reach], console: Console) -> None:
    singles = [row for row in rows if row.entry.mode is not SWAPPED]
    for target in dict.fromkeys(row.entry.target for row in singles):
        mine = [row for row in singles if row.entry.target == target]
        console.print(_table(machine, target, mine))
        for word, names in (("moves", reach[target].moves), ("seen at", reach[target].seen_at)):
            if names:
                console.print(Text(f"  {word}: {', '.join(names)}", style="dim"))
        console.print("")
    pairs = [(row.entry.target, row.entry.other, machine.io[row.entry.target].cable) for row in rows if row.entry.other]
    if pairs:
        console.print(plain_table("Wires that can be mixed up (swapped)", ("point", "with", "cable"), pairs), "")
    console.print(Text(_counts(machine, singles, len(pairs)), style="bold"))


def _table(machine: Machine, target: str, rows: Sequence[Row]) -> Any:
    if target not in machine.io:
        others = {PANEL: "panel", **{c.name: "controller" for c in machine.controllers}}
        built = machine.plans.get(target)
        kind = others.get(target) or (built.kind.__name__ if built else "common cause")
        told = [(r.entry.mode.kind, r.entry.mode.cause, r.entry.mode.effect, *_usual(r)) for r in rows]
        return plain_table(f"{target} ({_words(kind)})", ("kind", "cause", "effect", *_USUAL), told)
    head = _point(machine.io[target])
    level = "reads" if machine.io[target].is_input else "drives"
    told_ = [(r.entry.mode.kind, r.entry.mode.cause, r.level, r.shows, *_usual(r)) for r in rows]
    return plain_table(f"{target} ({head})", ("kind", "cause", level, "shows", *_USUAL), told_)


def _usual(row: Row) -> tuple[str, str, str]:
    return row.severity, row.onset, row.lasts


def _point(point: Point) -> str:
    if not point.is_input:
        return f"output to {point.device}"
    if point.span is not None:
        return f"input from {point.device}, {point.span.low:g} to {point.span.high:g} {point.span.unit}"
    return f"input from {point.device}, {point.contact.value}, {point.signal.value}, {point.input_type.name}"


def _words(name: str) -> str:
    return "".join(f" {c.lower()}" if c.isupper() else c for c in name).strip()


def _counts(machine: Machine, rows: Iterable[Row], pairs: int) -> str:
    targets = [row.entry.target for row in rows]
    points = {t for t in targets if t in machine.io}
    controllers = {c.name for c in machine.controllers} & set(targets)
    causes = {target for target, _ in machine.common_causes} & set(targets)
    parts = set(targets) - points - controllers - causes
    words, sets = ("point", "part", "controller", "common cause"), (points, parts, controllers, causes)
    counted = zip(words, sets, strict=True)
    of = ", ".join(f"{len(names)} {word}{'' if len(names) == 1 else 's'}" for word, names in counted if names)
    return f"{len(targets)} single faults of {of or 'nothing'}; {pairs} pairs of wires"


def _json(row: Row, reach: Reach | None) -> dict[str, Any]:
    mode = row.entry.mode
    return {
        "target": row.entry.target,
        "kind": mode.kind,
        "with": row.entry.other,
        "cause": mode.cause,
        "effect": mode.effect,
        "level": row.level,
        "shows": row.shows,
        "severity": mode.value,
        "unit": mode.unit,
        "from": row.onset,
        "lasts": row.lasts,
        "moves": list(reach.moves) if reach else [],
        "seen_at": list(reach.seen_at) if reach else [],
    }
