"""What real exporters draw though the schemes have no such thing: constants in contacts, pins by number, loose ends.

Rule: it is read as it can only be meant, or it is told; never both left out and silent.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from simplant.errors import Place
from simplant.logic.fbd.tree import Block, Contact, Input, Node, Output, Source, Wire, inputs_of
from simplant.logic.st.built import truth
from simplant.logic.st.report import Report
from simplant.logic.st.standard import signature
from simplant.logic.xml.elements import Element
from simplant.logic.xml.inside import plain

_CONSTANTS: Final = {"TRUE": True, "1": True, "FALSE": False, "0": False}
_NUMBERED: Final = re.compile(r"(?i:IN)([1-9])")


def constant_of(element: Element) -> bool | None:
    """Give what a contact always is, if a constant stands in it."""
    return _CONSTANTS.get(plain(element.child("variable")).upper())


def constant_contact(place: Place, power: Input, number: int, source: int, *, value: bool) -> tuple[Source, Block]:
    """Give a contact that is always closed, or never, as a value, and the block that joins power to it by AND."""
    pins = (replace(power, name="IN1"), Input("IN2", (Wire(source),)))
    return Source(source, place, truth(place, value=value)), Block(number, place, "AND", "", pins, (), (Output("OUT"),))


def with_names(report: Report, block: Block) -> Block:
    """Give a block of a standard function whose pins have names the names for their numbers."""
    known = signature(block.type.upper()) if not block.instance else None
    own = [pin for pin in block.inputs if pin.name.upper() != "EN"]
    numbers = [match[1] for pin in own if (match := _NUMBERED.fullmatch(pin.name))]
    if known is None or known.more or not own or "IN1" in known.parameters:
        return block
    if len(numbers) != len(own) or max(map(int, numbers)) > len(known.parameters):
        return block
    names = ", ".join(known.parameters)
    report.warn(block.place, f"the inputs of {block.type} are numbered", f"they are called {names}, in this order")
    changed = {pin.name: known.parameters[int(number) - 1] for pin, number in zip(own, numbers, strict=True)}
    return replace(block, inputs=tuple(replace(p, name=changed.get(p.name, p.name)) for p in block.inputs))


def tell_loose_ends(report: Report, nodes: Sequence[Node]) -> None:
    """Tell contacts and values that lead nowhere."""
    read = {wire.node for node in nodes for pin in inputs_of(node) for wire in pin.wires}
    for node in nodes:
        if isinstance(node, Contact | Source) and node.number not in read:
            what = f"the contact {node.operand}" if isinstance(node, Contact) else "a value"
            report.warn(node.place, f"{what} leads to nothing", "it does nothing", "join it, or take it away")


__all__ = ["constant_contact", "constant_of", "tell_loose_ends", "with_names"]
