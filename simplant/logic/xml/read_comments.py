"""What is said in a drawing of TC6 XML: comments, and words beside its objects, each put before its network.

A comment stands at some place of the sheet and at no object. Rule: it belongs to the network that it stands
beside, or else to the next one below it; one below all of them stays the last; none is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from simplant.logic.fbd.order import joined_to
from simplant.logic.fbd.tree import Node, Rail, Remark, RightRail
from simplant.logic.xml.drawn import Placed

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
        own = own if own is not None else _at_network(remark, networks)
        (said.setdefault(own, []) if own is not None else last).append(remark.node)
    found: list[Node] = []
    for each in nodes:
        at = len(found)
        while at and isinstance(found[at - 1], Rail):  # its own rail, drawn just before it
            at -= 1
        found[at:at] = said.pop(root.get(each.node.number, -1), [])
        found.append(each.node)
    return [*found, *last]


def _at_network(remark: Placed, networks: dict[int, list[Placed]]) -> int | None:
    """Give the network that a comment stands beside, or else the next below it, by number; None if it is below all."""
    begins = remark.at[0]
    tops = {number: min(p.at[0] for p in network) for number, network in networks.items()}
    ends = {number: max(p.at[0] + (p.height or _HIGH) for p in network) for number, network in networks.items()}
    beside = [number for number in networks if tops[number] <= begins < ends[number]]
    below = [number for number in networks if tops[number] > begins]
    return min(beside or below, key=lambda n: (abs(tops[n] - begins), networks[n][0].at), default=None)


__all__ = ["with_comments"]
