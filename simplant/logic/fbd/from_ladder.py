"""A ladder as a graph with a layout: rung below rung, elements from left to right, branches from top to bottom.

The other way is as_ladder.py. Rule: nothing lies on anything else; what is read back from this drawing is the same
ladder, in its plainest form (`plainest`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from simplant.logic.fbd.layout import BLOCK, CELL, GAP, ROW, SIDE, Box, Drawing, block_height
from simplant.logic.fbd.tree import (
    Block,
    Coil,
    Contact,
    Graph,
    Input,
    Jump,
    Label,
    Node,
    Output,
    Rail,
    Remark,
    Return,
    RightRail,
    Sink,
    Source,
    Wire,
)
from simplant.logic.ladder import tree as ladder

_LEFT: Final = 20


InOuts = Mapping[str, frozenset[str]]
"""The VAR_IN_OUTs of the user's blocks and functions, all in capitals."""


def drawn_ladder(body: ladder.Ladder, in_outs: InOuts | None = None) -> Drawing:
    """Give a ladder as a graph, and where everything is drawn."""
    drawing = _Drawing(in_outs or {})
    for rung in body.rungs:
        drawing.rung(rung)
    order = sorted(drawing.nodes, key=lambda n: (drawing.boxes[n.number].y, drawing.boxes[n.number].x))
    return Drawing(Graph(body.place, tuple(order)), drawing.boxes)


@dataclass(slots=True)
class _Line:
    """How far a line has been drawn: its open ends, and the room it takes."""

    wires: tuple[Wire, ...]
    x: int
    bottom: int


@dataclass(slots=True)
class _Drawing:
    in_outs: InOuts
    nodes: list[Node] = field(default_factory=list)
    boxes: dict[int, Box] = field(default_factory=dict)
    y: int = _LEFT

    def add(self, node: Node, x: int, y: int, width: int = CELL, height: int = ROW) -> int:
        """Draw a node."""
        self.nodes.append(node)
        self.boxes[node.number] = Box(x, y, width, height)
        return node.number

    @property
    def number(self) -> int:
        """The next free number."""
        return len(self.nodes) + 1

    def rung(self, rung: ladder.Rung) -> None:
        """Draw one rung below the others."""
        if rung.label:
            self.add(Label(self.number, rung.place, rung.label), _LEFT, self.y)
            self.y += ROW + GAP
        if rung.comment:
            height = ROW * (1 + rung.comment.count("\n"))
            self.add(Remark(self.number, rung.place, rung.comment), _LEFT, self.y, 10 * CELL, height)
            self.y += height + GAP
        if not rung.line.elements:
            return
        top = self.y
        rail = self.add(Rail(self.number, rung.place), _LEFT, top, 4)
        line = self.series(rung.line, _Line((Wire(rail),), _LEFT + 4 + GAP, top), top)
        if line.wires:
            joined = Input("", tuple(dict.fromkeys(line.wires)))
            self.add(RightRail(self.number, rung.place, joined), line.x, top, 4)
        self.y = line.bottom + 2 * GAP

    def series(self, line: ladder.Series, here: _Line, y: int) -> _Line:
        """Draw elements in a row, their tops at `y`."""
        for element in line.elements:
            here = self.element(element, here, y)
        return replace(here, bottom=max(here.bottom, y + ROW))

    def element(self, element: ladder.Element, here: _Line, y: int) -> _Line:
        """Draw one element behind what is there."""
        power = Input("", here.wires)
        after, bottom = here.x + CELL + GAP, max(here.bottom, y + ROW)
        match element:
            case ladder.Contact():
                made: Node = Contact(self.number, element.place, element.sense, element.operand, power)
            case ladder.Coil():
                made = Coil(self.number, element.place, element.action, element.target, power)
            case ladder.Jump():
                made = Jump(self.number, element.place, element.label, power)
            case ladder.Return():
                made = Return(self.number, element.place, power)
            case ladder.Block():
                return self.block(element, here, y)
            case ladder.Parallel():
                return self.parallel(element, here, y)
        number = self.add(made, here.x, y)
        open_ = () if isinstance(made, Jump | Return) else (Wire(number),)
        return _Line(open_, after, bottom)

    def parallel(self, element: ladder.Parallel, here: _Line, y: int) -> _Line:
        """Draw branches below one another."""
        wires: list[Wire] = []
        x, top = here.x, y
        for branch in element.branches:
            line = self.series(branch, _Line(here.wires, here.x, top), top)
            wires += line.wires
            x, top = max(x, line.x), line.bottom + GAP
        return _Line(tuple(dict.fromkeys(wires)), x + GAP, max(here.bottom, top - GAP))

    def block(self, element: ladder.Block, here: _Line, y: int) -> _Line:
        """Draw a block, with what stands at its other pins on both sides of it."""
        inputs = [Input(element.power_in, here.wires)] if element.power_in else []
        outputs = [Output(element.power_out)] if element.power_out else []
        x, width = here.x + SIDE + GAP, max(BLOCK, 10 * max(len(element.type), len(element.instance)))
        row = y + ROW
        for pin in (p for p in element.pins if p.target is None):
            if pin.value is not None:
                source = self.add(Source(self.number, pin.place, pin.value), here.x, row + GAP, SIDE, ROW - GAP)
                inputs.append(Input(pin.name, (Wire(source),), negated=pin.inverted))
                row += ROW
        targets = [p for p in element.pins if p.target is not None]
        outputs += [Output(p.name, negated=p.inverted) for p in targets]
        height = block_height(len(inputs) + (not element.power_in), len(outputs) + (not element.power_out))
        own = self.in_outs.get(element.type.upper(), frozenset())
        both = tuple(pin for pin in inputs if pin.name.upper() in own)
        ins = tuple(pin for pin in inputs if pin not in both)
        made = Block(self.number, element.place, element.type, element.instance, ins, both, tuple(outputs))
        number = self.add(made, x, y, width, height)
        row = y + ROW
        for pin in targets:
            assert pin.target is not None, "these have one"
            joined = Input("", (Wire(number, pin.name),))
            self.add(Sink(self.number, pin.place, pin.target, joined), x + width + GAP, row + GAP, SIDE, ROW - GAP)
            row += ROW
        wires = (Wire(number, element.power_out),) if element.power_out else ()
        return _Line(wires, x + width + GAP + SIDE + GAP, max(here.bottom, y + height))


