"""`simplant rungs MACHINE_OR_FILE`: a program in ladder as it is drawn, and the power in it at an instant.

Drawing is logic/ladder/draw.py, power logic/ladder/flow.py, the picture report/ladder_picture.py. Rule: power is that
of the scan that was really run, at the moment each rung was done.
"""

import argparse
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from rich.console import Console
from rich.text import Text

from simplant.blocks import BLOCKS
from simplant.cli.find import find_machine, find_scenario
from simplant.cli.numbers import a_time
from simplant.cli.views.rungs import heavy_for, rows_of, rung_text
from simplant.errors import UsageError, nearest
from simplant.files import shown, write_text
from simplant.logic.fbd.for_rungs import rungs_of
from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.canvas import Drawing
from simplant.logic.ladder.draw import drawing_of
from simplant.logic.ladder.flow import Flow, RungFlow
from simplant.logic.ladder.measure import name_of
from simplant.logic.ladder.normal import normal
from simplant.logic.ladder.tree import Block, Contact, Ladder, Rung, elements
from simplant.logic.st.faces import READERS
from simplant.logic.st.prepared import TextProgram
from simplant.logic.st.project import read_project
from simplant.report.ladder_picture import Shown, ladder_picture
from simplant.rig.machine import Machine
from simplant.rig.scans import scans_at
from simplant.timebase import Ns, show
from simplant.values import show_value

_NOTHING: Final = Drawing((), {})


