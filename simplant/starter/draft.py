"""A machine drafted from an I/O list: parts, wires, program, rules, scenarios, and what is left to the engineer.

Each step is a file of its own (fit, feeds, sort, explore, texts). Rule: the draft is tried while it is made, and what
is shipped passes; whatever could not be told from the list is said, never guessed in silence.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from re import escape, search, sub
from tempfile import TemporaryDirectory

from simplant.errors import SimplantError, UsageError
from simplant.rig.machine import Machine
from simplant.starter.drives import add_loads, mains, motor, starter
from simplant.starter.explore import Answer, explore
from simplant.starter.feeds import PartDraft, connect
from simplant.starter.fit import CONTACTS, Device, answers_by_name, called, devices, fit, fit_pair, near
from simplant.starter.lists import as_io
from simplant.starter.place import Files
from simplant.starter.program_text import logic_text
from simplant.starter.sort import Roles, sort
from simplant.starter.stories import CYCLE, POWER_UP, stories, told
from simplant.starter.texts import HAZARDS, class_of, machine_text, parts_text, rules_text, test_text
from simplant.wiring.io_file import parse_io
from simplant.wiring.io_list import IoList
from simplant.wiring.levels import ContactForm


@dataclass(frozen=True, slots=True)
class Draft:
    """The files, how the list was read (a line each), and what is left to do."""

    files: Files
    read: Sequence[str]
    left: Sequence[str]


def draft(name: str, path: Path) -> Draft:
    """Draft a machine from an I/O list.

    Args:
        name: of the machine.
        path: the list, as `io.csv` is written.

    Raises:
        WiringError: the list cannot be read; with every mistake in it.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise UsageError(f"{path} cannot be read", error.strerror or "", "name the I/O list, a CSV file") from None
    text, notes = as_io(data, path.as_posix())
    return _Drafter(name, parse_io(text, path.as_posix()), text, path.as_posix(), notes).draft()


