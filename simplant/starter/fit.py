"""Which stock part a device of an I/O list is: told by the terminals its points use, and by its name.

What a part has is asked of the stock itself. Rule: a part fits only if it has every terminal that the list uses;
words and letters of the name (IEC 81346 letters such as K, Y, S) only choose among those that fit.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from re import split
from typing import Final

from simplant.part import Part
from simplant.rig.machine import STOCK
from simplant.wiring.io_list import IoList

WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "push_button": ("button", "pb", "start", "stop", "reset", "ack", "call", "jog", "enable", "s", "sb"),
    "emergency_stop": ("emergency", "estop", "es"),
    "door": ("guard", "gate", "hatch", "cover", "flap"),
    "lamp": ("light", "beacon", "horn", "buzzer", "sounder", "siren", "led", "h", "p"),
    "selector": ("mode", "switch"),
    "contactor": ("motor", "drive", "pump", "fan", "heater", "conveyor", "belt", "k", "km", "m", "q"),
    "relay": ("ka", "lock"),
    "valve": ("y", "yv", "cylinder", "clamp", "press", "stopper", "gripper"),
    "safety_chain": ("safety", "chain"),
}
"""What devices of a kind are often called, besides the name of the stock part itself."""

CONTACTS: Final[Mapping[str, Mapping[str, str]]] = {
    "push_button": {"pressed": "contact"},
    "emergency_stop": {"pressed": "contact"},
    "door": {"open": "switch"},
}
"""Stock part -> its truths, and the contact that a wire is joined to in place of each."""


@dataclass(frozen=True, slots=True)
class Device:
    """A device of the list: terminals that inputs read, and terminals that outputs drive, in the order of the list."""

    name: str
    reads: tuple[str, ...]
    drives: tuple[str, ...]

    @property
    def terminals(self) -> tuple[str, ...]:
        """All of them."""
        return self.reads + self.drives


def devices(io: IoList) -> list[Device]:
    """Give the devices of an I/O list in the order in which they are first named."""
    found: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    for point in io:
        reads, drives = found.setdefault(point.part, ({}, {}))
        (reads if point.is_input else drives)[point.terminal] = None
    return [Device(name, tuple(reads), tuple(drives)) for name, (reads, drives) in found.items()]


def words(name: str) -> set[str]:
    """Give the words of a name, small, without digits: `K1_motor` -> k, motor."""
    return {word for word in split(r"[\d_]+", name.lower()) if word}


def fit(device: Device) -> str | None:
    """Give the stock part that a device is; None if none has all its terminals."""
    fitting = [name for name, kind in STOCK.items() if _has(kind, device)]
    return min(fitting, key=lambda name: _rank(name, device), default=None)


def fit_pair(device: Device) -> tuple[str, str] | None:
    """Give the two parts that one device stands for: what its outputs drive, and what its inputs read."""
    if not (device.reads and device.drives):
        return None
    actor = fit(Device(device.name, (), device.drives))
    sensed = fit(Device(device.name, device.reads, ()))
    return (actor, sensed) if actor and sensed else None


def near(device: Device) -> tuple[str, tuple[str, ...]]:
    """Give the stock part that comes nearest to a device, and those of its terminals that the list could use."""
    best = max(STOCK, key=lambda name: (_likeness(STOCK[name], device), called(name, device)))
    kind = STOCK[best]
    return best, tuple([*_levels(kind.OUTPUTS)] if device.reads else []) + tuple(
        [*_levels(kind.INPUTS)] if device.drives else []
    )


def _levels(terminals: Mapping[str, object]) -> list[str]:
    return [name for name, first in terminals.items() if isinstance(first, bool)]


def _has(kind: type[Part], device: Device) -> bool:
    return set(device.reads) <= set(kind.OUTPUTS) and set(device.drives) <= set(kind.INPUTS)


def called(name: str, device: Device) -> int:
    """Count the words of a device's name by which such a stock part is often called."""
    return len(words(device.name) & {*words(name), *WORDS.get(name, ())})


def _rank(name: str, device: Device) -> tuple[int, int, int]:
    """Order fitting parts: called so, then fewest terminals that the list leaves out, then as the stock has them."""
    kind = STOCK[name]
    read = len(_levels(kind.OUTPUTS)) if device.reads else 0
    driven = sum(first is False for first in kind.INPUTS.values()) if device.drives else 0
    spare = read + driven - len(device.terminals)
    return (-called(name, device), spare, [*STOCK].index(name))


def _likeness(kind: type[Part], device: Device) -> float:
    return _alike(device.reads, _levels(kind.OUTPUTS)) + _alike(device.drives, _levels(kind.INPUTS))


def _alike(used: Iterable[str], there: Iterable[str]) -> float:
    known = list(there)
    return sum(max((SequenceMatcher(None, one, other).ratio() for other in known), default=0.0) for one in used)
