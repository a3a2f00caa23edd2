"""Reading `io.csv`: strictly, and with all mistakes of a file told at once.

What a point is stands in io_list.py. Comma or semicolon, UTF-8 with or without a byte order
mark: spreadsheets write all of them. Rule: nothing is guessed; a cell that is not understood
is a mistake with its row and column.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Final, TypedDict

from simplant.errors import Place, WiringError, nearest
from simplant.files import shown
from simplant.tags import Direction, Tag, address_problem, name_problem, parse_address
from simplant.timebase import Ns, duration
from simplant.values import BOOL, ElementaryType, Value, type_named
from simplant.wiring.analog_columns import blame_foreign, read_safe, read_span
from simplant.wiring.analog_span import AnalogSpan
from simplant.wiring.csv_rows import Row, raise_all, read_rows
from simplant.wiring.io_list import IoList, Point
from simplant.wiring.levels import INPUT_TYPES, ContactForm, InputType, SignalKind

COLUMNS: Final[Mapping[str, str]] = {
    "tag": "name of the tag",
    "type": "BOOL, or a number: INT, REAL ...",
    "direction": "in or out, seen from the controller",
    "address": "%IX0.0, %QX0.0, %IW2",
    "device": "part.terminal: where the wire goes",
    "contact": "NO or NC (inputs); empty = NO",
    "signal": "dry, PNP, NPN or push_pull; empty = dry",
    "supply": "the supply part that feeds it; empty = taken as healthy",
    "input": "type_1, type_2, type_3 or logic_5v (inputs); empty = type_1",
    "filter": "input filter, for instance 3ms (inputs); empty = none",
    "safe": "level or number when the controller stops (outputs); empty = 0",
    "range": "what comes over the wire of a number, for instance 4-20mA, 0-10V or 0..120 degC",
    "scale": "the number at both ends of the range; empty = 0..10000, of a REAL the range itself",
    "description": "one line for people",
    "wire": "number of the wire",
    "terminal": "terminal in the cabinet",
    "cable": "name of the cable; wires are mixed up within one cable",
}
"""The columns of the file, the first five required, in any order."""

_OTHER_WORDS: Final = {
    "i/o": "direction", "io": "direction", "in/out": "direction", "comment": "description", "text": "description",
    "name": "tag", "symbol": "tag", "tag name": "tag", "addr": "address", "data type": "type", "no/nc": "contact",
    "part": "device", "voltage": "supply", "debounce": "filter",
}  # fmt: skip
"""What lists from elsewhere call a column, and what it is called here."""

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


def read_io(path: Path) -> IoList:
    """Read an I/O list from a file.

    Raises:
        WiringError: the file cannot be read or is not UTF-8, or see `parse_io`.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        mend = f"each machine has its I/O list there, its first row: {','.join(_REQUIRED)}"
        raise WiringError(f"{shown(path)} cannot be read", error.strerror or "", mend) from None
    except UnicodeDecodeError as error:
        raise WiringError(
            "the I/O list is not UTF-8",
            f"byte {error.start + 1} is 0x{error.object[error.start]:02X}",
            "save it as CSV UTF-8",
            Place(shown(path)),
        ) from None
    return parse_io(text, shown(path))


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
    rows = read_rows(text, file)
    if not rows:
        raise WiringError("the I/O list is empty", "its first row must name the columns", place=Place(file))
    (head_line, header), *rest = rows
    names = [name.lower() for name in header]
    mistakes = _check_header(names, Place(file, head_line))
    if not mistakes and not rest:
        mistakes.append(WiringError("the I/O list has no points", "there is only a header row", place=Place(file)))
    raise_all(mistakes)
    found = _Points(mistakes)
    for line, cells in rest:
        if len(cells) > len(names):
            what = f"the row has {len(cells)} cells, the header names {len(names)} columns"
            mistakes.append(WiringError(what, "", "put text that holds a separator in quotes", Place(file, line)))
        else:
            found.add(Row(file, line, names, cells, mistakes))
    raise_all(mistakes)
    return IoList(tuple(found.points))


