"""Motors and heaters behind contactors: the list names the contactor, or only the motor; both are in the plant.

Wires between them and the rest are feeds.py. Rule: a contactor that switches nothing else in the list switches a motor
of its own (a heater, if it is called so), fed by the mains; a motor named alone gets its contactor.
"""

from collections.abc import Collection, Iterable, Mapping
from typing import Final

from simplant.starter.feeds import FEEDS, MAINS, PartDraft, akin
from simplant.starter.fit import MOTORS, Device, opposed, words

VOLTS: Final = 400.0
CONTACTOR: Final[Mapping[str, str]] = {
    "run": "coil", "on": "coil", "start": "coil", "coil": "coil", "cmd": "coil", "running": "closed",
    "closed": "closed", "aux": "closed", "feedback": "closed", "contact": "closed", "mirror": "mirror",
    "dropped": "mirror",
}  # fmt: skip
"""What a list calls a motor's terminals, and the terminals of its contactor."""
OVERLOAD: Final[Mapping[str, str]] = {
    "healthy": "healthy", "ok": "healthy", "overload_ok": "healthy", "overload": "tripped", "tripped": "tripped",
    "trip": "tripped", "fault": "tripped",
}  # fmt: skip
"""The same of its overload relay."""
_HEATERS: Final = {"heater", "heat", "heating", "oven"}


def starter(device: Device, broken_by: Collection[str]) -> tuple[dict[str, str], dict[str, str]] | None:
    """Give the terminals of a motor named alone, as those of its contactor and of its overload relay.

    Args:
        device: of the list.
        broken_by: its terminals that are read by normally closed contacts (of an overload relay: opened by its trip).

    Returns:
        None if it is not called like a motor, or has other terminals.
    """
    if not words(device.name) & set(MOTORS) or not device.drives:
        return None
    coil = {t: CONTACTOR[t] for t in device.terminals if t in CONTACTOR}
    trip = {t: "tripped" if t in broken_by else OVERLOAD[t] for t in device.terminals if t in OVERLOAD}
    driven_right = all(coil.get(t) == "coil" for t in device.drives) and len(device.drives) == 1
    return (coil, trip) if driven_right and {*coil, *trip} == {*device.terminals} else None


def add_loads(parts: dict[str, PartDraft], commands: Mapping[str, str]) -> Iterable[str]:
    """Put a motor or a heater behind each contactor that switches nothing else; give their names.

    Of two that turn one motor either way, only the first gets it.

    Args:
        parts: of the draft; added to.
        commands: contactor -> the output that drives it.
    """
    listed, loaded = dict(parts), list[str]()
    contactors = [name for name, part in listed.items() if part.part == "contactor"]
    for name in contactors:
        if any(_switched(part, name, other, alone=len(contactors) == 1) for other, part in listed.items()):
            continue
        if any(opposed(commands.get(name, name), commands.get(other, other)) for other in loaded):
            continue
        loaded.append(name)
        kind = "heater" if words(name) & _HEATERS else "motor"
        parts[f"{name}_{kind}"] = motor(name, kind)
        mains(parts, name)
        yield f"{name}_{kind}"


def motor(contactor: str, kind: str = "motor") -> PartDraft:
    """Give the motor behind a contactor."""
    wires = {"volts": [f"{contactor}.out"], **({"on": [f"{contactor}.closed"]} if kind == "heater" else {})}
    return PartDraft(kind, wires, values={"rated_volts": VOLTS}, made=True)


def mains(parts: dict[str, PartDraft], contactor: str) -> None:
    """Feed a contactor from the mains, made if they are not there."""
    parts.setdefault(MAINS, PartDraft("supply", values={"volts": VOLTS}, made=True))
    parts[contactor].wires["line"] = [f"{MAINS}.volts"]


def _switched(part: PartDraft, contactor: str, name: str, *, alone: bool) -> bool:
    feeds = (
        feed
        for terminal in (part.kind.INPUTS if part.kind else ())
        for feed in FEEDS.get(f"{part.part}.{terminal}", ())
    )
    return any(feed.startswith("contactor.") for feed in feeds) and (alone or akin(contactor, name))
