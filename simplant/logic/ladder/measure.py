"""How much room the elements of a rung take: names above contacts and coils, boxes with their pins, branches.

Drawing them is draw.py. Rule: every width is a function of the element alone, so a change in one place of a rung moves
nothing before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from simplant.logic.ladder.tree import Block, Coil, Contact, Element, Jump, Parallel, Pin, Return, Series
from simplant.logic.st.printed_expressions import printed_access, printed_expression

LEAD: Final = 2
"""Letters of wire before every element."""

RETURN: Final = "<RETURN>"


@dataclass(frozen=True, slots=True)
class Size:
    """Columns, rows above the line of power, rows below."""

    width: int
    up: int
    down: int


def name_of(element: Contact | Coil) -> str:
    """Give what stands above a contact or coil."""
    return printed_access(element.operand if isinstance(element, Contact) else element.target)


def value_of(pin: Pin) -> str:
    """Give what stands at the side of a box beside a pin."""
    if pin.value is not None:
        return printed_expression(pin.value)
    return printed_access(pin.target) if pin.target is not None else ""


@dataclass(frozen=True, slots=True)
class Box:
    """The rows of pins of a block, left and right; None on the right or left of row 0: the line of power."""

    block: Block
    left: tuple[Pin | None, ...]
    right: tuple[Pin | None, ...]

    @property
    def rows(self) -> int:
        """How many rows of pins."""
        return max(1, len(self.left), len(self.right))

    @property
    def names(self) -> list[tuple[str, str]]:
        """The names of the pins in each row."""
        block = self.block
        pairs = []
        for row in range(self.rows):
            left = self.left[row] if row < len(self.left) else Pin(block.place, "")
            right = self.right[row] if row < len(self.right) else Pin(block.place, "")
            pairs.append((left.name if left else block.power_in, right.name if right else block.power_out))
        return pairs

    @property
    def inner(self) -> int:
        """Columns between the sides."""
        return max(len(self.block.type) + 2, *(len(left) + 2 + len(right) for left, right in self.names))

    @property
    def before(self) -> int:
        """Columns before the left side."""
        texts = [len(value_of(p)) + LEAD + p.inverted + 2 for p in self.left if p is not None]
        return max([LEAD, *texts])

    @property
    def behind(self) -> int:
        """Columns behind the right side."""
        texts = [len(value_of(p)) + LEAD + p.inverted for p in self.right if p is not None]
        return max([LEAD, len(self.block.instance) - self.inner - 2, *texts])


def box_of(block: Block) -> Box:
    """Lay out the pins of a block."""
    left = [pin for pin in block.pins if pin.value is not None]
    right = [pin for pin in block.pins if pin.value is None]
    return Box(
        block, tuple([None, *left] if block.power_in else left), tuple([None, *right] if block.power_out else right)
    )


def size_of(element: Element, *, rail: bool = False) -> Size:
    """Measure an element that goes on to the right.

    Args:
        element: what.
        rail: it stands at the left rail, which is then where a parallel begins.
    """
    match element:
        case Contact() | Coil():
            return Size(LEAD + max(3, len(name_of(element))), 1, 0)
        case Jump():
            return Size(LEAD + 3 + len(element.label), 0, 0)
        case Return():
            return Size(LEAD + len(RETURN), 0, 0)
        case Block():
            box = box_of(element)
            return Size(box.before + box.inner + 2 + box.behind, 3 if element.instance else 2, box.rows)
        case Parallel():
            inside = max(width_of(branch) for branch in element.branches)
            up, down = height_of_branches(element.branches, rail=rail)
            return Size((0 if rail else LEAD + 1) + inside + LEAD + 1, up, down)


def width_of(line: Series) -> int:
    """Give the columns of a line that goes on to the right."""
    return sum(size_of(element).width for element in line.elements)


def height_of(line: Series, *, rail: bool = False) -> tuple[int, int]:
    """Give the rows above and below a line."""
    sizes = [size_of(element, rail=rail and n == 0) for n, element in enumerate(line.elements)]
    return max((s.up for s in sizes), default=0), max((s.down for s in sizes), default=0)


def rows_of(branches: Sequence[Series], *, rail: bool = False) -> list[int]:
    """Give the row of each branch's line, the first one's being 0."""
    rows: list[int] = []
    below = -1
    for branch in branches:
        up, down = height_of(branch, rail=rail)
        rows.append(below + 1 + max(up, 1) if rows else 0)
        below = rows[-1] + down
    return rows


def height_of_branches(branches: Sequence[Series], *, rail: bool) -> tuple[int, int]:
    """Give the rows above the first and below the last branch, from the line of the first."""
    return height_of(branches[0], rail=rail)[0], rows_of(branches)[-1] + height_of(branches[-1])[1]


def tail_of(line: Series) -> int:
    """Give how many elements at the end of a line stand at the right rail: coils, a jump, a return."""
    count = 0
    for element in reversed(line.elements):
        if not isinstance(element, Coil | Jump | Return):
            break
        count += 1
    return count


def tail_width(line: Series) -> int:
    """Give the columns of the widest end of a line at the right rail."""
    count = tail_of(line)
    if count:
        return sum(size_of(element).width for element in line.elements[-count:])
    match line.elements[-1:]:
        case (Parallel() as parallel,):
            return max(tail_width(branch) for branch in parallel.branches)
        case _:
            return 0


def width_to_rail(line: Series, tail: int, *, rail: bool = False) -> int:
    """Give the columns of a line up to the right rail, its end being so wide."""
    count = tail_of(line)
    head = line.elements[: len(line.elements) - count]
    if not count and head and isinstance(head[-1], Parallel):
        at_rail = rail and len(head) == 1
        inside = max(width_to_rail(branch, tail) for branch in head[-1].branches)
        own = (0 if at_rail else LEAD + 1) + inside
        head = head[:-1]
    else:
        own = tail if count else LEAD
    return own + sum(size_of(e, rail=rail and n == 0).width for n, e in enumerate(head))