def _check_header(names: list[str], place: Place) -> list[WiringError]:
    mistakes = []
    for cell, name in enumerate(names, 1):
        here = Place(place.file, place.line, cell)
        if name not in COLUMNS:
            called = f"the column for that is called {_OTHER_WORDS[name]!r}" if name in _OTHER_WORDS else ""
            mistakes.append(WiringError(f"there is no column {name!r}", "", called or nearest(name, COLUMNS), here))
        elif name in names[: cell - 1]:
            mistakes.append(WiringError(f"column {name!r} is there twice", "", "remove one", here))
    missing = [name for name in _REQUIRED if name not in names]
    if missing:
        what = f"the header lacks {', '.join(missing)}"
        mistakes.append(WiringError(what, "these columns are required", place=place))
    return mistakes


class _Points:
    """The points found so far."""

    def __init__(self, mistakes: list[WiringError]) -> None:
        self.points: list[Point] = []
        self.mistakes = mistakes
        self.seen: dict[str, int] = {}

    def add(self, row: Row) -> None:
        name = row.read("tag", _name)
        kind = row.read("type", _type)
        direction = row.choose("direction", _DIRECTIONS)
        address = row.read("address", parse_address)
        device = row.read("device", _device)
        self._once(row, "tag", (name or "").upper(), f"tag {name!r}")
        self._once(row, "address", str(address or ""), f"address {address}")
        if direction is not None:
            _one_sided(row, direction)
        if kind and direction and address and (why := address_problem(address, kind, direction)):
            row.blame("address", f"address {address} does not suit tag {row.text('tag')!r}", why)
            return
        if kind is not None:
            blame_foreign(row, kind)
        wiring = _wiring(row, kind or BOOL)
        if name is None or kind is None or direction is None or address is None or device is None or wiring is None:
            return
        place = Place(row.file, row.line)
        tag = Tag(name, kind, direction, str(address), description=row.text("description"), place=place)
        part, _, terminal = device.partition(".")
        self.points.append(Point(tag, part, terminal, **wiring))

    def _once(self, row: Row, column: str, key: str, what: str) -> None:
        first = self.seen.setdefault(key, row.line) if key else row.line
        if first != row.line:
            row.blame(column, f"{what} is there twice", f"the first is in line {first}", "rename or remove one")


class _Wiring(TypedDict):
    contact: ContactForm
    signal: SignalKind
    input_type: InputType
    filter: Ns
    safe: Value
    supply: str
    wire: str
    strip: str
    cable: str
    span: AnalogSpan | None


def _wiring(row: Row, kind: ElementaryType) -> _Wiring | None:
    contact, signal = row.choose("contact", _CONTACTS), row.choose("signal", _SIGNALS)
    input_type, safe = row.choose("input", _INPUTS), row.choose("safe", _SAFE) if kind is BOOL else read_safe(row, kind)
    span = None if kind is BOOL else read_span(row, kind)
    wait = row.read("filter", lambda text: duration(text) if text else Ns(0))
    if contact is None or signal is None or input_type is None or wait is None or safe is None:
        return None
    if span is None and kind is not BOOL:
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
        "span": span,
    }


def _type(text: str) -> ElementaryType:
    kind = type_named(text)
    if kind is not BOOL and not kind.is_number:
        raise WiringError(f"a point cannot be {kind.name}", "a wire carries a level or a number", "write BOOL or INT")
    return kind


def _name(text: str) -> str:
    why = name_problem(text)
    if why:
        raise WiringError(f"{text!r} cannot be the name of a tag", why)
    return text


def _device(text: str) -> str:
    part, _, terminal = text.partition(".")
    if not part or not terminal or "." in terminal:
        what = f"{text!r} is not a device" if text else "there is no device"
        raise WiringError(what, mend="write part.terminal, for instance door.switch")
    return text


def _one_sided(row: Row, direction: Direction) -> None:
    """Refuse what only an input or only an output can have."""
    for column, side in _ONLY.items():
        if side is not direction and row.text(column):
            why = f"only an {side.value} has this column"
            row.blame(
                column, f"column {column!r} is {row.text(column)!r} for an {direction.value}", why, "leave it empty"
            )
