"""An I/O list as people have it, as an `io.csv`: other headings, separators, encodings, ways to write an address.

Reading `io.csv` itself is wiring/io_file.py, and stays strict. Rule: a list that is strict already is left as it is;
whatever is changed, left out or supposed is told, and each row keeps its line, where its mistakes are told.
"""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from io import StringIO
from re import IGNORECASE, fullmatch, search, sub
from typing import Final

from simplant.errors import SimplantError
from simplant.starter.fit import main_terminal
from simplant.starter.headings import heading
from simplant.wiring.io_file import parse_io

_SPARE: Final = ("spare", "reserve", "reserved", "free", "unused", "not used", "n/a", "-", "res", "res.")
_IN: Final = ("in", "input", "i", "di", "ai", "digital input", "analog input", "analogue input", "sensor")
_OUT: Final = ("out", "output", "q", "o", "do", "ao", "digital output", "analog output", "analogue output", "actuator")
_BOOL: Final = ("bool", "boolean", "bit", "digital", "di", "do", "binary", "discrete", "")
_NUMBER: Final = ("analog", "analogue", "ai", "ao", "word", "number")
_RENAMED: Final = "tags have letters, digits and _ only: "
_SUPPOSED: Final = "devices named without a terminal are taken as: "
_CONTACT: Final = {
    "n.o.": "NO", "n/o": "NO", "normally open": "NO", "make": "NO", "open": "NO",
    "n.c.": "NC", "n/c": "NC", "normally closed": "NC", "break": "NC", "closed": "NC",
}  # fmt: skip


