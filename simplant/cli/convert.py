"""`simplant convert MACHINE_OR_FILE --to st|sfc|ladder|xml`: a program in another language, for the controller.

What becomes of what is logic/convert/. Rule: the text goes to a file whole or not at all; what it cannot hold is
refused with the reason.
"""

import argparse
import json
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from simplant.cli.find import find_machine
from simplant.errors import UsageError, nearest
from simplant.files import shown, write_text
from simplant.logic.convert.faces import FACES, of_project, of_python
from simplant.logic.convert.in_charts import converted_in_charts
from simplant.logic.convert.programs import SAFETY, converted
from simplant.logic.convert.remarks import Remarks
from simplant.logic.st.faces import READERS
from simplant.logic.st.project import read_project
from simplant.logic.xml.write import EDITIONS
from simplant.rig.machine import MAIN, Machine


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("convert", help="say a program in another of the standard's languages")
    parser.add_argument("program", help="folder of a machine, its name under programs/, or a file of its logic")
    parser.add_argument("--to", required=True, choices=list(FACES), help="the language that is wanted")
    parser.add_argument("--edition", choices=list(EDITIONS), help="of XML: TC6 2.01 (default) or IEC 61131-10")
    parser.add_argument("--controller", metavar="NAME", help="whose program, of a machine with several (default: main)")
    parser.add_argument("--out", metavar="FILE", help="write the text to a file instead of printing it")
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    path = Path(options.program)
    if path.suffix.lower() in READERS:
        source, text = shown(path), _of_file(path, options)
    elif path.suffix.lower() == ".py" and path.is_file():
        source, text = _of_machine(Machine.load(path.parent), path, options)
    else:
        source, text = _of_machine(find_machine(options.program), None, options)
    if options.out:
        write_text(options.out, text)
    if options.json:
        result = {"from": source, "to": options.to, "out": options.out, "text": text, "safety": SAFETY}
        console.file.write(json.dumps(result, indent=1) + "\n")
    elif options.out:
        console.print(Text(f"{source} written as {FACES[options.to]} to {options.out}"))
        console.print(Text(SAFETY, style="italic"))
    else:
        console.file.write(text)
    return 0


def _of_file(path: Path, options: argparse.Namespace) -> str:
    if options.controller:
        raise UsageError(f"{path} is one program", "--controller chooses among those of a machine", "leave it out")
    return of_project(read_project(path), path.suffix.lower().lstrip("."), options.to, _edition(options))


def _edition(options: argparse.Namespace) -> str:
    if options.edition and options.to != "xml":
        raise UsageError("--edition is said of XML", mend="leave it out, or convert --to xml")
    return options.edition or "tc6"


def _of_machine(machine: Machine, file: Path | None, options: argparse.Namespace) -> tuple[str, str]:
    """Convert the program of one of a machine's controllers; `file`: the one whose program this is."""
    files = {plan.name: plan.logic for plan in machine.controllers}
    name = options.controller or MAIN
    if file is not None:
        mine = [n for n, path in files.items() if path.resolve() == file.resolve()]
        if not mine or (options.controller and options.controller not in mine):
            known = ", ".join(path.name for path in files.values())
            raise UsageError(f"{file} is not the logic of a controller of {machine.name}", mend=f"there is {known}")
        name = mine[0]
    if name not in files:
        raise UsageError(f"{machine.name} has no controller {name!r}", mend=nearest(name, files))
    path = files[name]
    if path.suffix.lower() in READERS:
        return shown(path), _of_file(path, argparse.Namespace(to=options.to, edition=options.edition, controller=None))
    plan = next(plan for plan in machine.controllers if plan.name == name)
    remarks = Remarks(shown(path), path.read_text(encoding="utf-8-sig"))
    charted = options.to == "sfc" or (options.to == "xml" and plan.program.charts)
    say = converted_in_charts if charted else converted
    program = say(plan.program, title=machine.title, remarks=remarks)
    tags = [t for t in plan.program.declared.values() if t.name in (*plan.inputs, *plan.outputs)]
    return shown(path), of_python(program, options.to, shown(path), tags, _edition(options))
