"""The power in every rung of one scan, as it really was at the moment each rung was done.

The scan is walked once more, from the inputs and the state that it had, on a program that notes the power at every
element; the notes are hidden variables, so what it does stays the same. Rule: nothing is worked out from values at the
end of a scan, which a later rung may have changed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace

from simplant.blocks import BLOCKS
from simplant.kernel.executable import Executable
from simplant.logic.core import Assign, Core
from simplant.logic.ladder.canvas import Point
from simplant.logic.ladder.hidden import Power, said
from simplant.logic.ladder.lower import RungLowering, lowered, place_of
from simplant.logic.ladder.normal import normal
from simplant.logic.ladder.tree import Block, Contact, Element, Ladder, Pin, Sense, elements
from simplant.logic.st.declared import Unit
from simplant.logic.st.prepared import TextProgram
from simplant.logic.st.tree import Access, Let
from simplant.logic.walk import walk_task
from simplant.timebase import Ns
from simplant.values import Value

Scan = tuple[tuple[Value, ...], tuple[Value, ...], Ns]
"""Inputs, state before, instant."""


@dataclass(slots=True)
class RungFlow:
    """What one rung did in a scan.

    Attributes:
        power: at each point, TRUE or FALSE; a point that is missing was passed over.
        conducts: number of each contact that was looked at -> whether it let power through.
        pins: number of each block that was done -> values of its pins, in drawn order.
    """

    power: dict[Point, bool] = field(default_factory=dict)
    conducts: dict[int, bool] = field(default_factory=dict)
    pins: dict[int, tuple[tuple[str, Value], ...]] = field(default_factory=dict)

    @property
    def done(self) -> bool:
        """Whether the scan came to this rung."""
        return bool(self.power)

    def has(self, point: Point) -> bool:
        """Say whether a point had power; the left rail of a rung that was done always has."""
        number, kind = point
        if number < 0:
            return self.done
        return self.conducts.get(number, False) if kind == "conducts" else self.power.get(point, False)


@dataclass(slots=True)
class _Notes:
    """Where the power of one unit is noted: name of the hidden variable -> rung, element, and what it is."""

    unit: Unit
    ladder: Ladder
    names: dict[str, tuple[int, int, str]] = field(default_factory=dict)
    _open: list[int] = field(default_factory=list)
    _rung: int = -1
    _next: int = 0

    def __call__(self, lowering: RungLowering, kind: str, element: Element, power: Power) -> None:
        """Note power."""
        if lowering.rung != self._rung:
            self._rung, self._next = lowering.rung, 0
        if kind == "in":
            self._open.append(self._next)
            self._next += 1
        place = place_of(element)
        note = lowering.hidden.temporary("noted", place)
        lowering.out.append(Let(place, note, said(power, place)))
        self.names[note.name] = (self._rung, self._open[-1], kind)
        if kind == "out":
            self._open.pop()


class Flow:
    """A program whose power can be looked at.

    Args:
        program: as the machine has it.
    """

    def __init__(self, program: TextProgram) -> None:
        self.notes: dict[str, _Notes] = {}
        written = program.project.written
        noting = program.of(replace(written, units=tuple(self._noted(unit) for unit in written.units)))
        self._layouts = noting.laid

    def _noted(self, unit: Unit) -> Unit:
        if not isinstance(unit.body, Ladder):
            return unit
        notes = self.notes[unit.name] = _Notes(unit, normal(unit.body))
        return lowered(unit, notes.ladder, notes)

    @property
    def ladders(self) -> dict[str, Ladder]:
        """The ladders of the file, in normal form, by the name of their unit."""
        return {name: notes.ladder for name, notes in self.notes.items()}

    def of(self, task: str, real: Executable, scan: Scan) -> dict[str, list[RungFlow]]:
        """Give the power in one scan: by unit, for each rung. Of a block that is called several times, the last call.

        Args:
            task: which one.
            real: what the machine runs, whose state the scan has.
            scan: inputs, state before, instant.
        """
        layout = next(each for each in self._layouts if each.task == task)
        flows = {name: [RungFlow() for _ in notes.ladder.rungs] for name, notes in self.notes.items()}
        walked = walk_task(layout, self._watch(flows))
        inputs, before, now = scan
        given = dict(zip(real.inputs, inputs, strict=True))
        held = dict(zip((slot.name for slot in real.slots), before, strict=True))
        state = tuple(held.get(slot.name, slot.initial) for slot in walked.slots)
        walked.run(tuple(given[name] for name in walked.inputs), state, now)
        return flows

    def _watch(self, flows: Mapping[str, list[RungFlow]]) -> Callable[[Core, Mapping[str, Value]], None]:
        found = {(name, hidden): at for name, notes in self.notes.items() for hidden, at in notes.names.items()}
        units = {notes.unit.place: name for name, notes in self.notes.items()}
        lines = sorted((place.line, name) for place, name in units.items())

        def watch(node: Core, values: Mapping[str, Value]) -> None:
            if not isinstance(node, Assign):
                return
            hidden = node.target.rpartition(".")[2]
            line = node.origin.place.line
            unit = next((name for start, name in reversed(lines) if start <= line), "")
            at = found.get((unit, hidden))
            if at is None or node.origin.place == self.notes[unit].unit.place:
                return
            prefix = node.target[: len(node.target) - len(hidden)]
            self._take(flows[unit][at[0]], self.notes[unit], at, bool(values[node.target]), values, prefix)

        return watch

    def _take(
        self, flow: RungFlow, notes: _Notes, at: tuple[int, int, str], power: bool,  # noqa: FBT001 - a value
        values: Mapping[str, Value], prefix: str,
    ) -> None:  # fmt: skip
        rung, number, kind = at
        element = list(elements(notes.ladder.rungs[rung].line))[number]
        if kind == "value":
            assert isinstance(element, Contact), "only contacts look at a value"
            flow.conducts[number] = power is not (element.sense is Sense.CLOSED)
            return
        flow.power[number, kind] = power
        if kind == "out" and isinstance(element, Contact) and element.sense in (Sense.RISING, Sense.FALLING):
            flow.conducts[number] = power
        if kind == "out" and isinstance(element, Block):
            flow.pins[number] = tuple(_pins(element, values, prefix))


def _pins(block: Block, values: Mapping[str, Value], prefix: str) -> list[tuple[str, Value]]:
    """Give what is known of a block's pins: of an instance what it holds, else the variables at its sides."""
    folded = {name.upper(): name for name in values}
    beside = {pin.name: pin for pin in block.pins}
    kind = BLOCKS.get(block.type.upper()) if block.instance else None
    named = [f.name for f in (*kind.inputs, *kind.outputs)] if kind else [block.power_in, *beside, block.power_out]
    found: list[tuple[str, Value]] = []
    for name in dict.fromkeys(each for each in named if each):
        wanted = f"{prefix}{block.instance}.{name}" if block.instance else _beside(beside.get(name), prefix)
        known = folded.get(wanted.upper(), wanted)
        with suppress(KeyError):  # the running ET of a timer is worked out when it is asked for; a number has no name
            found.append((name, values[known]))
    return found


def _beside(pin: Pin | None, prefix: str) -> str:
    value = (pin.value or pin.target) if pin is not None else None
    return prefix + str(value) if isinstance(value, Access) else ""


__all__ = ["Flow", "RungFlow", "Scan"]
