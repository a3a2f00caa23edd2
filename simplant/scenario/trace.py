"""A trace: what changed in a run, line by line, as text that diffs well.

Recording while the rig runs is recorder.py; comparing two traces is compare.py. After a header
(shown, never compared) each line is `12.340000000 table_run_cmd 1`, or `12.340000000 ! text` for an event.
Rule: the same rows give the same bytes, everywhere.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import takewhile
from math import isnan
from pathlib import Path
from typing import Final, Protocol

from simplant.errors import Place, ScenarioError
from simplant.files import shown, write_text
from simplant.scenario.text_file import read_lines, read_text
from simplant.values import Value

Row = tuple[int, str, Value]
"""(instant in ns, name, new value); the name of an event is `EVENT`, its value the text."""

EVENT: Final = "!"
FORMAT: Final = "# simplant trace, format 1"
_SECOND: Final = 1_000_000_000
_WORD: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_.]*")
_NOT_WORDS: Final = frozenset(("nan", "inf"))
_TIME: Final = re.compile(r"(\d+)\.(\d{9})")
_INTEGER: Final = re.compile(r"-?\d+")


class Rows(Protocol):
    """Whatever gives a header and, each time it is asked, the rows in order of time."""

    @property
    def header(self) -> Mapping[str, str]:
        """What stands above the rows: `machine`, `scenario`, `seed`, `length`, `program`, `simplant`."""
        ...

    def __iter__(self) -> Iterator[Row]:
        """Give the rows."""
        ...


@dataclass(frozen=True, slots=True)
class Trace:
    """A whole trace in memory.

    Args:
        rows: changes and events in order of time.
        header: what to show above them; no part of the value.
    """

    rows: tuple[Row, ...] = ()
    header: Mapping[str, str] = field(default_factory=dict, compare=False)

    def __iter__(self) -> Iterator[Row]:
        """Give the rows."""
        return iter(self.rows)

    @classmethod
    def read(cls, path: Path | str) -> "Trace":
        """Read a trace file; raises `ScenarioError` with the line if it is not one."""
        return cls.parse(read_text(path, "trace"), shown(path))

    @classmethod
    def parse(cls, text: str, file: str = "trace") -> "Trace":
        """Read the text of a trace; `file` is its name in errors. Raises `ScenarioError`."""
        lines = text.split("\n")
        header = read_header(lines, file)
        return cls(tuple(read_rows(lines, file)), header)

    def text(self) -> str:
        """Give the trace as it stands in a file."""
        return header_text(self.header) + rows_text(self.rows)

    def write(self, path: Path | str) -> None:
        """Write the file whole or not at all; raises `UsageError` if it cannot be written."""
        write_text(path, self.text())


@dataclass(frozen=True, slots=True)
class TraceFile:
    """A trace that stays on disk: its rows are read anew each time, one at a time.

    Args:
        path: the file; raises `ScenarioError` if it is not a trace.
    """

    path: Path
    header: Mapping[str, str] = field(init=False)

    def __post_init__(self) -> None:
        """Read the header."""
        object.__setattr__(self, "header", read_header(read_lines(self.path, "trace"), str(self.path)))

    def __iter__(self) -> Iterator[Row]:
        """Give the rows."""
        return read_rows(read_lines(self.path, "trace"), str(self.path))


def header_text(header: Mapping[str, str]) -> str:
    """Give the lines above the rows."""
    lines = (f"# {key}: {' '.join(str(value).split())}\n" for key, value in header.items())
    return f"{FORMAT}\n{''.join(lines)}"


def rows_text(rows: Iterable[Row]) -> str:
    """Give rows as lines."""
    return "".join([f"{time_text(at)} {name} {event_or_value(name, value)}\n" for at, name, value in rows])


def time_text(at: int) -> str:
    """Give an instant in seconds with nine digits."""
    whole, rest = divmod(at, _SECOND)
    return f"{whole}.{rest:09d}"


def seconds_text(at: int | None, missing: str = "") -> str:
    """Give an instant in seconds with three digits, or all it needs, for people; `missing` for None."""
    if at is None:
        return missing
    text = time_text(at)
    return text[: max(len(text.rstrip("0")), len(text) - 6)]


def event_or_value(name: str, value: Value) -> str:
    """Give what stands behind a name on a line."""
    return str(value) if name == EVENT else value_text(value)


def value_text(value: Value) -> str:
    """Give a value: 1 or 0, a whole number, the shortest text of a float, a word, a text in quotes."""
    if value is True:
        return "1"
    if value is False:
        return "0"
    if isinstance(value, str):
        plain = _WORD.fullmatch(value) and value not in _NOT_WORDS
        return value if plain else json.dumps(value, ensure_ascii=False)
    return "nan" if isinstance(value, float) and isnan(value) else repr(value)


def read_header(lines: Iterable[str], file: str) -> dict[str, str]:
    """Read the lines above the rows; raises `ScenarioError` if the first is not ours."""
    above = iter(lines)
    if next(above, "").rstrip("\n") != FORMAT:
        raise ScenarioError("this is not a trace", f"its first line is not {FORMAT!r}", place=Place(file, 1))
    pairs = (line[2:].rstrip("\n").partition(": ") for line in takewhile(lambda line: line[:1] == "#", above))
    return {key: value for key, _, value in pairs}


def read_rows(lines: Iterable[str], file: str) -> Iterator[Row]:
    """Read the rows; lines that begin with `#` and empty ones are passed over.

    Raises:
        ScenarioError: a line is not a row, or its time is before that of the row above.
    """
    before = 0
    for number, line in enumerate(lines, 1):
        if line[:1] in ("#", "\n", ""):
            continue
        try:
            row = _read_row(line.rstrip("\n"))
        except ValueError as error:
            what, why = (*error.args, "")[:2]
            raise ScenarioError(what, why, place=Place(file, number)) from None
        if row[0] < before:
            raise ScenarioError(f"{time_text(row[0])} comes after {time_text(before)}", place=Place(file, number))
        before = row[0]
        yield row


def _read_row(line: str) -> Row:
    time, _, rest = line.partition(" ")
    name, space, text = rest.partition(" ")
    match = _TIME.fullmatch(time)
    if match is None or not name or not space:
        raise ValueError(
            f"this line is not a change: {line!r}", "a change is a time with nine digits, a name and a value"
        )
    at = int(match[1]) * _SECOND + int(match[2])
    return at, name, text if name == EVENT else _read_value(text)


def _read_value(text: str) -> Value:
    if _INTEGER.fullmatch(text):
        return int(text)
    if _WORD.fullmatch(text) and text not in _NOT_WORDS:
        return text
    try:
        return str(json.loads(text)) if text.startswith('"') else float(text)
    except ValueError:
        raise ValueError(f"{text!r} is not a value", "it must be a number, a word or a text in quotes") from None
