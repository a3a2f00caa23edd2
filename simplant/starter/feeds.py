"""What feeds what between stock parts, and the wires of a draft that follow from it.

Which parts there are is fit.py. Rule: a wire is drawn only to a part whose name is akin, or to the only one there is;
what finds no source is left loose and told.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from re import findall
from typing import Final

from simplant.curves import Curve
from simplant.part import Part
from simplant.rig.machine import STOCK
from simplant.starter.fit import words

FEEDS: Final[Mapping[str, tuple[str, ...]]] = {
    "cylinder.extend": ("valve.out_4", "double_valve.out_4"),
    "cylinder.retract": ("valve.out_2", "double_valve.out_2"),
    "spring_cylinder.extend": ("valve.out_4", "double_valve.out_4"),
    "valve.pressure": ("air_supply.pressure",),
    "double_valve.pressure": ("air_supply.pressure",),
    "valve.volts": ("supply.volts",),
    "double_valve.volts": ("supply.volts",),
    "contactor.coil_volts": ("supply.volts",),
    "contactor.enable": ("overload.healthy",),
    "contactor.line": ("supply.volts",),
    "relay.coil_volts": ("supply.volts",),
    "relay.line": ("supply.volts",),
    "changeover.coil_volts": ("supply.volts",),
    "changeover.line": ("relay.out", "contactor.out", "supply.volts"),
    "lift.volts": ("changeover.out", "contactor.out", "relay.out"),
    "wheel.volts": ("contactor.out", "relay.out"),
    "motor.volts": ("contactor.out",),
    "pump.volts": ("contactor.out", "relay.out"),
    "pump.run": ("contactor.closed", "relay.closed"),
    "pump.level": ("tank.level",),
    "float_switch.level": ("tank.level",),
    "tank.outflow": ("pump.flow",),
    "overload.current": ("motor.current", "pump.current"),
    "limit_sensor.angle": ("turntable.angle",),
    "turntable.volts": ("contactor.out", "supply.volts"),
    "belt.run": ("contactor.closed", "relay.closed"),
    "belt.fed": ("feeder.fed",),
    "heater.on": ("contactor.closed", "relay.closed"),
    "two_hand.left": ("push_button.contact",),
    "two_hand.right": ("push_button.contact",),
    "safety_chain.estop": ("emergency_stop.contact",),
    "safety_chain.door": ("door.switch",),
    "safety_chain.reset": ("push_button.contact",),
    "safety_chain.volts": ("supply.volts",),
}
"""Input of a stock part -> the outputs that usually feed it, the likeliest first."""

MADE: Final[Mapping[str, str]] = {
    "air_supply": "air",
    "tank": "tank",
    "emergency_stop": "estop",
    "supply": "supply24",
}
"""Parts that no I/O list names, made under this name where something needs one."""

ADDED_UP: Final = ("tank.outflow",)
"""Inputs that take the sum of all that feeds them."""

OPTIONAL: Final = ("safety_chain.door",)
"""Inputs that are well without a wire."""

MAINS: Final = "mains"
"""The supply of motors; nothing of the control is fed by it."""

_AKIN_ONLY: Final = ("safety_chain.reset", "contactor.enable", "two_hand.left", "two_hand.right")
"""Inputs that take only a source named akin: the only push button there is need not be the reset."""

_NAMED_ONLY: Final = ("safety_chain.reset", "two_hand.left", "two_hand.right")
"""Of these, inputs that take only a source called like the input itself: S1 is not the reset of A1."""


@dataclass(slots=True)
class PartDraft:
    """A part of the draft: its stock name (or a class of one's own), wires, parameters, inputs that found no source.

    `said` is all that the rows of the list say of it.
    """

    part: str
    wires: dict[str, list[str]] = field(default_factory=dict)
    loose: list[str] = field(default_factory=list)
    values: dict[str, float] = field(default_factory=dict)
    supply: str = ""
    made: bool = False
    said: str = ""

    @property
    def kind(self) -> type[Part] | None:
        """Its class, if it is from the stock."""
        return STOCK.get(self.part)


def connect(parts: dict[str, PartDraft], driven: Mapping[str, set[str]]) -> None:
    """Draw the wires between the parts of a draft, in place.

    Args:
        parts: name -> part.
        driven: name -> inputs that the controller's outputs drive already.
    """
    for name in list(parts):
        _need(parts, parts[name])
    for name, part in list(parts.items()):
        for terminal in part.kind.INPUTS if part.kind else ():
            if terminal not in driven.get(name, ()) and terminal not in part.wires:
                _wire(parts, name, terminal)
    used = {source.partition(".")[0] for part in parts.values() for wires in part.wires.values() for source in wires}
    for name, part in parts.items():
        if name not in used and "line" in part.loose:
            part.loose.remove("line")  # a contactor that switches nothing here needs no line


def _wire(parts: Mapping[str, PartDraft], name: str, terminal: str) -> None:
    """Wire one input, or note that it found no source."""
    part = parts[name]
    assert part.kind is not None, "only stock parts have inputs to wire"
    key, first = f"{part.part}.{terminal}", part.kind.INPUTS[terminal]
    sources = _all(parts, key) if key in ADDED_UP else [source for source in [_source(parts, name, terminal)] if source]
    if sources:
        part.wires[terminal] = sources
    elif isinstance(first, Curve) or (key in FEEDS and not first and key not in OPTIONAL):
        part.loose.append(terminal)


def _all(parts: Mapping[str, PartDraft], key: str) -> list[str]:
    """Give every output that feeds an input which adds up."""
    feeds = [feed.partition(".") for feed in FEEDS[key]]
    return [f"{other}.{output}" for stock, _, output in feeds for other, p in parts.items() if p.part == stock]


def _need(parts: dict[str, PartDraft], part: PartDraft) -> None:
    """Make what a part needs and no list names."""
    for terminal in part.kind.INPUTS if part.kind else ():
        sources = [source.partition(".")[0] for source in FEEDS.get(f"{part.part}.{terminal}", ())]
        if sources and not any(p.part in sources and other != MAINS for other, p in parts.items()):
            for stock in sources:
                if stock in MADE and MADE[stock] not in parts:
                    parts[MADE[stock]] = PartDraft(stock, made=True)
                    break


def _source(parts: Mapping[str, PartDraft], name: str, terminal: str) -> str:
    part = parts[name]
    key = f"{part.part}.{terminal}"
    for feed in FEEDS.get(key, _same(part, terminal)):
        stock, _, output = feed.partition(".")
        there = [other for other, p in parts.items() if p.part == stock and other not in (name, MAINS)]
        if part.supply in there:
            return f"{part.supply}.{output}"
        named = [other for other in there if terminal in words(other) | words(parts[other].said)]
        related = named or [other for other in there if akin(name, other) and key not in _NAMED_ONLY]
        best = max(related, key=lambda other: len(_marks(name) & _marks(other)), default="")
        if not best and len(there) == 1 and key not in _AKIN_ONLY:
            best = there[0]
        if best:
            return f"{best}.{output}"
    return ""


def akin(name: str, other: str) -> bool:
    """Say whether two parts seem to belong together: a word or a number of their names is the same."""
    return bool(_marks(name) & _marks(other))


def _marks(name: str) -> set[str]:
    """Give what makes names akin: their words and their numbers."""
    return words(name) | set(findall(r"\d+", name))


def _same(part: PartDraft, terminal: str) -> tuple[str, ...]:
    """Give the outputs of other stock parts that bear the same name and carry the same kind of signal."""
    assert part.kind is not None, "only stock parts have inputs to look at"
    first = part.kind.INPUTS[terminal]
    if isinstance(first, bool) or terminal == "volts":
        return ()
    wanted = Curve if isinstance(first, Curve) else type(first)
    return tuple(
        f"{stock}.{terminal}"
        for stock, kind in STOCK.items()
        if isinstance(kind.OUTPUTS.get(terminal), wanted) and stock != part.part
    )
