"""Reading `io.csv`: strictly, and with all mistakes of a file told at once.

What a point is stands in io_list.py. Comma or semicolon, UTF-8 with or without a byte order
mark: spreadsheets write all of them. Rule: nothing is guessed; a cell that is not understood
is a mistake with its row and column.
"""

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypedDict, TypeVar

from simplant.errors import Place, SimplantError, WiringError, nearest
from simplant.tags import Direction, Tag, address_problem, name_problem, parse_address
from simplant.timebase import Ns, duration
from simplant.values import type_named
from simplant.wiring.io_list import IoList, Point
from simplant.wiring.levels import INPUT_TYPES, ContactForm, InputType, SignalKind

COLUMNS: Final[Mapping[str, str]] = {
    "tag": "name of the tag",
    "type": "elementary type, for instance BOOL",
    "direction": "in or out, seen from the controller",
    "address": "%IX0.0, %QX0.0, %IW2",
    "device": "part.terminal: where the wire goes",
    "contact": "NO or NC (inputs); empty = NO",
    "signal": "dry, PNP, NPN or push_pull; empty = dry",
    "supply": "the supply part that feeds it; empty = taken as healthy",
    "input": "type_1, type_2, type_3 or logic_5v (inputs); empty = type_1",
    "filter": "input filter, for instance 3ms (inputs); empty = none",
    "safe": "level when the controller stops, 0 or 1 (outputs); empty = 0",
    "description": "one line for people",
    "wire": "number of the wire",
    "terminal": "terminal in the cabinet",
    "cable": "name of the cable; wires are mixed up within one cable",
}
"""The columns of the file, the first five required, in any order."""

_REQUIRED: Final = tuple(COLUMNS)[:5]
_ONLY: Final = {
    "contact": Direction.INPUT,
    "input": Direction.INPUT,
    "filter": Direction.INPUT,
    "safe": Direction.OUTPUT,
}
_DIRECTIONS: Final = {"in": Direction.INPUT, "out": Direction.OUTPUT}
_CONTACTS: Final = {"": ContactForm.NO, **{form.value: form for form in ContactForm}}
_SIGNALS: Final = {"": SignalKind.DRY, **{kind.value: kind for kind in SignalKind}}
_INPUTS: Final = {"": INPUT_TYPES["type_1"], **INPUT_TYPES}
_SAFE: Final = {"": False, "0": False, "1": True}

T = TypeVar("T")