def decoded(data: bytes) -> tuple[str, str]:
    """Give the text of a list, and a note if it was not UTF-8."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace"), "the list is UTF-16; io.csv is UTF-8"
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), "the list was read as Windows text (cp1252); io.csv is UTF-8"


def as_io(data: bytes, file: str) -> tuple[str, list[str]]:
    """Give a list as the text of an `io.csv`, and what was done to it (a line each).

    Args:
        data: the file as it is.
        file: what to call it in errors.

    Raises:
        WiringError: some rows are not understood, with all mistakes and their lines.
    """
    text, note = decoded(data)
    text = text.replace("\r\n", "\n")
    try:
        parse_io(text, file)
    except SimplantError:
        made = _List(text)
        if not made.columns:  # nothing in it looks like headings: told as it stands
            raise
        text = made.text()
        parse_io(text, file)
        return text, [*([note] if note else []), *made.notes]
    return text, [note] if note else []


@dataclass
class _List:
    """One list: its rows with their lines, its columns, and what was done."""

    raw: str
    columns: dict[int, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        head = self.raw.lstrip("\ufeff\n").partition("\n")[0]
        lines = self.raw.splitlines()[:20]
        counts = {mark: max((line.count(mark) for line in lines), default=0) for mark in ";,\t"}
        self.mark = max(counts, key=lambda mark: counts[mark])
        self.rows: list[tuple[int, list[str]]] = []
        reader, line = csv.reader(StringIO(self.raw.removeprefix("\ufeff"), newline=""), delimiter=self.mark), 1
        for row in reader:
            self.rows.append((line, [cell.strip() for cell in row]))
            line = reader.line_num + 1
        self._find_head()
        if self.mark != "," and self.columns and head:
            self.notes.append(f"cells are parted by {'tabs' if self.mark == chr(9) else self.mark}")

    def _find_head(self) -> None:
        for number, (_, row) in enumerate(self.rows[:20]):
            known = {n: heading(cell) for n, cell in enumerate(row)}
            if len({name for name in known.values() if name}) >= 3:
                self._take_head(number, row, known)
                return

    def _take_head(self, number: int, row: Sequence[str], known: dict[int, str]) -> None:
        for n, name in known.items():
            if name and name not in self.columns.values():
                self.columns[n] = name
        if "tag" not in self.columns.values():
            self.columns = {n: "tag" if name == "signal" else name for n, name in self.columns.items()}
        called = [f"{row[n]} is {name}" for n, name in self.columns.items() if row[n].lower() != name]
        left = [cell for n, cell in enumerate(row) if cell and n not in self.columns]
        above = [str(line) for line, cells in self.rows[:number] if any(cells)]
        if called:
            self.notes.append(f"headings: {', '.join(called)}")
        if left:
            self.notes.append(f"columns left out: {', '.join(left)}")
        if above:
            self.notes.append(f"lines above the headings left out: {', '.join(above)}")
        self.head_line, self.rows = self.rows[number][0], self.rows[number + 1 :]

    def text(self) -> str:
        """Write it as `io.csv`, each row at its own line."""
        names = [*self.columns.values()]
        names += [n for n in ("tag", "type", "direction", "address", "device", "range") if n not in names]
        out: dict[int, list[str]] = {self.head_line: names}
        spare = []
        for line, row in self.rows:
            cells = {name: row[n] if n < len(row) else "" for n, name in self.columns.items()}
            cells["tag"] = cells.get("tag") or cells.get("device", "") or cells.get("description", "")
            if _is_spare(cells):
                spare += [str(line)] if any(row) else []
                continue
            _Row(cells, self.notes).mend(len(out) - 1)
            out[line] = [cells.get(name, "") for name in names]
        if spare:
            self.notes.append(f"spare rows left out: {', '.join(spare)}")
        self.notes[:] = [*_gathered(self.notes)]
        return _written(out)


def _gathered(notes: Sequence[str]) -> Iterator[str]:
    """Give each note once, and those that begin alike as one."""
    for note in dict.fromkeys(notes):
        if not note.startswith((_RENAMED, _SUPPOSED)):
            yield note
    for begin in (_RENAMED, _SUPPOSED):
        if alike := [note.removeprefix(begin) for note in notes if note.startswith(begin)]:
            yield begin + ", ".join(alike)


def _written(rows: dict[int, list[str]]) -> str:
    text = StringIO()
    writer, at = csv.writer(text, lineterminator="\n"), 1
    for line, cells in rows.items():
        text.write("\n" * (line - at))
        writer.writerow([cell.replace("\n", " ") for cell in cells])
        at = max(line, at) + 1
    return text.getvalue()


def _is_spare(cells: dict[str, str]) -> bool:
    tag, device = cells.get("tag", "").lower(), cells.get("device", "").lower()
    first = sub(r"[\d_ ]+$", "", tag)
    told = cells.get("description", "").lower() in _SPARE
    return not tag or first in _SPARE or tag in _SPARE or (told and (not device or device in _SPARE))


class _Row:
    """One row being mended in place."""

    def __init__(self, cells: dict[str, str], notes: list[str]) -> None:
        self.cells, self.notes = cells, notes

    def mend(self, number: int) -> None:
        """Say each cell as `io.csv` says it; `number`: which row this is, from 0."""
        self._tag()
        self._type_and_direction()
        self._address(number)
        self._device()
        self._small()

    def _tag(self) -> None:
        tag = self.cells["tag"]
        name = sub(r"\W+", "_", tag, flags=0).strip("_") or "point"
        name = sub(r"_+", "_", name.encode("ascii", "ignore").decode())
        name = f"t_{name}" if name[:1].isdigit() else name
        if name != tag:
            self.cells["tag"] = name
            self.notes.append(f"{_RENAMED}{tag} is {name}")

    def _type_and_direction(self) -> None:
        cells = self.cells
        kind, way = cells.get("type", "").lower(), cells.get("direction", "").lower()
        address = cells.get("address", "").upper().lstrip("%")
        for word in (way, kind):
            if word in _IN or word in _OUT:
                cells["direction"] = "in" if word in _IN else "out"
                break
        else:
            if not way and address[:1] in ("I", "Q"):
                cells["direction"] = "in" if address[:1] == "I" else "out"
        numeric = kind in _NUMBER or way in ("ai", "ao") or fullmatch(r"[IQ]W\d+", address)
        if kind in _NUMBER or (numeric and kind in _BOOL):
            cells["type"] = "INT"
        elif kind in _BOOL:
            cells["type"] = "BOOL"

    def _address(self, number: int) -> None:
        cells = self.cells
        text = cells.get("address", "")
        bit = fullmatch(r"%?([IQ])X?\s*(\d+)[.:](\d+)", text, IGNORECASE)
        word = fullmatch(r"%?([IQ])W\s*(\d+)", text, IGNORECASE)
        if bit:
            cells["address"] = f"%{bit[1].upper()}X{int(bit[2])}.{int(bit[3])}"
        elif word:
            cells["address"] = f"%{word[1].upper()}W{int(word[2])}"
        elif not text and cells.get("direction") in ("in", "out"):
            letter = "I" if cells["direction"] == "in" else "Q"
            place = f"X{100 + number // 8}.{number % 8}" if cells["type"] == "BOOL" else f"W{200 + 2 * number}"
            cells["address"] = f"%{letter}{place}"
            self.notes.append("rows without an address got one from %IX100.0, %QX100.0, %IW200 on")

    def _device(self) -> None:
        cells = self.cells
        device = cells.get("device", "") or cells["tag"]
        if "." not in device:
            name = sub(r"\W+", "_", device).strip("_") or "device"
            words = f"{device} {cells.get('description', '')} {cells['tag']}"
            cells["device"] = f"{name}.{main_terminal(words, name, reads=cells.get('direction') != 'out')}"
            self.notes.append(f"{_SUPPOSED}{cells['device']}")

    def _small(self) -> None:
        cells = self.cells
        contact = cells.get("contact", "")
        cells["contact"] = "" if cells.get("direction") == "out" else _CONTACT.get(contact.lower(), contact)
        if fullmatch(r"\d+([.,]\d+)?", cells.get("filter", "")):
            cells["filter"] = f"{cells['filter'].replace(',', '.')}ms"
            self.notes.append("filter times without a unit are taken as ms")
        supply = cells.get("supply", "")
        if supply and not fullmatch(r"[A-Za-z]\w*", supply):
            volts = search(r"\d+", supply)
            cells["supply"] = f"supply{volts[0]}" if volts else sub(r"\W+", "_", supply).strip("_")
            self.notes.append(f"supply {supply!r} is called {cells['supply']}")
        if cells["type"] != "BOOL" and not cells.get("range"):
            current = cells["device"].rpartition(".")[2] in ("current", "signal", "analog", "value")
            cells["range"] = "4-20mA" if current else "0..100"
            self.notes.append(f"{cells['tag']} has no range in the list: taken as {cells['range']}")