@dataclass(frozen=True, slots=True)
class _Shown:
    """A rung: its unit, its number from 1, what it did (None: no scan is looked at); `alone`: no other unit has one."""

    unit: str
    number: int
    rung: Rung
    flow: RungFlow | None
    alone: bool

    @property
    def drawing(self) -> Drawing:
        """How it is drawn."""
        return drawing_of(self.rung) if self.rung.line.elements else _NOTHING

    def head(self) -> list[str]:
        """Say what stands above it."""
        unit = "" if self.alone else f"{self.unit}, "
        label = f" {self.rung.label}:" if self.rung.label else ""
        passed = "" if self.flow is None or self.flow.done or not self.rung.line.elements else " (passed over)"
        return [*(f"(* {row} *)" for row in self.rung.comment.splitlines()), f"{unit}rung {self.number}{label}{passed}"]

    def pins(self) -> Iterator[tuple[str, str, dict[str, str]]]:
        """Give the values at each block: type, instance, and the value of each pin."""
        for number, element in enumerate(elements(self.rung.line)):
            if isinstance(element, Block) and self.flow is not None and number in self.flow.pins:
                kind = BLOCKS.get(element.type.upper())
                types = {f.name: f.type for f in (*kind.inputs, *kind.outputs)} if kind else {}
                told = {n: show_value(v, types[n]) if n in types else str(v).upper() for n, v in self.flow.pins[number]}
                yield element.type, element.instance, told

    def foot(self) -> list[str]:
        """Say what stands below it: the values at its blocks."""
        return [
            f"{name or type_}: {', '.join(' '.join(pin) for pin in pins.items())}" for type_, name, pins in self.pins()
        ]


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("rungs", help="show a program in ladder, and the power in it at an instant")
    parser.add_argument(
        "source", metavar="MACHINE_OR_FILE", help="a machine whose logic is ladder, or a file with rungs"
    )
    parser.add_argument(
        "--at", type=a_time, metavar="TIME", help="show the power of the scan at this instant, for instance 3.42s"
    )
    parser.add_argument("--scenario", metavar="NAME", help="scenario by name or file (default: the machine's own)")
    parser.add_argument("--rung", metavar="N|LABEL", help="only this rung: its number from 1, or its label")
    parser.add_argument("--unit", metavar="NAME", help="only this program or function block")
    parser.add_argument("--svg", metavar="FILE", help="write the drawing as SVG")
    parser.add_argument("--json", action="store_true", help="print it as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    title, rungs = _looked_at(options)
    chosen = _chosen(rungs, options)
    heavy = heavy_for(console.encoding, legacy=console.legacy_windows)
    if options.svg:
        pictures = [Shown(each.head(), each.drawing, each.flow, each.foot()) for each in chosen]
        write_text(options.svg, ladder_picture(title, pictures))
    if options.json:
        console.file.write(
            json.dumps({"title": title, "rungs": [_json(each, heavy) for each in chosen]}, indent=1) + "\n"
        )
        return 0
    console.print(Text(title, style="bold"))
    for each in chosen:
        console.print(Text("\n".join(["", *each.head()])), soft_wrap=True)
        console.print(rung_text(each.drawing, each.flow, heavy), soft_wrap=True, end="")
        for line in each.foot():
            console.print(Text(f"  {line}"), soft_wrap=True)
    if options.svg:
        console.print(Text(f"\ndrawing written to {options.svg}"))
    return 0


def _looked_at(options: argparse.Namespace) -> tuple[str, list[_Shown]]:
    """Give what is shown, and all its rungs."""
    path = Path(options.source)
    if path.suffix.lower() in READERS:
        if options.at is not None:
            raise UsageError("--at looks at a scan of a machine", f"{path} is a file", "name the machine's folder")
        written = read_project(path).written
        bodies = {u.name: rungs_of(u.body) if isinstance(u.body, Graph) else u.body for u in written.units}
        ladders = {name: normal(body) for name, body in bodies.items() if isinstance(body, Ladder)}
        return shown(path), _all(ladders, {}, shown(path))
    machine = find_machine(options.source)
    program = machine.program
    if not isinstance(program, TextProgram):
        mend = 'name a file such as logic.ladder, or let [machine] say logic = "logic.ladder"'
        raise UsageError(f"the program of {machine.name} is written in Python", "it has no rungs to draw", mend)
    name = program.project.report.name
    flow = Flow(program)
    if options.at is None:
        return name, _all(flow.ladders, {}, name)
    flows, instant = _flows(machine, flow, options)
    return f"{name}, scan at {show(instant)}", _all(flow.ladders, flows, name)


def _flows(machine: Machine, flow: Flow, options: argparse.Namespace) -> tuple[dict[str, list[RungFlow]], Ns]:
    """Give what each rung did in the scan that is looked at, and its instant."""
    scenario = find_scenario(machine, options.scenario)
    seen = scans_at(machine, scenario, options.at)
    flows: dict[str, list[RungFlow]] = {}
    for task, (real, scan) in seen.items():
        for unit, rungs in flow.of(task, real, scan).items():
            if unit not in flows or any(each.done for each in rungs):
                flows[unit] = rungs
    return flows, max(scan[2] for _, scan in seen.values())


def _all(ladders: Mapping[str, Ladder], flows: Mapping[str, list[RungFlow]], name: str) -> list[_Shown]:
    if not ladders:
        raise UsageError(f"{name} has no rungs", "none of its bodies is a ladder", "name a file with a ladder in it")
    return [
        _Shown(unit, number, rung, flows[unit][number - 1] if unit in flows else None, len(ladders) == 1)
        for unit, ladder in ladders.items()
        for number, rung in enumerate(ladder.rungs, 1)
    ]


def _chosen(rungs: list[_Shown], options: argparse.Namespace) -> list[_Shown]:
    """Give the rungs that were asked for."""
    units = list(dict.fromkeys(each.unit for each in rungs))
    if options.unit is not None:
        if options.unit.upper() not in [unit.upper() for unit in units]:
            raise UsageError(f"there is no ladder {options.unit!r}", mend=nearest(options.unit, units))
        rungs = [each for each in rungs if each.unit.upper() == options.unit.upper()]
    if options.rung is None:
        return rungs
    wanted = options.rung.upper()
    found = [each for each in rungs if wanted in (str(each.number), each.rung.label.upper())]
    if not found:
        labels = [each.rung.label for each in rungs if each.rung.label]
        why = f"they are numbered from 1 to {max(each.number for each in rungs)}"
        raise UsageError(f"there is no rung {options.rung!r}", why, nearest(options.rung, labels) if labels else "")
    return found


def _json(each: _Shown, heavy: Mapping[str, str]) -> dict[str, Any]:
    told: dict[str, Any] = {"unit": each.unit, "number": each.number, "label": each.rung.label,
                            "comment": each.rung.comment, "drawing": list(each.drawing.rows)}  # fmt: skip
    if each.flow is None:
        return told
    contacts = [
        {"name": name_of(element), "contact": element.sense.value, "conducts": each.flow.conducts[number],
         "power": each.flow.has((number, "out"))}
        for number, element in enumerate(elements(each.rung.line))
        if isinstance(element, Contact) and number in each.flow.conducts
    ]  # fmt: skip
    blocks = [{"type": type_, "instance": name, "pins": pins} for type_, name, pins in each.pins()]
    return {**told, "done": each.flow.done, "with_power": rows_of(each.drawing, each.flow, heavy),
            "contacts": contacts, "blocks": blocks}  # fmt: skip
