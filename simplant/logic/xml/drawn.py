"""Where an object of a drawing stands in TC6 XML, and the number of its evaluation.

Rule: what is no number is refused.
"""

from dataclasses import dataclass
from typing import Final

from simplant.logic.fbd.tree import Node
from simplant.logic.st.report import fail
from simplant.logic.xml.elements import Element

PINS: Final = ("inputVariables", "inOutVariables", "outputVariables")
At = tuple[float, float]
"""From the top, from the left."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A node with where it is drawn, how high it is, and, of words beside an object, the number of that."""

    at: At
    node: Node
    height: float = 0
    about: int | None = None


def has_pins(element: Element) -> bool:
    """Say whether anything could be joined to an object."""
    return any(e.each("variable") for e in element.each(*PINS))


def is_number(text: str) -> bool:
    """Say whether a text is a whole number of the scheme: up to 64 bits."""
    return text.isascii() and text.isdigit() and len(text) <= 20


def order(element: Element) -> int | None:
    """Give the number of an object's evaluation; 0 says none, as if it were left out."""
    found = element.get("executionOrderId")
    if found and (not is_number(found)):
        fail(element.place, f"executionOrderId is {found!r}", "it is a whole number", length=len(element.name) + 1)
    return int(found) or None if found else None


def position(element: Element) -> At:
    """Give where an object is drawn: from the top, from the left."""
    found = element.child("position")
    try:
        return (float(found.get("y") or 0), float(found.get("x") or 0)) if found is not None else (0.0, 0.0)
    except ValueError:
        fail(element.place, "a position is no number", length=len(element.name) + 1)


def height(element: Element) -> float:
    """Give how high an object is drawn, as far as that is said."""
    found = element.get("height")
    return float(found) if found.replace(".", "", 1).isdigit() and len(found) <= 9 else 0.0
