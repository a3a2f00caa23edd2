"""A block as it is drawn: its type and pins inside the box, its instance above, values and variables at the sides.

Rule: power reaches one pin and leaves from one; every other pin has a value or a variable written at its side.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from simplant.logic.ladder.fragment import access_of, value_of
from simplant.logic.ladder.sheet import Frame, Sheet
from simplant.logic.ladder.tree import Block, Pin
from simplant.logic.st.report import fail

_COIL_BEFORE: Final = re.compile(r"[-+]\(\s?[/SRPNsrpn]?\)\Z")
_ARROW_BEFORE: Final = re.compile(r">\w+>\Z")
_WORD_END: Final = re.compile(r"[\w')\]]")
_TARGET: Final = re.compile(r"[A-Za-z_%](?:[^\s|\[\]]|\[[^\]|]*\])*")


@dataclass(frozen=True, slots=True)
class Boxed:
    """A block, and the rows (None: none) on which power reaches and leaves it."""

    frame: Frame
    block: Block
    row_in: int | None
    row_out: int | None


@dataclass(slots=True)
class _Pins:
    """What is found around a box."""

    pins: list[Pin]
    power_in: list[tuple[int, str]]
    power_out: list[tuple[int, str]]


def read_box(sheet: Sheet, frame: Frame, used: set[tuple[int, int]]) -> Boxed:
    """Read a block.

    Args:
        sheet: the drawing.
        frame: its outline.
        used: takes the letters that belong to it.

    Raises:
        Fault: something about it is wrong.
    """
    used |= {(r, c) for r in range(frame.top, frame.bottom + 1) for c in range(frame.left, frame.right + 1)}
    type_, column = _type(sheet, frame)
    found = _Pins([], [], [])
    for row in range(frame.top + 2, frame.bottom):
        _row(sheet, frame, row, found, used)
    place = sheet.place(frame.top + 1, column)
    for rows, verb in ((found.power_in, "reaches"), (found.power_out, "leaves")):
        if len(rows) > 1:
            what = f"power {verb} {type_} at {rows[0][1]} and at {rows[1][1]}"
            side = frame.left if verb == "reaches" else frame.right
            fail(sheet.place(rows[1][0], side), what, "one pin of a block is in the line of power",
                 "write the name of a variable at the side of the other pin")  # fmt: skip
    (row_in, power_in) = found.power_in[0] if found.power_in else (None, "")
    (row_out, power_out) = found.power_out[0] if found.power_out else (None, "")
    block = Block(place, type_, _instance(sheet, frame, used), power_in, power_out, tuple(found.pins))
    return Boxed(frame, block, row_in, row_out)


def _inside(sheet: Sheet, frame: Frame, row: int) -> str:
    return sheet.rows[row][frame.left + 1 : frame.right]


def _type(sheet: Sheet, frame: Frame) -> tuple[str, int]:
    text = _inside(sheet, frame, frame.top + 1)
    words = text.split()
    column = frame.left + 1 + len(text) - len(text.lstrip())
    if len(words) != 1 or not re.fullmatch(r"[A-Za-z_]\w*", words[0]):
        there = f"{text.strip()!r} stands" if words else "nothing stands"
        fail(sheet.place(frame.top + 1, min(column, frame.right - 1)), f"{there} where the type of a block is wanted",
             "it stands on the first row in the box, alone", length=max(1, len(text.strip())))  # fmt: skip
    return words[0], column


def _instance(sheet: Sheet, frame: Frame, used: set[tuple[int, int]]) -> str:
    row = frame.top - 1
    near = [(c, w) for c, w in sheet.names(row) if c <= frame.right + 1 and c + len(w) >= frame.left]
    if not near:
        return ""
    column, word = min(near, key=lambda pair: abs(pair[0] - frame.left))
    access_of(word, sheet.place(row, column))
    used |= {(row, c) for c in range(column, column + len(word))}
    return word


def _row(sheet: Sheet, frame: Frame, row: int, found: _Pins, used: set[tuple[int, int]]) -> None:
    """Read one row of pins."""
    text = _inside(sheet, frame, row)
    words = [(m.start(), m[0]) for m in re.finditer(r"\S+", text)]
    wired = sheet.at(row, frame.left - 1) in "-oO", sheet.at(row, frame.right + 1) in "-oO"
    for column, word in words:
        if not re.fullmatch(r"[A-Za-z_]\w*", word):
            fail(sheet.place(row, frame.left + 1 + column), f"{word!r} is no name of a pin", length=len(word))
    if len(words) > 2:
        fail(sheet.place(row, frame.left + 1 + words[2][0]), "a row of a box has one pin on each side at most")
    left, right = _sides(words, len(text), wired)
    if wired[0]:
        _left(sheet, frame, row, left, found, used)
    if wired[1]:
        _right(sheet, frame, row, right, found, used)


def _sides(words: list[tuple[int, str]], width: int, wired: tuple[bool, bool]) -> tuple[str, str]:
    """Give the names of the left and the right pin in a row."""
    if len(words) == 2:
        return words[0][1], words[1][1]
    if not words:
        return "", ""
    column, word = words[0]
    at_left = column <= width - column - len(word)
    if wired[0] != wired[1] and column == 0 and len(word) == width:
        at_left = wired[0]
    return (word, "") if at_left else ("", word)


def _named(sheet: Sheet, row: int, column: int, name: str) -> None:
    if not name:
        fail(sheet.place(row, column), "a wire meets the box here, but there is no pin",
             mend="write the name of the pin inside, next to the side")  # fmt: skip


def _left(sheet: Sheet, frame: Frame, row: int, name: str, found: _Pins, used: set[tuple[int, int]]) -> None:
    column = frame.left - 1
    inverted = sheet.at(row, column) in "oO"
    end = column - inverted
    while sheet.at(row, end) == "-":
        end -= 1
    if sheet.at(row, end) == " " and _WORD_END.match(sheet.at(row, end - 1)):  # one space before the wire will do
        end -= 1
    letter, text = sheet.at(row, end), sheet.rows[row][: end + 1]
    _named(sheet, row, frame.left, name)
    power = letter in "+|" or sheet.box(row, end) or _COIL_BEFORE.search(text) or _ARROW_BEFORE.search(text)
    if letter != " " and not power:
        start = _text_start(sheet, row, end)
        value = value_of(text[start:], sheet.place(row, start))
        found.pins.append(Pin(sheet.place(row, start), name, value, inverted=inverted))
        used |= {(row, c) for c in range(start, frame.left)}
    elif power and inverted:
        fail(sheet.place(row, column), f"the power is inverted at {name}",
             "a drawing in text has inverted values only", "let a rung of its own make the inverse")  # fmt: skip
    elif power:
        found.power_in.append((row, name))
    else:
        used |= {(row, c) for c in range(end + 1, frame.left)}


def _text_start(sheet: Sheet, row: int, end: int) -> int:
    """Give where the text begins that ends at a column: behind two spaces, a wire or a box."""
    start = end
    while start > 0:
        before = sheet.at(row, start - 1)
        if before == "|" or sheet.box(row, start - 1) or (before == " " and sheet.at(row, start - 2) in " |"):
            break
        start -= 1
    return start


def _right(sheet: Sheet, frame: Frame, row: int, name: str, found: _Pins, used: set[tuple[int, int]]) -> None:
    column = frame.right + 1
    inverted = sheet.at(row, column) in "oO"
    end = column + inverted
    while sheet.at(row, end) == "-":
        end += 1
    _named(sheet, row, frame.right, name)
    if sheet.at(row, end) == " " and _TARGET.match(sheet.at(row, end + 1)):
        end += 1
    match = _TARGET.match(sheet.rows[row], end)
    if match:
        target = access_of(match[0], sheet.place(row, end))
        found.pins.append(Pin(sheet.place(row, end), name, None, target, inverted))
        used |= {(row, c) for c in range(column, match.end())}
    elif sheet.at(row, end) == " ":
        used |= {(row, c) for c in range(column, end)}
    elif inverted:
        fail(sheet.place(row, column), f"the power is inverted at {name}",
             "a drawing in text has inverted values only", "let a rung of its own make the inverse")  # fmt: skip
    else:
        found.power_out.append((row, name))
