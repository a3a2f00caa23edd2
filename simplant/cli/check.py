"""`simplant check MACHINE`: what is wrong with a machine before anything runs: its programs, and every file of it.

The checks are logic/check/; here they are given what only the machine knows: filters, periods, and which inputs people
work. Rule: an error in a program is a finding (exit code 1), a warning or note is not; a file that cannot be read, or
that names what is not there, is wrong input (exit code 2).
"""

import argparse
import json
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from rich.console import Console
from rich.text import Text

from simplant.cli.find import find_machine, find_scenario
from simplant.cli.views.plain import plain_table
from simplant.errors import SimplantError
from simplant.logic.check import Finding, Timing, check_program, shortest_pulses
from simplant.logic.laid_points import laid_pulses, unused_points
from simplant.logic.layout import Prepared
from simplant.logic.st.faces import READERS
from simplant.logic.st.lints import lints
from simplant.logic.st.project import open_project
from simplant.logic.st.tasks import lay_out
from simplant.rig.machine import MAIN, ControllerPlan, Machine
from simplant.rig.rig import Rig
from simplant.timebase import Ns, show

PEOPLE: Final = ("PushButton", "Selector", "Door", "EmergencyStop", "SafetyChain")
"""Parts whose terminals people work: a step may wait for them without a time limit."""

_STYLE: Final = {"error": "bold red", "warning": "yellow", "note": ""}


@dataclass(frozen=True, slots=True)
class Checked:
    """What the checks say of one controller."""

    controller: str
    findings: Sequence[Finding]
    pulses: Sequence[tuple[str, Ns]]


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("check", help="say what is wrong with a machine's files before anything runs")
    told = "folder of the machine, its name under programs/, or a file of a program (.st, .ladder, .xml)"
    parser.add_argument("machine", help=told)
    parser.add_argument(
        "--strict", action="store_true", help="of Structured Text: what the standard disallows is an error"
    )
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    if Path(options.machine).suffix.lower() in READERS:
        return _check_text(Path(options.machine), options, console)
    machine = find_machine(options.machine)
    read = {"rules": len(machine.rules), "hazards": len(machine.hazards), "scenarios": _scenarios(machine)}
    checked = [check_controller(machine, plan) for plan in machine.controllers]
    if options.json:
        console.file.write(json.dumps({"read": read, "controllers": [_json(c) for c in checked]}, indent=1) + "\n")
    else:
        for each in checked:
            _tell(each, console)
        console.print(Text(", ".join(f"{what}: {n}" for what, n in read.items()) + " read", style="bold"))
    return 1 if any(f.severity == "error" for c in checked for f in c.findings) else 0


def _scenarios(machine: Machine) -> int:
    """Read all scenarios of a machine and hold each against it; give how many there are.

    Raises:
        SimplantError: one is written wrongly, is another machine's, or names what is not there.
    """
    files = sorted(machine.scenario_folder().rglob("*.toml"))
    for scenario in [find_scenario(machine, str(path)) for path in files]:
        Rig(machine, scenario)  # it is held against the machine when it is put on the bench
    find_scenario(machine, None)  # the one that a dry run takes
    return len(files)


def _check_text(path: Path, options: argparse.Namespace, console: Console) -> int:
    """Check a Structured Text file by itself."""
    project = open_project(path, strict=options.strict)
    report = project.report
    if not report.errors:
        with suppress(SimplantError):  # what is wrong with a configuration stands in the report then
            lay_out(project)
    also = [] if report.errors else lints(project)
    found = sorted([*report.mistakes, *also], key=lambda m: (m.place.line, m.place.column))
    if options.json:
        rows = [
            {"severity": m.severity, "what": m.what, "why": m.why, "mend": m.mend, "place": str(m.place)} for m in found
        ]
        console.file.write(json.dumps(rows, indent=1) + "\n")
    else:
        for mistake in found:
            console.print(Text(report.told(mistake), style=_STYLE[mistake.severity]), soft_wrap=True)
        counts = {s: sum(m.severity == s for m in found) for s in ("error", "warning")}
        console.print(Text(", ".join(f"{n} {word}{'' if n == 1 else 's'}" for word, n in counts.items())))
    return 1 if report.errors else 0


def check_controller(machine: Machine, plan: ControllerPlan) -> Checked:
    """Check one controller's program."""
    people = tuple(p.name for p in machine.io.inputs if machine.plans[p.part].kind.__name__ in PEOPLE)
    filters = {p.name: p.filter for p in machine.io.inputs} if plan.name == MAIN else {}
    timings = {
        setup.name: Timing(setup.period, Ns(setup.execution + setup.execution_jitter), setup.start_jitter)
        for setup, _ in plan.tasks
    }
    if isinstance(plan.program, Prepared):
        told = (*plan.program.findings, *unused_points(plan.program))
        return Checked(plan.name, told, laid_pulses(plan.program, filters, timings))
    findings = check_program(plan.program, operator_inputs=people if plan.name == MAIN else ())
    return Checked(plan.name, findings, shortest_pulses(plan.program, filters, timings))


def _tell(checked: Checked, console: Console) -> None:
    console.print(Text(f"Controller {checked.controller}", style="bold"))
    for finding in checked.findings:
        console.print(Text(str(finding), style=_STYLE[finding.severity]), soft_wrap=True)
    count = {s: sum(f.severity == s for f in checked.findings) for s in _STYLE}
    console.print(Text(", ".join(f"{n} {word}{'' if n == 1 else 's'}" for word, n in count.items())))
    by_length: dict[Ns, list[str]] = {}
    for tag, length in checked.pulses:
        by_length.setdefault(length, []).append(tag)
    rows = [(show(length), ", ".join(tags)) for length, tags in sorted(by_length.items())]
    if rows:
        console.print(plain_table("Shortest input pulse that is sure to be seen", (">at least", "inputs"), rows))
    console.print("")


def _json(checked: Checked) -> dict[str, Any]:
    return {
        "controller": checked.controller,
        "findings": [
            {
                "severity": f.severity,
                "kind": f.kind,
                "what": f.what,
                "why": f.why,
                "mend": f.mend,
                "place": str(f.place),
            }
            for f in checked.findings
        ],
        "shortest_pulses": [{"tag": tag, "shortest_ns": length} for tag, length in checked.pulses],
    }
