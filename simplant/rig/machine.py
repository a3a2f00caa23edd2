"""A machine: its folder read, checked, and ready to be built as often as runs are wanted.

Reading the folder is machine_loader.py, what it gives plans.py; running is rig.py. Rule: a machine never changes;
what is made of it once for many runs is kept with it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import Any

from simplant.errors import PlantError, RuleError, UsageError, nearest
from simplant.expr import Truth
from simplant.faults import POWER_CUT, CatalogueEntry, FailureMode, catalogue, find
from simplant.files import shown
from simplant.logic.program import Program
from simplant.logic.st.faces import READERS
from simplant.part import Part, Signal, Whole, check_parameter, whole
from simplant.plant.world import Wire
from simplant.rig.common_causes import common_causes
from simplant.rig.load import call
from simplant.rig.machine_file import MachineFile, named_file
from simplant.rig.machine_loader import Loader
from simplant.rig.panel import MODES as PANEL_MODES
from simplant.rig.panel import PANEL
from simplant.rig.plans import HANGING, MAIN, STOCK, ControllerPlan, PartPlan
from simplant.rig.rule_table import read_rules
from simplant.rig.variant import folders_of
from simplant.rig.words import words_of
from simplant.rules import Book, Claim, Hazard, read_hazards
from simplant.scenario.text_file import read_text
from simplant.timebase import Ns
from simplant.values import BOOL, DINT, LREAL, STRING
from simplant.wiring.io_list import IoList

__all__ = ["HANGING", "MAIN", "STOCK", "ControllerPlan", "Machine", "PartPlan"]


@dataclass(frozen=True)
class Machine:
    """A machine as read from its folder.

    Attributes:
        name: the folder's name.
        folder: where it was read.
        io: its I/O list.
        plans: its parts in declared order; the points after them.
        wires: all connections.
        controllers: the main one first.
    """

    name: str
    folder: Path
    file: MachineFile
    io: IoList
    plans: Mapping[str, PartPlan]
    wires: tuple[Wire, ...]
    controllers: tuple[ControllerPlan, ...]

    @classmethod
    def load(cls, folder: Path | str, *, logic: Path | None = None) -> "Machine":
        """Read a machine's folder; `logic`: a file in place of its main controller's own program.

        Raises:
            UsageError: there is no such folder.
            PlantError, WiringError, ProgramError: something in its files is wrong.
        """
        folder = Path(folder)
        if not folder.is_dir():
            near = [str(p.parent.as_posix()) for p in folder.parent.glob("*/machine.toml")]
            raise UsageError(f"there is no machine at {folder}", mend=nearest(folder.as_posix(), near))
        loader = Loader(folder, logic)
        controllers = loader.read()
        name, wires = folder.resolve().name, tuple(loader.wires)
        return cls(name, folder, loader.file, loader.io, loader.plans, wires, controllers)

    def with_controllers(self, controllers: tuple[ControllerPlan, ...]) -> "Machine":
        """Give the machine with other programs in its controllers; what does not depend on them is kept."""
        made = replace(self, controllers=controllers)
        kept = ("rules", "truths", "catalogue", "common_causes", "hazards")
        made.__dict__.update({name: getattr(self, name) for name in kept})
        return made

    @cached_property
    def kept(self) -> dict[object, Any]:
        """What is made once for many runs and kept with the machine; see blueprint.py."""
        return {}

    @property
    def program(self) -> Program:
        """The main controller's program."""
        return self.controllers[0].program

    @property
    def title(self) -> str:
        """One line for people."""
        return self.file.machine.title

    @cached_property
    def rules(self) -> Book:
        """The machine's rules, of each of its rule files in turn: a table, or what `build(machine)` gives."""
        given = self.file.machine.rules
        names = [name for name in ([given] if isinstance(given, str) else given) if name]
        files = [named_file(self.folder, "machine.rules", name) for name in names]
        return Book([claim for path in files for claim in self._rules_in(path)])

    def _rules_in(self, path: Path) -> Iterable[Claim | Sequence[Claim]]:
        if path.suffix == ".toml":
            words = words_of(self.program, self.io, self.truths, self.truth)
            return read_rules(path, shown(path), words)
        claims: Iterable[Claim | Sequence[Claim]] = call(path, "build", self)
        return claims

    @cached_property
    def hazards(self) -> tuple[Hazard, ...]:
        """The accepted hazards; empty without a list."""
        if not self.file.machine.hazards:
            return ()
        path = named_file(self.folder, "machine.hazards", self.file.machine.hazards)
        text = read_text(path, "hazard list")
        faults = list(dict.fromkeys(name for entry in self.catalogue for name in entry.fault(Ns(0)).names))
        return read_hazards(text, shown(path), rules=self.rules.names, faults=faults)

    @property
    def alarm_texts(self) -> Mapping[str, str]:
        """Alarm tag -> text."""
        return {alarm.name: alarm.text for table in self.program.alarm_tables for alarm in table.alarms}

    def scenario_folder(self) -> Path:
        """Where its scenarios are: `scenarios/NAME` beside `programs/`, unless the file says otherwise."""
        if self.file.machine.scenarios:
            return self.folder / self.file.machine.scenarios
        folder = self.folder if len(self.folder.parts) > 1 else self.folder.resolve()
        return folder.parent.parent / "scenarios" / self.name

    def truth(self, name: str) -> Truth:
        """Give a truth of the plant (`part.terminal`) as an expression for rules.

        Raises:
            RuleError: there is no such truth.
        """
        if name not in self.truths:
            raise RuleError(f"there is no truth {name!r}", mend=nearest(name, self.truths))
        value = self.truths[name]
        kind = BOOL if isinstance(value, bool) else DINT if isinstance(value, int) else LREAL
        return Truth(name, STRING if isinstance(value, str) else kind)

    @cached_property
    def digest(self) -> str:
        """A short digest of all files that make the machine: shown in traces, never compared."""
        kinds = (".py", ".csv", ".toml", *READERS)
        files = [p for each in folders_of(self.folder) for p in sorted(each.iterdir()) if p.suffix in kinds]
        return sha256(b"".join(p.read_bytes().replace(b"\r\n", b"\n") for p in files)).hexdigest()[:12]

    @cached_property
    def truths(self) -> Mapping[str, Signal]:
        """Every truth `part.terminal` with its first value."""
        parts = self.build({})
        return {f"{p.name}.{t}": v for p in parts.values() for t, v in p.outputs.items()}

    @cached_property
    def catalogue(self) -> tuple[CatalogueEntry, ...]:
        """Every failure mode of every part, point and controller, common causes, and every pair of wires.

        It is derived, never written.
        """
        targets = {name: plan.kind.FAILURES for name, plan in self.plans.items() if plan.kind.FAILURES}
        swaps = [(one.name, other.name) for one, other in self.io.swappable()]
        controllers = {controller.name: (HANGING, POWER_CUT) for controller in self.controllers}
        panel = {PANEL: PANEL_MODES} if self.file.machine.panel else {}
        causes = {cause.target: (cause.mode,) for cause in common_causes(self.plans, self.io)}
        return catalogue({**targets, **controllers, **panel, **causes}, swaps)

    def mode(self, target: str, kind: str) -> FailureMode:
        """Give a failure mode of the catalogue; raises `ScenarioError` with the nearest names if there is none."""
        found = self._modes.get((target, kind))
        return found or find(self.catalogue, target, kind).mode

    @cached_property
    def _modes(self) -> Mapping[tuple[str, str], FailureMode]:
        return {(name, entry.mode.kind): entry.mode for entry in self.catalogue for name in (entry.target, entry.other)}

    @cached_property
    def _parameters(self) -> Mapping[str, Whole]:
        """The parameters of each part where a run changes none of them."""
        return {name: whole(plan.kind, name, plan.parameters) for name, plan in self.plans.items()}

    @cached_property
    def common_causes(self) -> Mapping[tuple[str, str], tuple[tuple[str, str], ...]]:
        """What each common cause (target and kind) fails: names, each with its own failure mode."""
        return {(cause.target, cause.mode.kind): cause.members for cause in common_causes(self.plans, self.io)}

    def build(self, parameters: Mapping[str, float]) -> dict[str, Part]:
        """Build all parts anew; `parameters` ("part.parameter" -> value) override the file's.

        Raises:
            PlantError: there is no such part or parameter, or the value is out of bounds.
        """
        changed: dict[str, dict[str, float]] = {}
        for key, value in parameters.items():
            name, _, parameter = key.rpartition(".")
            if name not in self.plans:
                raise PlantError(f"there is no part {name!r} to set {key!r}", mend=nearest(name, self.plans))
            check_parameter(self.plans[name].kind, name, parameter, value)
            changed.setdefault(name, {})[parameter] = value
        parts: dict[str, Part] = {}
        for name, plan in self.plans.items():
            mine = changed.get(name)
            part = parts[name] = plan.make({**plan.parameters, **mine} if mine else self._parameters[name])
            part.inputs.update(plan.constants)
        return parts
