"""Where an access leads: a leaf, or all leaves below a point, with the index into the arrays around it.

Finding it is expressions.py. Rule: plain frozen data.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from simplant.blocks import BlockType
from simplant.expr import Const, Expr
from simplant.logic.st.scope import Symbol
from simplant.logic.st.tree import Part
from simplant.logic.st.types import Array, Cell, Scalar, Standard, StType, leaves
from simplant.values import DINT, Value


@dataclass(frozen=True, slots=True)
class Spot:
    """A variable, or a part of one.

    Args:
        symbol: the variable.
        path: name of the leaf, or what the names of the leaves below begin with.
        type: what is there.
        index: into the arrays around, counted flat from 0; None if there is none.
        section: of the last block variable on the way, "" if none.
        bit: the part of a bit string that is meant.
        letter: the place, from 1, of the letter of a text that is meant.
        known: its value if it is a constant.
        elapsed: the timer whose ET it is.
        through: the reference that leads to it, if it is looked at by that; `path` and `index` count from there.
        label: that reference for people.
        inner: whose own variable lies on the way: `s of F`; "" if none's does.
        view: of what stands in the bytes of an OVERLAP: the bit in the byte that `index` is the number of.
        cell: `index` is only the 0 of a variable that references lead to.
    """

    symbol: Symbol
    path: str
    type: StType
    index: Expr | None = None
    section: str = ""
    bit: Part | None = None
    letter: Expr | None = None
    known: Value | None = None
    elapsed: BlockType | None = None
    inside: Scalar | None = None
    through: Expr | None = None
    label: str = ""
    cell: bool = False
    view: int | None = None
    inner: str = ""

    def field(self, name: str, type_: StType, section: str) -> Spot:
        """Go to a field."""
        inner = self.type
        timer = isinstance(inner, Standard) and name == "ET" and inner.block.elapsed is not None
        block = inner.block if isinstance(inner, Standard) and timer else None
        mark = section if section != "FIELD" else self.section
        return replace(self, path=f"{self.path}.{name}", type=type_, section=mark, elapsed=block).entered()

    def entered(self) -> Spot:
        """Go into a variable that references lead to: its only value is number 0 of a row."""
        if not isinstance(self.type, Cell):
            return self
        if self.index is not None:
            return replace(self, type=self.type.of)
        return replace(self, type=self.type.of, index=Const(0, DINT), cell=True)

    def element(self, index: Expr) -> Spot:
        """Go to an element of an array."""
        assert isinstance(self.type, Array), "only an array has elements"
        return replace(self, type=self.type.of, index=index, cell=False)

    def part(self, part: Part, type_: Scalar) -> Spot:
        """Go to a part of a bit string."""
        assert isinstance(self.type, Scalar), "only a bit string has parts"
        return replace(self, type=type_, bit=part, inside=self.type)

    def whole(self) -> Spot:
        """Go back from a part of a bit string, or a letter of a text, to all of it."""
        assert self.inside is not None, "a part of something"
        return replace(self, type=self.inside, bit=None, letter=None, inside=None).resolved()

    @property
    def is_part(self) -> bool:
        """Whether it is only a part of a stored value."""
        return self.bit is not None or self.letter is not None

    def resolved(self) -> Spot:
        """Look up the value of a constant."""
        if not self.symbol.folded or not isinstance(self.type, Scalar) or self.is_part:
            return self
        if self.index is not None and not isinstance(self.index, Const):
            return self
        leaf = next(
            each for each in leaves(self.symbol.path, self.symbol.type, self.symbol.initial) if each.name == self.path
        )
        at = self.index.value if isinstance(self.index, Const) else 0
        return replace(self, known=leaf.initial[int(at)])
