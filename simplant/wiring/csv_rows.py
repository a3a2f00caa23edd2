"""Strict reading of a CSV table: rows, cells with places, and mistakes collected.

Which columns there are and what they mean stands in io_file.py. Rule: nothing stops at the
first mistake; a table is judged as a whole.
"""

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from io import StringIO
from typing import TypeVar

from simplant.errors import Place, SimplantError, WiringError

T = TypeVar("T")


def read_rows(text: str, file: str) -> list[tuple[int, list[str]]]:
    """Give line and trimmed cells of each row that is not empty.

    Args:
        text: comma or semicolon (whichever the first line has more of), with or without a byte order mark.
        file: what to call it in errors.

    Raises:
        WiringError: it is not CSV (a quote that never closes, for instance).
    """
    text = text.removeprefix("\ufeff")
    header = text.lstrip().partition("\n")[0]
    separator = ";" if header.count(";") > header.count(",") else ","
    reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
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


def _order(mistake: WiringError) -> tuple[int, int]:
    return (mistake.place.line, mistake.place.column) if mistake.place else (0, 0)


def raise_all(mistakes: list[WiringError]) -> None:
    """Raise one error that tells all mistakes in the order of the file, the first as its `what`; none: do nothing.

    Each mistake must have a `why` or a `mend`.
    """
    if not mistakes:
        return
    first, *others = sorted(mistakes, key=_order)
    tail = "".join(".\n" + str(other).removesuffix(".") for other in others)
    if first.mend:
        raise WiringError(first.what, first.why, first.mend + tail, first.place)
    raise WiringError(first.what, first.why + tail, "", first.place)


@dataclass(frozen=True, slots=True)
class Row:
    """One row, and the list that its mistakes go to.

    Args:
        file: what to call the file.
        line: where the row begins, from 1.
        names: the columns.
        cells: their text, perhaps fewer than columns.
        mistakes: what is wrong in the file so far.
    """

    file: str
    line: int
    names: list[str]
    cells: list[str]
    mistakes: list[WiringError]

    def text(self, column: str) -> str:
        """Give a cell, "" if the column or the cell is not there."""
        index = self.names.index(column) if column in self.names else len(self.cells)
        return self.cells[index] if index < len(self.cells) else ""

    def blame(self, column: str, what: str, why: str = "", mend: str = "") -> None:
        """Note a mistake in a cell."""
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
