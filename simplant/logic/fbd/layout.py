"""Where a graph is drawn that came without a drawing, or whose drawing was not kept.

Rule: nothing lies on anything else, and what is read back stands in the same order: from top to bottom, then from left
to right.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from simplant.logic.fbd.tree import Block, Graph, Node, Rail, Remark, RightRail, inputs_of

CELL: Final = 60
ROW: Final = 40
GAP: Final = 20
SIDE: Final = 100
BLOCK: Final = 80
"""Lengths in a drawing: a contact's width, a row's height, a gap, the width of a variable at a pin and of a block."""


@dataclass(frozen=True, slots=True)
class Box:
    """The room of one node: its upper left corner, width and height."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Drawing:
    """A graph, and where its nodes are drawn, by number."""

    graph: Graph
    boxes: dict[int, Box]


def block_height(inputs: int, outputs: int) -> int:
    """Give how high a block with so many pins is."""
    return ROW * (1 + max(1, inputs, outputs)) - GAP


def drawn_graph(graph: Graph) -> Drawing:
    """Lay a graph out: each node right of what leads to it, in the same row where that keeps the order."""
    columns = _columns(graph)
    boxes: dict[int, Box] = {}
    wide = max((_size(node)[0] for node in graph.nodes if not isinstance(node, Remark)), default=0) + GAP
    y, last, height = GAP, -1, 0
    for node in graph.nodes:
        width, own = _size(node)
        column = columns[node.number]
        if column <= last or isinstance(node, Remark):
            y, height = y + height + GAP, 0
        boxes[node.number] = Box(GAP + column * wide, y, width, own)
        height = max(height, own)
        last = len(graph.nodes) if isinstance(node, Remark) else column
    return Drawing(graph, boxes)


def _size(node: Node) -> tuple[int, int]:
    match node:
        case Block():
            width = max(BLOCK, 10 * max(len(node.type), len(node.instance)))
            return width, block_height(len(node.inputs) + len(node.in_outs), len(node.outputs) + len(node.in_outs))
        case Rail() | RightRail():
            return 4, ROW - GAP
        case Remark():
            return 10 * CELL, ROW * (1 + node.text.count("\n"))
        case _:
            return SIDE, ROW - GAP


def _columns(graph: Graph) -> dict[int, int]:
    """Give each node a column behind those that lead to it, as far as they stand before it."""
    columns: dict[int, int] = {}
    for node in graph.nodes:
        before = [columns[w.node] for pin in inputs_of(node) for w in pin.wires if w.node in columns]
        columns[node.number] = 1 + max(before) if before else 0
    return columns


__all__ = ["BLOCK", "CELL", "GAP", "ROW", "SIDE", "Box", "Drawing", "block_height", "drawn_graph"]