def read_io(path: Path) -> IoList:
    """Read an I/O list from a file.

    Raises:
        WiringError: the file cannot be read or is not UTF-8, or see `parse_io`.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise WiringError(f"{path} cannot be read", error.strerror or "") from None
    except UnicodeDecodeError as error:
        raise WiringError(
            "the I/O list is not UTF-8",
            f"byte {error.start + 1} is 0x{error.object[error.start]:02X}",
            "save it as CSV UTF-8",
            Place(path.as_posix()),
        ) from None
    return parse_io(text, path.as_posix())


def parse_io(text: str, file: str = "io.csv") -> IoList:
    """Read an I/O list from text.

    Args:
        text: a header row of `COLUMNS`, then one row per point; empty rows are skipped.
        file: what to call it in errors; places are file:line:cell, both counted from 1.

    Returns:
        The points in the order of the file; names and addresses are unique.

    Raises:
        WiringError: anything is wrong; the first mistake is its `what`, its text has them all.
    """
    rows = _rows(text, file)
    if not rows:
        raise WiringError("the I/O list is empty", "its first row must name the columns", place=Place(file))
    (head_line, header), *rest = rows
    names = [name.lower() for name in header]
    mistakes = _check_header(names, Place(file, head_line))
    if not mistakes and not rest:
        mistakes.append(WiringError("the I/O list has no points", "there is only a header row", place=Place(file)))
    _raise_all(mistakes)
    found = _Points(mistakes)
    for line, cells in rest:
        if len(cells) > len(names):
            what = f"the row has {len(cells)} cells, the header names {len(names)} columns"
            mistakes.append(WiringError(what, "", "put text that holds a separator in quotes", Place(file, line)))
        else:
            found.add(_Row(file, line, names, cells, mistakes))
    _raise_all(mistakes)
    return IoList(tuple(found.points))


def _rows(text: str, file: str) -> list[tuple[int, list[str]]]:
    """Give line and trimmed cells of each row that is not empty."""
    text = text.removeprefix("\ufeff")
    header = text.lstrip().partition("\n")[0]
    separator = ";" if header.count(";") > header.count(",") else ","
    reader = csv.reader(text.splitlines(keepends=True), delimiter=separator, strict=True)
    rows, line = [], 1
    try:
        for row in reader:
            cells = [cell.strip() for cell in row]
            while cells and not cells[-1]:
                cells.pop()
            if cells:
                rows.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as error:
        raise WiringError("the I/O list is not a CSV file", str(error), place=Place(file, line)) from None
    return rows


def _check_header(names: list[str], place: Place) -> list[WiringError]:
    mistakes = []
    for cell, name in enumerate(names, 1):
        here = Place(place.file, place.line, cell)
        if name not in COLUMNS:
            mistakes.append(WiringError(f"there is no column {name!r}", "", nearest(name, COLUMNS), here))
        elif name in names[: cell - 1]:
            mistakes.append(WiringError(f"column {name!r} is there twice", "", "remove one", here))
    missing = [name for name in _REQUIRED if name not in names]
    if missing:
        what = f"the header lacks {', '.join(missing)}"
        mistakes.append(WiringError(what, "these columns are required", place=place))
    return mistakes


def _order(mistake: WiringError) -> tuple[int, int]:
    return (mistake.place.line, mistake.place.column) if mistake.place else (0, 0)


def _raise_all(mistakes: list[WiringError]) -> None:
    if not mistakes:
        return
    first, *others = sorted(mistakes, key=_order)
    tail = "".join(".\n" + str(other).removesuffix(".") for other in others)
    if first.mend:
        raise WiringError(first.what, first.why, first.mend + tail, first.place)
    raise WiringError(first.what, first.why + tail, "", first.place)


@dataclass(frozen=True, slots=True)
class _Row:
    file: str
    line: int
    names: list[str]
    cells: list[str]
    mistakes: list[WiringError]

    def text(self, column: str) -> str:
        index = self.names.index(column) if column in self.names else len(self.cells)
        return self.cells[index] if index < len(self.cells) else ""

    def blame(self, column: str, what: str, why: str = "", mend: str = "") -> None:
        place = Place(self.file, self.line, self.names.index(column) + 1)
        self.mistakes.append(WiringError(what, why, mend, place))

    def read(self, column: str, reader: Callable[[str], T]) -> T | None:
        """Read a cell; on a mistake note it and give None."""
        try:
            return reader(self.text(column))
        except SimplantError as error:
            self.blame(column, f"column {column!r}: {error.what}", error.why, error.mend)
            return None

    def choose(self, column: str, options: Mapping[str, T]) -> T | None:
        """Read a cell that must be one of some words, in any letter case; on a mistake note it and give None."""
        folded = {option.lower(): value for option, value in options.items()}
        word = self.text(column)
        if word.lower() in folded:
            return folded[word.lower()]
        what = f"column {column!r} is {word!r}" if word else f"column {column!r} is empty"
        self.blame(column, what, "", f"write one of: {', '.join(option for option in options if option)}")
        return None


class _Points:
    """The points found so far."""

    def __init__(self, mistakes: list[WiringError]) -> None:
        self.points: list[Point] = []
        self.mistakes = mistakes
        self.seen: dict[str, int] = {}

    def add(self, row: _Row) -> None:
        name = row.read("tag", _name)
        kind = row.read("type", type_named)
        direction = row.choose("direction", _DIRECTIONS)
        address = row.read("address", parse_address)
        device = row.read("device", _device)
        wiring = _wiring(row)
        self._once(row, "tag", (name or "").upper(), f"tag {name!r}")
        self._once(row, "address", str(address or ""), f"address {address}")
        if direction is not None:
            _one_sided(row, direction)
        if name is None or kind is None or direction is None or address is None or device is None or wiring is None:
            return
        if why := address_problem(address, kind, direction):
            row.blame("address", f"address {address} does not suit tag {name!r}", why)
            return
        place = Place(row.file, row.line)
        tag = Tag(name, kind, direction, str(address), description=row.text("description"), place=place)
        part, _, terminal = device.partition(".")
        self.points.append(Point(tag, part, terminal, **wiring))

    def _once(self, row: _Row, column: str, key: str, what: str) -> None:
        first = self.seen.setdefault(key, row.line) if key else row.line
        if first != row.line:
            row.blame(column, f"{what} is there twice", f"the first is in line {first}", "rename or remove one")


class _Wiring(TypedDict):
    contact: ContactForm
    signal: SignalKind
    input_type: InputType
    filter: Ns
    safe: bool
    supply: str
    wire: str
    strip: str
    cable: str


def _wiring(row: _Row) -> _Wiring | None:
    contact, signal = row.choose("contact", _CONTACTS), row.choose("signal", _SIGNALS)
    input_type, safe = row.choose("input", _INPUTS), row.choose("safe", _SAFE)
    wait = row.read("filter", lambda text: duration(text) if text else Ns(0))
    if contact is None or signal is None or input_type is None or wait is None or safe is None:
        return None
    return {
        "contact": contact,
        "signal": signal,
        "input_type": input_type,
        "filter": wait,
        "safe": safe,
        "supply": row.text("supply"),
        "wire": row.text("wire"),
        "strip": row.text("terminal"),
        "cable": row.text("cable"),
    }


def _name(text: str) -> str:
    why = name_problem(text)
    if why:
        raise WiringError(f"{text!r} cannot be the name of a tag", why)
    return text


def _device(text: str) -> str:
    part, _, terminal = text.partition(".")
    if not part or not terminal or "." in terminal:
        what = f"{text!r} is not a device" if text else "there is no device"
        raise WiringError(what, mend="write part.terminal, for instance door.open")
    return text


def _one_sided(row: _Row, direction: Direction) -> None:
    """Refuse what only an input or only an output can have."""
    for column, side in _ONLY.items():
        if side is not direction and row.text(column):
            why = f"only an {side.value} has this column"
            row.blame(
                column, f"column {column!r} is {row.text(column)!r} for an {direction.value}", why, "leave it empty"
            )
