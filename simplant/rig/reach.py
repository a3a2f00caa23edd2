"""How far a fault reaches: what in the plant it moves, and at which inputs it can be seen.

The wires are the machine's own. Rule: wiring (points, relays, supplies) passes a disturbance on; what moves and
what computes (a part of the plant, a controller, an input) is where the look ends.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from simplant.plant.inverter import Inverter
from simplant.plant.world import Sum
from simplant.rig.machine import MAIN, Machine
from simplant.rig.panel import PANEL
from simplant.wiring import STOCK
from simplant.wiring.point_kinds import DRIVEN, READ
from simplant.wiring.supply import Supply


@dataclass(frozen=True, slots=True)
class Reach:
    """Parts, controllers and inverted terminals that a fault reaches, and the inputs, in declared order."""

    moves: tuple[str, ...]
    seen_at: tuple[str, ...]


def reaches(machine: Machine) -> Mapping[str, Reach]:
    """Give the reach of every part, point, controller and common cause of a machine by name."""
    onward: dict[str, dict[str, None]] = {}
    for wire in machine.wires:
        if not (issubclass(machine.plans[wire.part].kind, Supply) and wire.terminal == "load"):
            onward.setdefault(wire.source.partition(".")[0], {})[wire.part] = None
    for controller in machine.controllers:
        if controller.supply:
            onward.setdefault(controller.supply.partition(".")[0], {})[controller.name] = None
    onward.setdefault(MAIN, {}).update((p.name, None) for p in machine.io.outputs)
    for (target, _), members in machine.common_causes.items():
        onward[target] = dict.fromkeys(name for name, _ in members)
    onward[PANEL] = {MAIN: None}
    names = (*machine.plans, MAIN, PANEL, *(target for target, _ in machine.common_causes))
    return {name: _reach(machine, onward, name) for name in names}


def _reach(machine: Machine, onward: Mapping[str, Mapping[str, None]], start: str) -> Reach:
    found: dict[str, None] = {}
    todo = list(onward.get(start, ()))
    while todo:
        name = todo.pop(0)
        if name not in found and name != start:
            found[name] = None
            if _passes_on(machine, name) or _inverts(machine, name):
                todo += onward.get(name, ())
    order = [*machine.plans, MAIN]
    named = sorted((n for n in found if not _passes_on(machine, n)), key=order.index)
    inputs = {point.name for point in machine.io.inputs}
    moves = tuple(_terminal(machine, n) if _inverts(machine, n) else n for n in named if n not in inputs)
    return Reach(moves, tuple(n for n in named if n in inputs))


def _inverts(machine: Machine, name: str) -> bool:
    return name in machine.plans and issubclass(machine.plans[name].kind, Inverter)


def _terminal(machine: Machine, inverter: str) -> str:
    """Give the terminal that an inverted wire was written for, in place of the part that was put in between."""
    (wire,) = (wire for wire in machine.wires if wire.source.partition(".")[0] == inverter)
    return f"{wire.part}.{wire.terminal}"


def _passes_on(machine: Machine, name: str) -> bool:
    if name not in machine.plans:
        return False
    kind = machine.plans[name].kind
    if issubclass(kind, READ):
        return False
    return issubclass(kind, (*DRIVEN, Sum)) or kind in STOCK.values()
