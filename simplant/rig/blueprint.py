"""What is the same for every run of a machine with the same rules: names, wires, routes, the judge's docket.

Made once (`blueprint_of` keeps the last few), so that a run of milliseconds does not pay for it. Rule: nothing
here belongs to a run; nothing in it changes once made.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.curves import Curve
from simplant.part import Part
from simplant.plant.inverter import Inverter
from simplant.plant.watch import Watch
from simplant.plant.world import Network, Wire, network
from simplant.rig.docket import Docket
from simplant.rig.machine import MAIN, ControllerPlan, Machine
from simplant.rig.port import Port
from simplant.rig.signals import SignalList
from simplant.rules import Claim
from simplant.wiring.point_kinds import DRIVEN, READ

POWER: Final = -1
"""In place of an input's number: this signal is the controller's supply."""

Swap = tuple[str, str]
"""Two points whose wires a fault of the run mixes up."""


@dataclass(frozen=True, slots=True)
class Desk:
    """One controller's own names: what rules and trace call its tags.

    Attributes:
        numbers: own tag or chart -> signal number (inputs of the main controller among them).
        inner: memory tags and charts.
        words: chart -> its steps.
    """

    plan: ControllerPlan
    numbers: Mapping[str, int]
    inner: tuple[str, ...]
    words: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Route:
    """Where a signal of the plant goes: its number (-1: none), and the controllers' inputs that hear it."""

    part: str
    terminal: str
    number: int
    hearers: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Blueprint:
    """All of it.

    Attributes:
        told: for each signal, what the trace calls it; "" where none shows it.
    """

    names: SignalList
    told: tuple[str, ...]
    desks: tuple[Desk, ...]
    network: Network
    watches: tuple[tuple[str, float], ...]
    routes: Mapping[str, Route]
    docket: Docket


def blueprint_of(machine: Machine, claims: Sequence[Claim], swaps: Sequence[Swap]) -> Blueprint:
    """Give the blueprint of a machine with these claims, made now or kept from before."""
    key = (tuple(map(id, claims)), tuple(swaps))
    kept: dict[object, Blueprint] = machine.kept
    if key not in kept:
        if len(kept) >= 8:
            kept.clear()
        kept[key] = _make(machine, claims, swaps)
    return kept[key]


def _make(machine: Machine, claims: Sequence[Claim], swaps: Sequence[Swap]) -> Blueprint:
    parts = machine.build({})
    names = SignalList((), ())
    desks = tuple(_desk(plan, names) for plan in machine.controllers)
    for part in parts.values():
        if not isinstance(part, (*READ, *DRIVEN, Port, Inverter)):
            for terminal, value in part.outputs.items():
                _show(names, f"{part.name}.{terminal}", loud=isinstance(value, bool | int | str))
    continuous = frozenset(n for n, v in machine.truths.items() if isinstance(v, Curve))
    docket = Docket(claims, names, continuous)
    wires = [*machine.wires, *(Wire(f"{a}.wire", b, "other") for x, y in swaps for a, b in ((x, y), (y, x)))]
    for number, (name, level) in enumerate(docket.levels):
        watch = watch_name(number)
        parts[watch] = Watch(watch, level)
        wires.append(Wire(name, watch, "curve"))
        docket.watch(names.index[name], names.add(f"{watch}.passed"))
    routes = _routes(parts, desks, names)
    told = tuple(name if loud else "" for name, loud in zip(names.names, names.loud, strict=True))
    return Blueprint(names, told, desks, network(parts, wires, routes), tuple(docket.levels), routes, docket)


def watch_name(number: int) -> str:
    """Name the watch of a level; no part of a user can be called so."""
    return f"watch {number}"


def _show(names: SignalList, name: str, *, loud: bool) -> int:
    number = names.add(name)
    names.loud[number] = loud
    return number


def _desk(plan: ControllerPlan, names: SignalList) -> Desk:
    prefix = "" if plan.name == MAIN else f"{plan.name}."
    slots = {s.name: s for _, program in plan.tasks for s in program.slots if s.shown}
    inner = tuple(n for n in slots if n not in plan.outputs and n not in plan.inputs)
    own = [*(plan.inputs if plan.name == MAIN else ()), *plan.outputs, *inner]
    numbers = {name: _show(names, f"{prefix}{name}", loud=True) for name in own}
    return Desk(plan, numbers, inner, {n: slots[n].words for n in inner if slots[n].words})


def _routes(parts: Mapping[str, Part], desks: Sequence[Desk], names: SignalList) -> dict[str, Route]:
    hearers: dict[str, list[tuple[int, int]]] = {}
    for at, desk in enumerate(desks):
        for number, tag in enumerate(desk.plan.inputs):
            source = f"{tag}.level" if desk.plan.name == MAIN else desk.plan.sources.get(tag, "")
            hearers.setdefault(source, []).append((at, number))
        if desk.plan.supply:
            hearers.setdefault(desk.plan.supply, []).append((at, POWER))
    routes: dict[str, Route] = {}
    for part in parts.values():
        for terminal in part.outputs:
            name = f"{part.name}.{terminal}"
            seen = part.name if terminal == "level" and isinstance(part, READ) else name
            number = -1 if isinstance(part, Port) else names.index.get(seen, -1)
            if number >= 0 or name in hearers:
                routes[name] = Route(part.name, terminal, number, tuple(hearers.get(name, ())))
    return routes