def plainest(body: ladder.Ladder, in_outs: InOuts | None = None) -> ladder.Ladder:
    """Give a ladder in the form that its drawing reads back to.

    A parallel that stands alone in a branch is part of the one around it, one with a single branch is none; plain wire
    stands last, leads nowhere at the right rail, and past nothing that it leads through already; a block's inputs stand
    before its VAR_IN_OUTs and its outputs, without those that nothing is joined to; label and comment without a drawing
    go to the next rung; branches that have nothing but the rails in common are rungs of their own.
    """
    found: list[ladder.Rung] = []
    label, remarks = "", list[str]()
    for rung in body.rungs:
        if rung.label and label:
            found.append(replace(rung, label=label, comment="\n".join(remarks), line=ladder.Series(())))
            remarks = []
        label = rung.label or label
        remarks += [rung.comment.strip()] if rung.comment.strip() else []
        for line in _apart(_plain(rung.line, in_outs or {}, last=True)):
            found.append(replace(rung, label=label, comment="\n".join(remarks), line=line))
            label, remarks = "", []
    if label or remarks:
        found.append(ladder.Rung(body.place, label, "\n".join(remarks), ladder.Series(())))
    return replace(body, rungs=tuple(found))


def _apart(line: ladder.Series) -> tuple[ladder.Series, ...]:
    """Give the rungs that a line is."""
    match line.elements:
        case ():
            return ()
        case (ladder.Parallel() as whole,):
            return whole.branches
        case _:
            return (line,)


def _plain(line: ladder.Series, in_outs: InOuts, *, last: bool) -> ladder.Series:
    found: list[ladder.Element] = []
    for number, element in enumerate(line.elements):
        match element:
            case ladder.Parallel():
                branches = _branches(element, in_outs, last=last and number == len(line.elements) - 1)
                found += branches[0].elements if len(branches) == 1 else (ladder.Parallel(tuple(branches)),)
            case ladder.Block():
                found.append(_in_order(element, in_outs.get(element.type.upper(), frozenset())))
            case _:
                found.append(element)
    return ladder.Series(tuple(found))


def _in_order(block: ladder.Block, both: frozenset[str]) -> ladder.Block:
    pins = [p for p in block.pins if p.value is not None or p.target is not None]
    pins.sort(key=lambda p: 2 if p.target is not None else p.name.upper() in both)
    return replace(block, pins=tuple(pins))


def _branches(parallel: ladder.Parallel, in_outs: InOuts, *, last: bool) -> list[ladder.Series]:
    branches: list[ladder.Series] = []
    for branch in (_plain(each, in_outs, last=last) for each in parallel.branches):
        match branch.elements:
            case (ladder.Parallel() as inner,):
                branches += inner.branches
            case _:
                branches.append(branch)
    wires = [branch for branch in branches if not branch.elements]
    acting = [branch for branch in branches if branch.elements]
    return acting if (last and acting) or any(map(_is_passed, acting)) else [*acting, *wires[:1]]


def _is_passed(line: ladder.Series) -> bool:
    """Say whether plain wire leads through a line, past all that stands on it."""
    return all(isinstance(e, ladder.Parallel) and any(map(_is_passed, e.branches)) for e in line.elements)


__all__ = ["InOuts", "drawn_ladder", "plainest"]
