"""Drawing rungs with the standard's characters, always in the same way.

How much room things take is measure.py. A rung that is wider than a page goes on below, between two arrows with a
name. Rule: draw, read, draw gives the same text.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.logic.ladder.canvas import RAIL, Canvas, Drawing, Tag
from simplant.logic.ladder.measure import (
    LEAD,
    RETURN,
    box_of,
    height_of,
    name_of,
    rows_of,
    size_of,
    tail_of,
    tail_width,
    value_of,
    width_of,
    width_to_rail,
)
from simplant.logic.ladder.normal import normal
from simplant.logic.ladder.tree import (
    Block,
    Coil,
    Contact,
    Element,
    Jump,
    Ladder,
    Parallel,
    Return,
    Rung,
    Series,
    elements,
    ends,
)
from simplant.logic.st.report import fail

PAGE: Final = 78
"""Column of the right rail, unless a rung needs more."""

WIDEST: Final = 116
"""Column of the right rail beyond which a rung goes on below."""

TAIL: Final = 20
"""Room for coils at the right rail, so that they stand below one another."""


def draw(ladder: Ladder) -> str:
    """Draw a ladder.

    Raises:
        Fault: it cannot be drawn: something stands behind a jump, or a block that takes no power is not at the rail.
    """
    return "\n\n".join("\n".join(_rung(rung)) for rung in normal(ladder).rungs) + "\n" if ladder.rungs else ""


def _rung(rung: Rung) -> Iterator[str]:
    if rung.comment:
        rows = rung.comment.replace("(*", "( *").replace("*)", "* )").splitlines()  # what would end it early
        for number, row in enumerate(rows):
            begun, ended = "   " if number else "(* ", " *)" if number == len(rows) - 1 else ""
            yield f"{begun}{row}{ended}".rstrip()
    if rung.label:
        yield f"{rung.label}:"
    if rung.line.elements:
        yield from drawing_of(rung).rows


def drawing_of(rung: Rung) -> Drawing:
    """Draw one rung that is in normal form, without label and comment."""
    strips = list(_strips(rung.line))
    tail = max(TAIL, tail_width(strips[-1]) + 1)
    right = PAGE if len(strips) == 1 else WIDEST
    for count, strip in enumerate(strips):
        if count == len(strips) - 1:
            right = max(right, _start(count) + width_to_rail(strip, tail, rail=not count))
        else:
            right = max(right, _start(count) + width_of(strip) + len(_arrow(count)) + 4)
    canvas, row, number, tag = Canvas(), 0, 0, RAIL
    for count, strip in enumerate(strips):
        last, name = count == len(strips) - 1, _arrow(count)
        painter = _Painter(canvas, tail)
        up, down = height_of(strip, rail=count == 0)
        row += up
        if count:
            canvas.put(3, row, f">{_arrow(count - 1)}>", tag)
        line = _Line(_start(count), row, right if last else right - len(name) - 4, number, tag, last, count == 0)
        tag = painter.line(strip, line)
        if not last:
            canvas.put(line.end, row, f">{name}>", tag)
        number += sum(1 for _ in elements(strip))
        painter.rails(row - up, row + down + (not last), right)
        row += down + 2
    return canvas.drawing()


def _arrow(number: int) -> str:
    return "more" if number == 0 else f"more_{number + 1}"


def _start(strip: int) -> int:
    """Give the column where a strip begins: at the rail, or behind an arrow."""
    return 5 + len(_arrow(strip - 1)) if strip else 1


def _strips(line: Series) -> Iterator[Series]:
    """Break a line where it becomes wider than a page."""
    rest, count = line.elements, 0
    while True:
        room, tail = WIDEST - _start(count), max(TAIL, tail_width(Series(rest)) + 1)
        if len(rest) < 2 or width_to_rail(Series(rest), tail, rail=not count) <= room:
            yield Series(rest)
            return
        fits, width = 1, size_of(rest[0]).width
        while fits < len(rest) - 1 and width + size_of(rest[fits]).width + len(_arrow(count)) + 4 <= room:
            width += size_of(rest[fits]).width
            fits += 1
        yield Series(rest[:fits])
        rest, count = rest[fits:], count + 1


@dataclass(frozen=True, slots=True)
class _Line:
    """Where a line is drawn.

    Args:
        x, y: where it begins.
        end: the column before which it ends.
        number: of its first element.
        tag: whose power reaches it.
        final: it ends at the right rail.
        rail: it begins at the left rail.
        inner: it is a branch: what branches there again does so on a wire of its own.
    """

    x: int
    y: int
    end: int
    number: int
    tag: Tag
    final: bool
    rail: bool = False
    inner: bool = False


class _Painter:
    """Draws the lines of one rung; `left` and `right` are the rows where a wire meets a rail."""

    def __init__(self, canvas: Canvas, tail: int) -> None:
        self.canvas, self.tail = canvas, tail
        self.left: set[int] = set()
        self.right: dict[int, Tag] = {}

    def rails(self, first: int, last: int, right: int) -> None:
        """Draw both rails."""
        for y in range(first, last + 1):
            self.canvas.put(0, y, "+" if y in self.left else "|", RAIL)
            self.canvas.put(right, y, "+" if y in self.right else "|", self.right.get(y, ()))

    def line(self, line: Series, at: _Line) -> Tag:
        """Draw a line; give whose power leaves it."""
        x, tag, number, count = at.x, at.tag, at.number, tail_of(line) if at.final else 0
        if at.rail and not _free(line):
            self.left.add(at.y)
        for index, element in enumerate(line.elements):
            rail = at.rail and index == 0 and not (at.inner and isinstance(element, Parallel))
            if count and index == len(line.elements) - count:
                wide = sum(size_of(e).width for e in line.elements[index:])
                start = at.end - max(self.tail, wide)
                self.canvas.wire(x, start, at.y, tag)
                x = start
            here = _Line(x, at.y, at.end, number, tag, at.final, rail)
            if isinstance(element, Parallel) and at.final and index == len(line.elements) - 1:
                self.fork(element, here)
                return ((number, "out"),)
            x = self.element(element, here)
            number += sum(1 for _ in elements(Series((element,))))
            tag = ((here.number, "out"),)
        if not ends(line):
            self.canvas.wire(x, at.end, at.y, tag)
            if at.final:
                self.right[at.y] = tag
        return tag

    def element(self, element: Element, at: _Line) -> int:
        """Draw one element; give the column behind it."""
        end = at.x + size_of(element, rail=at.rail).width
        match element:
            case Contact() | Coil():
                self.symbol(element, at, end)
            case Jump():
                self.canvas.put(at.x, at.y, f"-->> {element.label}", at.tag)
            case Return():
                self.canvas.put(at.x, at.y, f"--{RETURN}", at.tag)
            case Block():
                self.block(element, at, end)
            case Parallel():
                self.parallel(element, at, end)
        return end

    def symbol(self, element: Contact | Coil, at: _Line, end: int) -> None:
        """Draw a contact or a coil."""
        looks = ((at.number, "conducts"),) if isinstance(element, Contact) else at.tag
        mark = (element.sense if isinstance(element, Contact) else element.action).value
        self.canvas.put(at.x + LEAD, at.y - 1, name_of(element))
        self.canvas.wire(at.x, at.x + LEAD, at.y, at.tag)
        self.canvas.put(at.x + LEAD, at.y, mark, looks)
        self.canvas.wire(at.x + LEAD + 3, end, at.y, ((at.number, "out"),))

    # branches

    def fork(self, parallel: Parallel, at: _Line) -> None:
        """Draw branches that end at the right rail."""
        rows = [at.y + row for row in rows_of(parallel.branches, rail=at.rail)]
        x = self.opening(rows, at)
        number = at.number + 1
        for row, branch in zip(rows, parallel.branches, strict=True):
            self.line(branch, _Line(x, row, at.end, number, at.tag, final=True, rail=at.rail, inner=True))
            number += sum(1 for _ in elements(branch))

    def opening(self, rows: Sequence[int], at: _Line) -> int:
        """Draw where branches begin; give the column behind."""
        if at.rail:
            return at.x
        self.canvas.wire(at.x, at.x + LEAD, at.y, at.tag)
        for y in range(rows[0], rows[-1] + 1):
            self.canvas.put(at.x + LEAD, y, "+" if y in rows else "|", at.tag)
        return at.x + LEAD + 1

    def parallel(self, parallel: Parallel, at: _Line, end: int) -> None:
        """Draw branches that meet again."""
        rows = [at.y + row for row in rows_of(parallel.branches, rail=at.rail)]
        x, number = self.opening(rows, at), at.number + 1
        outs: dict[int, Tag] = {}
        for row, branch in zip(rows, parallel.branches, strict=True):
            tag = self.line(branch, _Line(x, row, end - 1, number, at.tag, final=False, rail=at.rail, inner=True))
            if not ends(branch):
                outs[row] = tag
            number += sum(1 for _ in elements(branch))
        for y in range(at.y, max(outs) + 1) if outs else ():
            below = tuple(point for row, tag in outs.items() if row >= y for point in tag)
            joint = y in outs or y == at.y
            self.canvas.put(end - 1, y, "+" if joint else "|", ((at.number, "out"),) if y == at.y else below)

    # blocks

    def block(self, block: Block, at: _Line, end: int) -> None:
        """Draw a box with its pins."""
        if not block.power_in and not at.rail:
            fail(block.place, f"{block.type} takes no power, yet it does not stand at the left rail",
                 "it cannot be drawn there", "lead the power to EN", len(block.type))  # fmt: skip
        box, put = box_of(block), self.canvas.put
        x, own = at.x + box.before, ((at.number, "in"),)
        edge = f"+{'-' * box.inner}+"
        put(x, at.y - 3, block.instance)
        put(x, at.y - 2, edge)
        put(x, at.y - 1, f"|{block.type:^{box.inner}}|")
        for row, (left, right) in enumerate(box.names):
            put(x, at.y + row, f"|{left}{' ' * (box.inner - len(left) - len(right))}{right}|")
        put(x, at.y + box.rows, edge)
        if block.power_in:
            self.canvas.wire(at.x, x, at.y, own)
        if block.power_out:
            self.canvas.wire(x + box.inner + 2, end, at.y, ((at.number, "out"),))
        for row, pin in enumerate(box.left):
            text = f"{value_of(pin)}--{'O' if pin.inverted else ''}" if pin is not None else ""
            put(x - len(text), at.y + row, text)
        for row, pin in enumerate(box.right):
            text = f"{'O' if pin.inverted else ''}--{value_of(pin)}" if pin is not None else ""
            put(x + box.inner + 2, at.y + row, text)


def _free(line: Series) -> bool:
    """Say whether a line begins with a block that takes no power."""
    match line.elements[:1]:
        case (Block() as block,):
            return not block.power_in
        case (Parallel() as parallel,):
            return _free(parallel.branches[0])
        case _:
            return False