class _Drafter:
    def __init__(self, name: str, io: IoList, text: str, named: str, notes: Sequence[str]) -> None:
        self.name, self.io, self.text, self.named = name, io, text, named
        self.parts: dict[str, PartDraft] = {}
        self.unmatched: list[Device] = []
        self.read: list[str] = list(notes)
        self.left: list[str] = []
        self.unsure: list[str] = []
        self.at_contacts: list[str] = []

    def draft(self) -> Draft:
        self.rename()
        for supply in dict.fromkeys(point.supply for point in self.io if point.supply):
            volts = search(r"\d+", supply)
            self.parts[supply] = PartDraft("supply", values={"volts": float(volts[0])} if volts else {})
        for device in devices(self.io):
            self.match(device)
        driven: dict[str, set[str]] = {}
        for point in self.io.outputs:
            driven.setdefault(point.part, set()).add(point.terminal)
            self.parts[point.part].supply = point.supply or self.parts[point.part].supply
        for load in add_loads(self.parts, {point.part: point.name for point in self.io.outputs}):
            self.read.append(f"{load} is what its contactor switches (a {self.parts[load].part}, added)")
        connect(self.parts, driven)
        self.tell()
        with TemporaryDirectory() as aside:
            return Draft(self.files(Path(aside)), self.read, self.left)

    # Parts

    def rename(self) -> None:
        """Give each device a name that a part can have: letters, digits, and no tag's."""
        tags, renamed = {point.name.upper() for point in self.io}, dict[str, list[str]]()
        for old in dict.fromkeys(point.part for point in self.io):
            new = sub(r"\W+", "_", old).strip("_") or "device"
            new = f"d_{new}" if new[0].isdigit() else new
            new = f"{new}_part" if new.upper() in tags else new
            if new != old:
                self.move(old, new, {p.terminal: p.terminal for p in self.io if p.part == old})
                why = "a tag is called so" if new.endswith("_part") else "a part's name has letters, digits and _"
                renamed.setdefault(why, []).append(f"{old} is {new}")
        for why, each in renamed.items():
            self.read.append(f"called otherwise ({why}; io.csv says so now): {', '.join(each)}")

    def move(self, old: str, new: str, terminals: Mapping[str, str]) -> None:
        """Let terminals of a device (old name -> new name) be those of another, in the list and in its text."""
        for terminal, called_now in terminals.items():
            device = rf"(?<![\w.-]){escape(old)}\.{escape(terminal)}(?![\w.])"
            self.text = sub(device, f"{new}.{called_now}", self.text)
        points = (
            replace(p, part=new, terminal=terminals[p.terminal]) if p.part == old and p.terminal in terminals else p
            for p in self.io
        )
        self.io = IoList(tuple(points))

    def match(self, device: Device) -> None:
        stock = fit(device)
        started = None if stock and called(stock, device) else starter(device, self.broken_by(device))
        if started:
            self.start(device, *started)
            return
        if stock:
            self.parts[device.name] = PartDraft(stock, said=device.said)
            contacts = {t: c for t, c in CONTACTS.get(stock, {}).items() if t in device.reads}
            if stock == "overload" and "healthy" in self.broken_by(device):  # contact 95-96: the trip opens it
                self.move(device.name, device.name, {"healthy": "tripped"})
                self.read.append(f"{device.name}: the trip opens its normally closed contact: {device.name}.tripped")
            if contacts:
                self.move(device.name, device.name, contacts)
                self.at_contacts.append(device.name)
            if not called(stock, device) and not called(stock, Device(device.said, (), ())):
                self.unsure.append(device.name)
            return
        pair = fit_pair(device)
        if pair:
            self.split(device, *pair)
            return
        self.unmatched.append(device)
        self.parts[device.name] = PartDraft(f"parts.py:{class_of(device.name)}")
        stock, terminals = near(device)
        self.left.append(
            f"{device.name} ({', '.join(device.terminals)}) fits no stock part; the nearest is {stock} "
            f"({', '.join(terminals)}). A stand-in is in parts.py: scenarios move it by hand"
        )

    def broken_by(self, device: Device) -> list[str]:
        return [p.terminal for p in self.io if p.part == device.name and p.contact is ContactForm.NC]

    def split(self, device: Device, actor: str, sensed: str) -> None:
        """One device of the list is two parts: what is driven, and what is seen."""
        second = f"{device.name}_{actor.rpartition('_')[2]}"
        self.parts[second] = PartDraft(actor)
        self.parts[device.name] = PartDraft(sensed)
        self.move(device.name, second, {terminal: terminal for terminal in device.drives})
        self.read.append(
            f"{device.name} is two parts: {actor} {second} and {sensed} {device.name} (io.csv says so now)"
        )

    def start(self, device: Device, coil: dict[str, str], trip: dict[str, str]) -> None:
        """A motor named alone is a contactor, perhaps an overload relay, and the motor behind them."""
        told = []
        for part, terminals in (("contactor", coil), ("overload", trip)):
            if terminals:
                self.parts[f"{device.name}_{part}"] = PartDraft(part)
                self.move(device.name, f"{device.name}_{part}", terminals)
                told.append(f"{part} {device.name}_{part}")
        self.parts[device.name] = motor(f"{device.name}_contactor")
        mains(self.parts, f"{device.name}_contactor")
        self.read.append(f"{device.name} is a motor behind its {' and its '.join(told)} (io.csv says so now)")

    def tell(self) -> None:
        by_stock: dict[str, list[str]] = {}
        for name, part in self.parts.items():
            stock = f"{part.part} (added)" if part.made else part.part
            by_stock.setdefault(stock, []).append(f"{name} (?)" if name in self.unsure else name)
        told = [f"{stock}: {', '.join(names)}" for stock, names in by_stock.items() if not stock.startswith("parts.py")]
        self.read[:0] = told
        if self.at_contacts:
            names = ", ".join(self.at_contacts)
            self.read.append(f"wires go to contacts, so pressed became contact and open became switch: {names}")
        if self.unsure:
            self.read.append("(?) told by its terminals alone: make it another part in machine.toml if that is wrong")
        for name, part in self.parts.items():
            self.left += [
                f"{name}.{terminal} is not wired: say in machine.toml what feeds it" for terminal in part.loose
            ]

    # Files, tried as they are made

    def files(self, root: Path) -> Files:
        home, tests = f"programs/{self.name}", f"scenarios/{self.name}"
        files = {
            f"{home}/io.csv": "".join(line for line in self.text.splitlines(keepends=True) if line.strip()),
            f"{home}/machine.toml": machine_text(self.name, self.parts, POWER_UP),
            f"{home}/rules.toml": "",
            f"{home}/hazards.csv": HAZARDS,
        }
        if self.unmatched:
            files[f"{home}/parts.py"] = parts_text(self.unmatched)
        roles = sort(self.io, self.parts)
        idle = replace(roles, motions=())
        answers = explore(
            _load(root, self.name, {**files, f"{home}/logic.py": logic_text(self.name, self.io, idle, {})}, self.named),
            roles,
        )
        files[f"{home}/logic.py"] = logic_text(self.name, self.io, roles, answers)
        files[f"{home}/rules.toml"] = rules_text(self.io, roles, answers)
        machine = _load(root, self.name, files, self.named)
        for story in stories(self.name, self.parts, roles, answers):
            if text := told(machine, story):
                files[f"{tests}/{story.name}.toml"] = text
        cycle = f"{tests}/{CYCLE}.toml" in files
        files[f"{home}/machine.toml"] = machine_text(self.name, self.parts, CYCLE if cycle else POWER_UP)
        files[f"tests/test_{self.name}.py"] = test_text(self.name, roles)
        self.advise(roles, answers, cycle=cycle)
        unread = [p.name for p in self.io.inputs if not search(rf"\bt\.{p.name}\b", files[f"{home}/logic.py"])]
        if unread:
            self.left.append(f"the program does not look at {', '.join(unread)} yet (logic.py)")
        return files

    def advise(self, roles: Roles, answers: dict[str, Answer | None], *, cycle: bool) -> None:
        silent = [name for name, answer in answers.items() if answer is None]
        if silent:
            self.left.append(f"no input answers {', '.join(silent)}: the step ends after 1 s (logic.py)")
            self.left += [
                f"{point.name} may answer {name}, but nothing in the plant moves {point.part}"
                for name in silent
                for point in self.io.inputs
                if answers_by_name(name, point.name)
            ]
        missing = [word for word in ("start", "stop", "reset") if getattr(roles, word) is None]
        if missing:
            self.left.append(f"no push button is named {' or '.join(missing)}: see logic.py")
        if roles.motions and not roles.needs:
            self.left.append("no emergency stop, door or safety relay is in the list: no interlock rule was derived")
        if roles.start and roles.motions and not cycle:
            self.left.append("a start does not go through all steps yet: no scenario of it was written")
        if roles.motions:
            self.left.append("the order of the steps in logic.py is that of the I/O list: make it that of your machine")


def _load(root: Path, name: str, files: Files, named: str) -> Machine:
    """Load the draft as it is so far; errors in its I/O list are told in the user's own file (`named`)."""
    for path, text in files.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text, encoding="utf-8")
    folder = root / "programs" / name
    try:
        return Machine.load(folder)
    except SimplantError as error:
        aside = (folder / "io.csv").as_posix()
        place = error.place and replace(error.place, file=error.place.file.replace(aside, named))
        what, why, mend = (text.replace(aside, named) for text in (error.what, error.why, error.mend))
        raise type(error)(what, why, mend, place) from None
