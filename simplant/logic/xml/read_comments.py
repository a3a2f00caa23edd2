"""What is said in a drawing of TC6 XML: comments, and words beside its objects, each put before its network.

A comment stands at some place of the sheet and at no object. Rule: it belongs to the network that is nearest to it, up
and down; one below all of them stays the last; none is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from simplant.logic.fbd.order import joined_to
from simplant.logic.fbd.tree import Node, Rail, Remark, RightRail
from simplant.logic.xml.drawn import At, Placed

_HIGH: Final = 20
"""How high an object is that does not say so."""


def with_comments(placed: Sequence[Placed]) -> list[Node]:
    """Give what is drawn from top to bottom, then from left to right, but each comment before its network."""
    nodes = sorted((p for p in placed if not isinstance(p.node, Remark)), key=lambda p: p.at)
    root = joined_to([p.node for p in nodes if not isinstance(p.node, Rail | RightRail)])
    networks: dict[int, list[Placed]] = {}
    for each in nodes:
        if each.node.number in root:
            networks.setdefault(root[each.node.number], []).append(each)
    said: dict[int, list[Node]] = {}
    last: list[Node] = []
    for remark in sorted((p for p in placed if isinstance(p.node, Remark)), key=lambda p: p.at):
        own = root.get(remark.about) if remark.about is not None else None
        own = own if own is not None else _nearest(remark, networks)
        (said.setdefault(own, []) if own is not None else last).append(remark.node)
    found: list[Node] = []
    for each in nodes:
        at = len(found)
        while at and isinstance(found[at - 1], Rail):  # its own rail, drawn just before it
            at -= 1
        found[at:at] = said.pop(root.get(each.node.number, -1), [])
        found.append(each.node)
    return [*found, *last]


def _nearest(remark: Placed, networks: dict[int, list[Placed]]) -> int | None:
    """Give the network that a comment is nearest to, by the number of it; None if it stands below all of them."""

    def away(network: list[Placed]) -> tuple[float, bool, At]:
        top, bottom = min(p.at[0] for p in network), max(p.at[0] + (p.height or _HIGH) for p in network)
        above, below = remark.at[0] - bottom, top - (remark.at[0] + remark.height)
        return max(above, below, 0), above > 0, network[0].at

    found = min(networks, key=lambda n: away(networks[n]), default=None)
    lower = [n for n in networks if not away(networks[n])[1]]
    return found if lower else None


__all__ = ["with_comments"]
