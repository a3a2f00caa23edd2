"""What the points of an I/O list are for: start, stop, reset, what must be well, what moves, what only lights.

Rule: told by the stock part at the other end and by the words of its name; a guess that the draft shows in plain text.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from re import split
from typing import Final

from simplant.starter.feeds import PartDraft
from simplant.starter.fit import words
from simplant.wiring.io_list import IoList, Point
from simplant.wiring.levels import ContactForm

_GUARDS: Final[Mapping[str, str]] = {
    "emergency_stop": "NOT {}.pressed",
    "door": "NOT {}.open",
    "safety_chain": "{}.power",
    "overload": "NOT {}.tripped",
    "guard_lock": "{}.closed",
    "light_curtain": "{}.clear",
}
"""Part -> the truth that must hold for anything to move."""

_WELL: Final = ("aux", "power", "healthy", "closed", "locked", "clear")
"""Terminals of such parts that say well; the others say the opposite."""


@dataclass(frozen=True, slots=True)
class Roles:
    """The points by what they are for; buttons are None if the list has none.

    Args:
        healthy: for each guard its input and whether 1 means well, as a Python term (`t.guard_closed`).
        needs: the same on the truth of the plant, as text of a rule.
    """

    start: Point | None
    stop: Point | None
    reset: Point | None
    healthy: tuple[str, ...]
    needs: tuple[str, ...]
    motions: tuple[Point, ...]
    lamps: tuple[Point, ...]


def sort(io: IoList, parts: Mapping[str, PartDraft]) -> Roles:
    """Sort the points of a list."""
    guards = [p for p in io.inputs if parts[p.part].part in _GUARDS]
    lamps = [p for p in io.outputs if parts[p.part].part == "lamp"]
    return Roles(
        _button(io, parts, "start"),
        _button(io, parts, "stop"),
        _button(io, parts, "reset"),
        tuple(term(point, well=point.terminal in _WELL) for point in guards),
        tuple(dict.fromkeys(_GUARDS[parts[p.part].part].format(p.part) for p in guards)),
        tuple(p for p in io.outputs if p not in lamps),
        tuple(lamps),
    )


def _button(io: IoList, parts: Mapping[str, PartDraft], word: str) -> Point | None:
    buttons = [p for p in io.inputs if parts[p.part].part == "push_button"]
    named = (p for p in buttons if word in words(p.part) | words(p.name))
    told = (p for p in buttons if word in split(r"\W+", p.tag.description.lower()))
    return next(named, None) or next(told, None)


def term(point: Point, *, well: bool) -> str:
    """Give the Python term that is true while a device is actuated (`well`) or is not."""
    one = (point.contact is ContactForm.NO) is well
    return f"{'' if one else '~'}t.{point.name}"
