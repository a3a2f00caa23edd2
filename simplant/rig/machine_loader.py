"""Reading a machine's folder: parts, wires, points and controllers, as plans.

The form of `machine.toml` is machine_file.py, what comes of it machine.py. Rule: everything that can be wrong
with the files is said here, before anything runs.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from simplant.curves import Curve
from simplant.errors import PlantError, ProgramError, nearest
from simplant.kernel.setup import ControllerSetup, TaskSetup
from simplant.logic.compile import compile_task
from simplant.logic.layout import Layout, layouts
from simplant.logic.program import Program
from simplant.logic.st.prepared import read_program
from simplant.part import Part, Signal, check_parameter
from simplant.plant.inverter import Inverter
from simplant.plant.world import Sum, Wire
from simplant.rig.load import call, load_module
from simplant.rig.machine_file import ControllerTable, named_file, periods_of, place_in, read_machine_file, time_of
from simplant.rig.panel_table import panel_problems
from simplant.rig.plans import MAIN, STOCK, ControllerPlan, PartPlan
from simplant.rig.port import Port
from simplant.rig.variant import found, io_of
from simplant.tags import Direction, Tag
from simplant.timebase import NEVER, Ns
from simplant.values import BOOL, Value
from simplant.wiring.checks import check_devices
from simplant.wiring.io_list import Point
from simplant.wiring.point_kinds import kind_of, source_of


class Loader:
    """Reads one folder; each method checks one table. `logic`: a file in place of the main controller's own.

    Attributes:
        plans: the parts, once `read` has run.
        wires: all connections.
    """

    def __init__(self, folder: Path, logic: Path | None = None) -> None:
        self.folder = folder
        self.logic = logic
        self.path = folder / "machine.toml"
        self.file = read_machine_file(self.path)
        self.io = io_of(folder)
        self.plans: dict[str, PartPlan] = {}
        self.wires: list[Wire] = []
        self.inserted: dict[str, str] = {}
        """Part that a sum or an inverted wire put in -> the terminal that it was written for."""

    def read(self) -> tuple[ControllerPlan, ...]:
        """Read everything; give the controllers, the main one first."""
        for name, table in self.file.parts.items():
            self._part(name, table)
        for name, controller in self.file.controllers.items():
            self._port(name, controller)
        for point in self.io:
            self._point(point)
        for name in self.file.points:
            if name not in self.io:
                raise self._error(
                    f"there is no point {name!r}", f"points.{name}", nearest(name, [p.name for p in self.io])
                )
        parts = self._check_wires()
        controllers = (self._main(), *(self._other(n, t) for n, t in self.file.controllers.items()))
        self._check_shown(parts, controllers[0])
        return controllers

    def _check_shown(self, parts: Mapping[str, Part], main: ControllerPlan) -> None:
        """Hold what the file wants charted and counted against what there is to see."""
        truths = [f"{part.name}.{terminal}" for part in parts.values() for terminal in part.outputs]
        known = {*truths, *main.program.declared, *main.program.charts}
        wanted = [("chart", name) for name in self.file.machine.chart]
        for key, name in [*wanted, *((f"counts.{k}", name) for k, name in self.file.machine.counts.items())]:
            if name not in known:
                raise self._error(
                    f"machine.{key} names {name!r}, which is not there", f"machine.{key}", nearest(name, known)
                )
        for key, what, mend in panel_problems(self.file.panel, self.plans, known):
            raise self._error(what, key, mend)

    def _error(self, what: str, key: str, mend: str = "", why: str = "") -> PlantError:
        return PlantError(what, why, mend, place_in(self.folder, key))

    def _add(self, plan: PartPlan, key: str) -> None:
        if plan.name in self.plans:
            raise self._error(
                f"the name {plan.name!r} is used twice", key, "parts, controllers and tags share one set of names"
            )
        self.plans[plan.name] = plan

    def _part(self, name: str, table: Mapping[str, Any]) -> None:
        key = f"parts.{name}"
        kind = self._kind(name, table)
        parameters: dict[str, float] = {}
        constants: dict[str, Signal] = {}
        for entry, value in table.items():
            if entry == "part":
                continue
            if entry in kind.INPUTS:
                self._input(name, entry, value, constants)
            elif entry in kind.PARAMETERS:
                self._parameter(kind, name, entry, value, f"{key}.{entry}")
                parameters[entry] = float(value)
            else:
                known = [*kind.INPUTS, *kind.PARAMETERS]
                raise self._error(
                    f"part {name!r} ({table['part']}) has no {entry!r}", f"{key}.{entry}", nearest(entry, known)
                )
        self._add(PartPlan(name, lambda p: kind(name, p), kind, parameters, constants), key)

    def _parameter(self, kind: type[Part], name: str, key: str, value: float, path: str) -> None:
        try:
            check_parameter(kind, name, key, value)
        except PlantError as error:
            raise self._error(error.what, path, error.mend, error.why) from None

    def _kind(self, name: str, table: Mapping[str, Any]) -> type[Part]:
        key = f"parts.{name}"
        called = table.get("part")
        if not isinstance(called, str):
            raise self._error(f"part {name!r} does not say which stock part it is", key, 'write part = "push_button"')
        if called in STOCK:
            return STOCK[called]
        file, colon, cls = called.partition(":")
        if not colon:
            raise self._error(
                f"there is no stock part {called!r}",
                f"{key}.part",
                f'{nearest(called, STOCK)}; your own: "file.py:Class"',
            )
        own = getattr(load_module(found(self.folder, file)), cls, None)
        if not (isinstance(own, type) and issubclass(own, Part)):
            raise self._error(f"{file} has no part class {cls!r}", f"{key}.part", "derive it from simplant.Part")
        return own

    def _input(self, name: str, terminal: str, value: object, constants: dict[str, Signal]) -> None:
        """An input terminal: a wire ("part.terminal", "not part.terminal"), a sum (a list of wires), or a constant."""
        if isinstance(value, str):
            self._wire(value, name, terminal)
        elif isinstance(value, list):
            total = f"{name}_{terminal}_sum"
            count = len(value)
            self._insert(PartPlan(total, lambda _: Sum(total, count), Sum), name, terminal)
            self.wires += [Wire(str(source), total, f"term_{n}") for n, source in enumerate(value)]
            self.wires.append(Wire(f"{total}.total", name, terminal))
        elif isinstance(value, bool | int | float):
            constants[terminal] = value
        else:
            raise self._error(
                f"{name}.{terminal} is {value!r}",
                f"parts.{name}.{terminal}",
                'write "part.terminal", "not part.terminal", a list of such as are added, or a value',
            )

    def _wire(self, source: str, name: str, terminal: str) -> None:
        """Lay a wire; an inverted one runs through a part of its own."""
        plain = source.removeprefix("not ").strip()
        if plain != source:
            inverter = f"{name}_{terminal}_not"
            self._insert(PartPlan(inverter, lambda _: Inverter(inverter), Inverter), name, terminal)
            self.wires.append(Wire(plain, inverter, "of"))
            plain = f"{inverter}.inverse"
        self.wires.append(Wire(plain, name, terminal))

    def _insert(self, plan: PartPlan, name: str, terminal: str) -> None:
        self._add(plan, f"parts.{name}")
        self.inserted[plan.name] = f"{name}.{terminal}"

    def _port(self, name: str, table: ControllerTable) -> None:
        inputs, outputs = tuple(table.inputs), tuple(table.outputs)
        self._add(PartPlan(name, lambda _: Port(name, inputs, outputs), Port), f"controllers.{name}")
        for tag, source in table.wires.items():
            self._wire(source, name, tag)

    def _point(self, point: Point) -> None:
        kind = kind_of(point, self.io)
        given = self.file.points.get(point.name, {})
        for key, value in given.items():
            self._parameter(kind, point.name, key, value, f"points.{point.name}.{key}")
        self._add(PartPlan(point.name, lambda p: kind(point, p), kind, given), f"points.{point.name}")
        if point.is_input:
            self.wires.append(Wire(point.device, point.name, source_of(point)))
        else:
            self.wires.append(Wire(f"{point.name}.drive", point.part, point.terminal))
        if point.supply:
            self.wires.append(Wire(f"{point.supply}.volts", point.name, "volts"))

    def _check_wires(self) -> dict[str, Part]:
        """Hold every wire, and every row of the I/O list, against the terminals that are really there."""
        parts = {name: plan.make(plan.parameters) for name, plan in self.plans.items()}
        check_devices(self.io, parts)
        for wire in self.wires:
            source, _, terminal = wire.source.partition(".")
            mine = self.inserted.get(wire.part, f"{wire.part}.{wire.terminal}")
            key = f"parts.{mine}"
            for name, wanted, side in ((source, terminal, "output"), (wire.part, wire.terminal, "input")):
                if name not in parts:
                    raise self._error(
                        f"{mine} is wired to {wire.source!r}, but there is no part {name!r}", key, nearest(name, parts)
                    )
                there = parts[name].outputs if side == "output" else parts[name].inputs
                if wanted not in there:
                    raise self._error(f"part {name!r} has no {side} {wanted!r}", key, nearest(wanted, there))
                if Inverter in (self.plans[source].kind, self.plans[wire.part].kind):
                    self._check_inverted(there[wanted], mine, f"{name}.{wanted}", key)
            if wire.part in self.file.parts:
                said, heard = parts[source].outputs[terminal], parts[wire.part].inputs[wire.terminal]
                self._check_kinds(said, heard, mine, wire.source, key)
        return parts

    def _check_kinds(self, said: Signal, heard: Signal, mine: str, source: str, key: str) -> None:
        """Let levels and numbers stand for each other (a count hears rises), but not for curves or words."""
        for kind, named in ((Curve, "a curve over time"), (str, "a word")):
            if isinstance(said, kind) is not isinstance(heard, kind):
                why = f"{source} says" if isinstance(said, kind) else f"{mine} hears"
                other = mine if isinstance(said, kind) else source
                raise self._error(
                    f"{mine} cannot be wired to {source!r}",
                    key,
                    "wire another terminal",
                    f"{why} {named}, {other} does not",
                )

    def _check_inverted(self, value: Signal, mine: str, carries: str, key: str) -> None:
        if not isinstance(value, bool):
            why = f"{carries} is a number, a word or a curve"
            raise self._error(f"{mine} inverts what is not true or false", key, "leave out `not`", why)

    def _main(self) -> ControllerPlan:
        table = self.file.controller
        logic = self.logic or named_file(self.folder, "machine.logic", self.file.machine.logic)
        inputs, outputs = (tuple(p.name for p in points) for points in (self.io.inputs, self.io.outputs))
        filters = {p.name: p.filter for p in self.io.inputs if p.filter}
        safe = {p.name: p.safe for p in self.io.outputs}
        plan = self._controller(MAIN, table, logic, self.io.tags, inputs, outputs, filters, safe)
        memory = [name for name, tag in plan.program.declared.items() if tag.direction is Direction.MEMORY]
        for name in self.file.machine.panel:
            if name not in memory:
                raise self._error(f"there is no memory tag {name!r}", "machine.panel", nearest(name, memory))
        return plan

    def _other(self, name: str, table: ControllerTable) -> ControllerPlan:
        logic = named_file(self.folder, f"controllers.{name}.logic", table.logic or f"{name}.py")
        inputs, outputs = tuple(table.inputs), tuple(table.outputs)
        tags = [Tag(t, BOOL, Direction.INPUT) for t in inputs] + [Tag(t, BOOL, Direction.OUTPUT) for t in outputs]
        return self._controller(name, table, logic, tags, inputs, outputs, {}, {})

    def _controller(
        self, name: str, table: ControllerTable, logic: Path, tags: Sequence[Tag], inputs: tuple[str, ...],
        outputs: tuple[str, ...], filters: Mapping[str, Ns], safe: Mapping[str, Value],
    ) -> ControllerPlan:  # fmt: skip
        program = call(logic, "build", tags) if logic.suffix == ".py" else read_program(logic, tags)
        if not isinstance(program, Program):
            raise ProgramError(f"build() in {logic.name} gave {program!r}", mend="end it with: return program")
        key = "controller" if name == MAIN else f"controllers.{name}"
        if table.supply and table.supply.partition(".")[0] not in self.plans:
            raise self._error(
                f"there is no part for supply {table.supply!r}",
                f"{key}.supply",
                nearest(table.supply.partition(".")[0], self.plans),
            )
        sources = {w.terminal: w.source for w in self.wires if w.part == name}
        laid = tuple(layouts(program))
        tasks = tuple((self._task(key, table, layout), compile_task(layout)) for layout in laid)
        setup = ControllerSetup(
            name,
            filters=filters,
            filter_start={t.name: t.type.default for t in tags if t.name in inputs and t.type is not BOOL},
            output_delay=time_of(table.output_delay, f"{key}.output_delay"),
            boot=time_of(table.boot, f"{key}.boot"),
            restart="cold" if table.restart == "cold" else "warm",
        )
        wires = table.supply, inputs, outputs, safe, sources
        return ControllerPlan(name, setup, program, laid, tasks, *wires, logic, periods_of(table, key, self.path))

    @staticmethod
    def _task(key: str, table: ControllerTable, layout: Layout) -> TaskSetup:
        return TaskSetup(
            layout.task,
            layout.period or time_of(table.period, f"{key}.period"),
            layout.priority,
            execution=time_of(table.execution, f"{key}.execution"),
            execution_jitter=time_of(table.execution_jitter, f"{key}.execution_jitter"),
            start_jitter=time_of(table.start_jitter, f"{key}.start_jitter"),
            watchdog=time_of(table.watchdog, f"{key}.watchdog") if table.watchdog else NEVER,
        )
