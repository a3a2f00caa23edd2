"""Which stock part a device of an I/O list is: told by the terminals its points use, and by its name.

What a part has is asked of the stock itself. Rule: a part fits only if it has every terminal that the list uses;
words and letters of the name (IEC 81346 letters such as K, Y, S) only choose among those that fit.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from re import split, sub
from typing import Final

from simplant.part import Part
from simplant.rig.machine import STOCK
from simplant.wiring.io_list import IoList

MOTORS: Final = (
    "motor", "fan", "blower", "conveyor", "mixer", "stirrer", "compressor", "saw", "spindle", "drive", "hoist", "winch",
)  # fmt: skip
"""What is turned by a motor behind a contactor."""

WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "push_button": (
        "button",
        "pb",
        "start",
        "stop",
        "reset",
        "ack",
        "call",
        "jog",
        "enable",
        "s",
        "sb",
        "limit",
        "edge",
        "bumper",
        "end",
    ),
    "emergency_stop": ("emergency", "estop", "es", "e", "s"),
    "door": ("guard", "gate", "hatch", "cover", "flap", "hood", "lid"),
    "lamp": ("light", "beacon", "horn", "buzzer", "sounder", "siren", "led", "h", "p"),
    "selector": ("mode", "switch"),
    "contactor": ("motor", "drive", "pump", "fan", "heater", "conveyor", "belt", "k", "km", "m", "q"),
    "relay": ("ka", "lock"),
    "valve": ("y", "yv", "cylinder", "clamp", "press", "stopper", "gripper"),
    "safety_chain": ("safety", "chain"),
    "pt100": ("temperature", "temp", "degc"),
    "level_sensor": ("level", "depth", "transmitter"),
    "motor": MOTORS,
    "overload": ("motor", "thermal", "bimetal", "f"),
}
"""What devices of a kind are often called, besides the name of the stock part itself."""

MAIN: Final[Mapping[str, str]] = {
    "push_button": "contact", "emergency_stop": "contact", "door": "switch", "selector": "bit_0", "lamp": "on",
    "contactor": "coil", "relay": "coil", "valve": "coil", "safety_chain": "aux", "overload": "healthy",
    "thermostat": "hot", "float_switch": "wet", "light_curtain": "clear",
}  # fmt: skip
"""Stock part -> the terminal that a list means if it names only the device."""

TRANSMITTER: Final = "level_sensor"
"""What gives a current and nothing else, if no word says more."""

OPPOSITES: Final = (
    ("open", "close"), ("up", "down"), ("left", "right"), ("forward", "reverse"), ("fwd", "rev"), ("in", "out"),
    ("extend", "retract"), ("raise", "lower"), ("forward", "backward"), ("clamp", "unclamp"), ("lock", "unlock"),
)  # fmt: skip
"""Words of commands that must never be on together."""

CONTACTS: Final[Mapping[str, Mapping[str, str]]] = {
    "push_button": {"pressed": "contact"},
    "emergency_stop": {"pressed": "contact"},
    "door": {"open": "switch"},
}
"""Stock part -> its truths, and the contact that a wire is joined to in place of each."""


@dataclass(frozen=True, slots=True)
class Device:
    """A device of the list: terminals that inputs read, and terminals that outputs drive, in the order of the list.

    `said` is all that its rows say of it.
    """

    name: str
    reads: tuple[str, ...]
    drives: tuple[str, ...]
    said: str = ""

    @property
    def terminals(self) -> tuple[str, ...]:
        """All of them."""
        return self.reads + self.drives


def devices(io: IoList) -> list[Device]:
    """Give the devices of an I/O list in the order in which they are first named."""
    found: dict[str, tuple[dict[str, None], dict[str, None], list[str]]] = {}
    for point in io:
        reads, drives, said = found.setdefault(point.part, ({}, {}, []))
        (reads if point.is_input else drives)[point.terminal] = None
        said += [point.name, point.tag.description]
    return [Device(name, tuple(r), tuple(d), sub(r"\W+", "_", "_".join(said))) for name, (r, d, said) in found.items()]


def words(name: str) -> set[str]:
    """Give the words of a name, small, without digits: `K1_motor` -> k, motor."""
    return {word for word in split(r"[\d_]+", name.lower()) if word}


def main_terminal(text: str, name: str, *, reads: bool) -> str:
    """Give the terminal meant by a device named without one.

    Args:
        text: all that the row says of it.
        name: its own name.
        reads: an input reads it; else an output drives it.
    """
    there = [stock for stock, t in MAIN.items() if t in (STOCK[stock].OUTPUTS if reads else STOCK[stock].INPUTS)]
    said = Device(sub(r"\W+", "_", text), (), ())
    best = max(there, key=lambda stock: (called(stock, said), called(stock, Device(name, (), ()))))
    return MAIN[best] if called(best, said) else "contact" if reads else "coil"


def fit(device: Device) -> str | None:
    """Give the stock part that a device is; None if none has all its terminals."""
    fitting = [name for name, kind in STOCK.items() if _has(kind, device)]
    said = Device(device.said, (), ())
    if device.terminals == ("current",) and not any(called(name, device) or called(name, said) for name in fitting):
        return TRANSMITTER
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


def opposed(one: str, other: str) -> bool:
    """Say whether two names differ in a word and its opposite: `open_cmd` and `close_cmd`."""
    differing = words(one) ^ words(other)
    return any(differing == {*pair} for pair in OPPOSITES)


def answers_by_name(output: str, seen: str) -> bool:
    """Say whether an input is named as if it told what an output did: `door_is_closed` and `close_cmd`."""
    stems = words(output) - {"cmd", "run", "on", "off"}
    told = words(seen)
    return not told & {"pb", "button", "pressed", "key", "ok", "healthy", "fault", "overload", "trip"} and any(
        word.startswith(stem) and len(stem) > 1 for word in told for stem in stems
    )


def called(name: str, device: Device) -> int:
    """Count the words of a device's name by which such a stock part is often called."""
    return len(words(device.name) & {*words(name), *WORDS.get(name, ())})


def _rank(name: str, device: Device) -> tuple[int, int, int, int]:
    """Order fitting parts: called so, said to be so, then fewest terminals left out, then as the stock has them."""
    kind = STOCK[name]
    read = len(_levels(kind.OUTPUTS)) if device.reads else 0
    driven = sum(first is False for first in kind.INPUTS.values()) if device.drives else 0
    spare = read + driven - len(device.terminals)
    said = called(name, Device(device.said, (), ()))
    return (-called(name, device), -said, spare, [*STOCK].index(name))


def _likeness(kind: type[Part], device: Device) -> float:
    return _alike(device.reads, _levels(kind.OUTPUTS)) + _alike(device.drives, _levels(kind.INPUTS))


def _alike(used: Iterable[str], there: Iterable[str]) -> float:
    known = list(there)
    return sum(max((SequenceMatcher(None, one, other).ratio() for other in known), default=0.0) for one in used)
