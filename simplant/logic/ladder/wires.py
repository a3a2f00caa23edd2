"""Following the wires of a drawing from left to right: what stands on each, and where it ends.

Boxes are boxes.py; what the wires make of it all is paths.py. Rule: every letter of a drawing belongs to something, or
it is told that it belongs to nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from simplant.logic.ladder.boxes import Boxed, read_box
from simplant.logic.ladder.fragment import access_of
from simplant.logic.ladder.joints import END, START, Cell, Joints
from simplant.logic.ladder.sheet import Frame, Sheet
from simplant.logic.ladder.tree import Action, Coil, Contact, Element, Jump, Return, Sense
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access

_SYMBOL: Final = re.compile(r"(?<=[-+|)])(?:\|[^|]\||\([^()]{0,3}\))")
_CONTACT: Final = re.compile(r"\|([^|])\|")
_COIL: Final = re.compile(r"\(([^()]{0,3})\)")
_JUMP: Final = re.compile(r">>\s*([A-Za-z_]\w*)")
_ARROW: Final = re.compile(r">([A-Za-z_]\w*)>")
_RETURN: Final = re.compile(r"<\s*RETURN\s*>", re.IGNORECASE)
_TO_RAIL: Final = re.compile(r" ?(-+)(?=[+|]?\s*\Z)")
_MEND: Final = "write | | or ( ), and names in the row above"
_NAMED: Final = re.compile(r"\|\s*(\w[\w.]*)\s*\|")
_SENSES: Final = {sense.value[1]: sense for sense in Sense}
_ACTIONS: Final = {action.value[1]: action for action in Action}
_REACH: Final = 8
"""Columns by which a name may be off what it stands above, where it is clear which one is meant."""


@dataclass(frozen=True, slots=True)
class Edge:
    """What stands on a wire between two joints; `end` None: it ends in a jump, a return, or a block."""

    start: int
    end: int | None
    elements: tuple[Element, ...]
    row: int
    column: int


class Wires:
    """Follows the wires of one drawing.

    Attributes:
        edges: all of them, once `follow` has run.
    """

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.used: set[tuple[int, int]] = set()
        self.edges: list[Edge] = []
        self.boxes: dict[Frame, Boxed] = {}
        for frame in sheet.frames:
            sheet.report.guarded(self._box, frame)
        self.joints = Joints(sheet, self.used)
        self.names = {at: name for row in range(len(sheet.rows)) for at, name in self._names(row)}

    def follow(self) -> list[Edge]:
        """Follow all wires; mistakes go into the report."""
        for start, row, column in self._starts():
            self.sheet.report.guarded(self._wire, start, row, column)
        return self.edges

    def _box(self, frame: Frame) -> None:
        self.boxes[frame] = read_box(self.sheet, frame, self.used)

    def _starts(self) -> Iterator[tuple[int, int, int]]:
        """Give where wires begin: at the left rail, at joints, at arrows, at blocks that take no power."""
        for row, text in enumerate(self.sheet.rows):
            yield from self._starts_in(row, text)
        for (row, column), joint in self.joints.crossings():
            if self.sheet.at(row, column + 1) != " ":
                yield joint, row, column + 1
        for boxed in self.boxes.values():
            if boxed.row_in is None and boxed.row_out is not None:
                yield START, boxed.row_out, boxed.frame.right + 1
            elif boxed.row_in is None:
                self.edges.append(Edge(START, None, (boxed.block,), boxed.frame.top + 2, boxed.frame.left))

    def _starts_in(self, row: int, text: str) -> Iterator[tuple[int, int, int]]:
        column = self.sheet.margin(row) + 1
        at_rail = _ARROW.match(text, column)
        goes_on = at_rail is not None and self.sheet.at(row, at_rail.end()) != " "
        if not goes_on and (self.sheet.at(row, column) in "-(<>" or _CONTACT.match(text, column)):
            yield START, row, column
        for match in _ARROW.finditer(text):
            if self.sheet.at(row, match.start() - 1) == " " or (goes_on and match.start() == column):
                self.used |= {(row, c) for c in range(match.start(), match.end())}
                yield self.joints.named(match[1], row, match.start()), row, match.end()

    # along a wire

    def _wire(self, start: int, row: int, column: int) -> None:
        found: list[Element] = []
        box = self.sheet.box(row, column - 1)
        if box is not None:
            found.append(self.boxes[box].block)
        at: Cell | None = (row, column)
        end: int | None = None
        while at is not None:
            at, end = self._on(at, found)
        self.edges.append(Edge(start, end, tuple(found), row, column))

    def _on(self, at: Cell, found: list[Element]) -> tuple[Cell | None, int | None]:
        """Go one letter or element on; give where to go on, and where the wire ends if it ends here."""
        row, column = at
        letter = self.sheet.at(row, column)
        if self.sheet.box(row, column) is not None:
            return self._through(row, column, found)
        if letter == " ":
            return None, self._stop(row, column, found)
        if letter in "oO" and self.sheet.box(row, column + 1) not in (None, *self.boxes):
            return None, None  # what is wrong with the box is told already
        if letter in "-+" or at in self.joints.right:
            self.used.add(at)
            if letter == "-":
                return (row, column + 1), None
            return None, END if at in self.joints.right else self.joints.of[at]
        return self._sign(row, column, found)

    def _sign(self, row: int, column: int, found: list[Element]) -> tuple[Cell | None, int | None]:
        """Take a contact, a coil, a jump, a return or an arrow."""
        sheet, text = self.sheet, self.sheet.rows[row]
        kinds = (_CONTACT, _COIL, _JUMP, _RETURN, _ARROW)
        match = next((m for m in (kind.match(text, column) for kind in kinds) if m), None)
        if match is None:
            self._strange(row, column)
            raise AssertionError("unreachable: the line above fails")
        self.used |= {(row, c) for c in range(column, match.end())}
        if match.re is _ARROW:
            return None, self.joints.named(match[1], row, column)
        if match.re is _JUMP:
            found.append(Jump(sheet.place(row, match.start(1)), match[1]))
        elif match.re is _RETURN:
            found.append(Return(sheet.place(row, column)))
        else:
            found.append(self._symbol(row, column, match))
            return (row, match.end()), None
        rest = _TO_RAIL.match(text, match.end())  # a line on to the right rail, where no power comes any more
        self.used |= {(row, c) for c in range(*rest.span(1))} if rest else set()
        return None, None

    def _through(self, row: int, column: int, found: list[Element]) -> tuple[Cell | None, int | None]:
        """Go through a box."""
        frame = self.sheet.box(row, column)
        boxed = self.boxes.get(frame) if frame is not None else None
        if boxed is None:  # what is wrong with it is told already
            return None, None
        if boxed.row_in != row:
            fail(self.sheet.place(row, column), f"a wire meets {boxed.block.type} where it has no pin")
        found.append(boxed.block)
        return (None, None) if boxed.row_out is None else ((boxed.row_out, boxed.frame.right + 1), None)

    def _stop(self, row: int, column: int, found: list[Element]) -> int:  # noqa: RET503 - fail() never returns
        """End a wire before the right rail: behind a coil or a block the rail may be left out."""
        rest = self.sheet.rows[row][column:].strip()
        if rest in ("", "|") and found and isinstance(found[-1], Coil):
            return END
        end = column - 1
        mend = "draw - up to what comes next, without a gap" if rest not in ("", "|") else "draw on to a coil"
        fail(self.sheet.place(row, max(end, 0)), "the line ends here", "it leads to no coil and no rail", mend)

    def _strange(self, row: int, column: int) -> None:
        sheet = self.sheet
        match = re.compile(r"[^\s|+-]+").match(sheet.rows[row], column)
        word = match[0] if match else sheet.at(row, column)
        named = _NAMED.match(sheet.rows[row], column)
        if named is not None:
            fail(sheet.place(row, column), f"{named[1]!r} stands in a contact", mend="write | | and the name above it",
                 length=len(named[0]))  # fmt: skip
        if word == "|":
            fail(sheet.place(row, column), "a line goes up or down across this one", mend="write + where lines meet")
        fail(sheet.place(row, column), f"{word!r} stands in the line", "it is no contact, coil, jump or box",
             _MEND if any(map(str.isalnum, word)) else "", len(word))  # fmt: skip

    def _symbol(self, row: int, column: int, match: re.Match[str]) -> Contact | Coil:
        place, mark = self.sheet.place(row, column), (match[1].strip() or " ").upper()
        contact = match.re is _CONTACT
        known: dict[str, Sense] | dict[str, Action] = _SENSES if contact else _ACTIONS
        if mark not in known:
            marks = ", ".join(each.value for each in (Sense if contact else Action))
            fail(place, f"{match[0]!r} is no {'contact' if contact else 'coil'} of IEC 61131-3", mend=f"write {marks}",
                 length=len(match[0]))  # fmt: skip
        name = self._name(row, column, "contact" if contact else "coil", len(match[0]))
        return Contact(place, _SENSES[mark], name) if contact else Coil(place, _ACTIONS[mark], name)

    # names

    def _name(self, row: int, column: int, what: str, length: int) -> Access:
        found = self.names.get((row, column))
        if found is None:
            fail(self.sheet.place(row, column), f"no name stands above this {what}",
                 mend="write the name of a variable above it, from the same column on", length=length)  # fmt: skip
        start, word = found
        self.used |= {(row - 1, c) for c in range(start, start + len(word))}
        return access_of(word, self.sheet.place(row - 1, start))

    def _names(self, row: int) -> Iterator[tuple[tuple[int, int], tuple[int, str]]]:
        """Give the names that belong to the contacts and coils of a row, by where those stand."""
        sheet = self.sheet
        symbols = [m.start() for m in _SYMBOL.finditer(sheet.rows[row]) if sheet.box(row, m.start()) is None]
        words = sheet.names(row - 1) if symbols else []
        for column in list(symbols):
            near = [w for w in words if w[0] < column + 4 and w[0] + len(w[1]) >= column]
            if near:
                best = min(near, key=lambda w: abs(w[0] - column))
                words = [w for w in words if w != best]
                symbols.remove(column)
                yield (row, column), best
        words = [w for w in words if any(abs(w[0] - column) <= _REACH for column in symbols)]
        if len(words) == len(symbols):
            yield from (((row, c), w) for c, w in zip(symbols, words, strict=True) if abs(w[0] - c) <= _REACH)

    def tell_unused(self) -> None:
        """Note every letter that belongs to nothing."""
        for row, text in enumerate(self.sheet.rows):
            column = 0
            while column < len(text):
                if text[column] == " " or (row, column) in self.used:
                    column += 1
                    continue
                start = column
                while column < len(text) and text[column] != " " and (row, column) not in self.used:
                    column += 1
                self._tell(row, start, text[start:column])

    def _tell(self, row: int, column: int, word: str) -> None:
        if any(letter.isalnum() for letter in word):
            what, mend = f"{word!r} belongs to nothing", "names stand right above contacts, coils and boxes"
        elif "|" in word or "+" in word:
            what, mend = f"{word!r} is joined to nothing", "a line up or down leads from a + to a + of the same column"
        else:
            what, mend = f"{word!r} is joined to nothing", "join it to the left rail, or take it away"
        self.sheet.error(row, column, what, mend=mend, length=len(word))
