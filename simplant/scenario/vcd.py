"""A trace as a value change dump (IEEE 1364-2005 clause 18), for any waveform viewer.

A tag that is only ever 0 or 1 is a wire, other whole numbers are integers (wires of 64 bits and
more where 32 do not hold them), floats are reals, words and texts are integers whose meanings
stand in a comment. Rule: the trace is read twice and never held, so hours of it fit.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path
from typing import TextIO

from simplant.files import replacing
from simplant.scenario.trace import EVENT, Row, Rows
from simplant.timebase import Ns
from simplant.values import Value

_FIRST, _COUNT = 33, 94  # identifier codes are made of the printable characters ! to ~


@dataclass(slots=True)
class _Seen:
    """What the first reading finds of one name."""

    least: int = 0
    most: int = 0
    real: bool = False
    words: dict[str, int] = field(default_factory=dict)

    def take(self, value: Value) -> None:
        if isinstance(value, str):
            self.words.setdefault(value, len(self.words))
        elif isinstance(value, float):
            self.real = True
        else:
            self.least, self.most = min(self.least, value), max(self.most, value)

    def bits(self) -> int:
        """Give the width that holds every value: 1 for a signal, else 32, 64, 96 ..."""
        if self.real or self.words:
            return 64 if self.real else 32
        if self.least >= 0 and self.most <= 1:
            return 1
        signed = max(self.most.bit_length(), (-self.least - 1).bit_length()) + (self.least < 0)
        return -(-signed // 32) * 32


@dataclass(frozen=True, slots=True)
class _Variable:
    """How one name stands in the file."""

    code: str
    bits: int
    real: bool
    words: Mapping[str, int]

    @property
    def kind(self) -> str:
        if self.real:
            return "real"
        return "integer" if self.bits == 32 else "wire"

    def text(self, value: Value) -> str:
        """Give a value change."""
        if isinstance(value, str):
            value = self.words[value]
        if self.real:
            return f"r{float(value)!r} {self.code}"
        if self.bits == 1:
            return f"{int(value)}{self.code}"
        return f"b{int(value) % (1 << self.bits):b} {self.code}"

    @property
    def unknown(self) -> str:
        """Give the change to a value not known yet."""
        return f"x{self.code}" if self.bits == 1 else f"bx {self.code}"


def write_vcd(trace: Rows, path: Path | str, end: Ns | None = None) -> None:
    """Write a trace as VCD with a timescale of 1 ns.

    Args:
        trace: what to write; read twice.
        path: the file; it appears whole or not at all.
        end: last instant, so that viewers show the whole run; None = the last change.

    Raises:
        UsageError: the file cannot be written.

    Source: IEEE 1364-2005 clause 18; checked in tests/external/test_vcd_reader.py.
    """
    variables = _variables(trace)
    with replacing(path) as file:
        file.writelines(f"{line}\n" for line in _header(trace.header, variables))
        _changes(trace, variables, file, end)


def _variables(trace: Rows) -> dict[str, _Variable]:
    seen: dict[str, _Seen] = {}
    for _, name, value in trace:
        if name == EVENT:
            continue
        if name not in seen:
            seen[name] = _Seen()
        seen[name].take(value)
    return {name: _Variable(_code(n), s.bits(), s.real, s.words) for n, (name, s) in enumerate(seen.items())}


def _code(number: int) -> str:
    text = chr(_FIRST + number % _COUNT)
    while number := number // _COUNT:
        number -= 1
        text += chr(_FIRST + number % _COUNT)
    return text


def _header(header: Mapping[str, str], variables: Mapping[str, _Variable]) -> Iterator[str]:
    yield "$version simplant $end"
    for key, value in header.items():
        yield _comment(f"{key}: {value}")
    yield "$timescale 1 ns $end"
    yield f"$scope module {_identifier(header.get('machine', 'machine'))} $end"
    for scope, names in groupby(sorted(variables, key=_scope), key=_scope):
        yield from (f"$scope module {part} $end" for part in scope)
        for name in names:
            yield from _declaration(name.rpartition(".")[2], variables[name])
        yield from ("$upscope $end" for _ in scope)
    yield "$upscope $end"
    yield "$enddefinitions $end"


def _scope(name: str) -> tuple[str, ...]:
    return tuple(_identifier(part) for part in name.split(".")[:-1])


def _declaration(name: str, variable: _Variable) -> Iterator[str]:
    size = "" if variable.kind != "wire" or variable.bits == 1 else f" [{variable.bits - 1}:0]"
    yield f"$var {variable.kind} {variable.bits} {variable.code} {_identifier(name)}{size} $end"
    if variable.words:
        meanings = ", ".join(f"{number} = {json.dumps(word)}" for word, number in variable.words.items())
        yield _comment(f"{name}: {meanings}")


def _identifier(name: str) -> str:
    """Give a name as the standard takes it: letters, digits, `_` and `$`, no digit in front."""
    plain = "".join(letter if letter.isascii() and letter.isalnum() else "_" for letter in name) or "_"
    return f"_{plain}" if plain[0].isdigit() else plain


def _comment(text: str) -> str:
    plain = " ".join(text.replace("$", "$ ").split()).encode("ascii", "backslashreplace").decode()
    return f"$comment {plain} $end"


def _changes(trace: Rows, variables: Mapping[str, _Variable], file: TextIO, end: Ns | None) -> None:
    last = None
    for at, group in groupby(trace, key=lambda row: row[0]):
        rows = list(group)
        lines = _first(rows, variables) if last is None else (_change(row, variables) for row in rows)
        file.write(f"#{at}\n")
        file.writelines(f"{line}\n" for line in lines)
        last = at
    if end is not None and (last is None or end > last):
        file.write(f"#{end}\n")


def _change(row: Row, variables: Mapping[str, _Variable]) -> str:
    return _comment(str(row[2])) if row[1] == EVENT else variables[row[1]].text(row[2])


def _first(rows: list[Row], variables: Mapping[str, _Variable]) -> Iterator[str]:
    """Give the values of the first instant; what has none yet is unknown (a real cannot be, and stays out)."""
    values = {name: variables[name].text(value) for _, name, value in rows if name != EVENT}
    yield "$dumpvars"
    for name, variable in variables.items():
        if name in values or not variable.real:
            yield values.get(name, variable.unknown)
    yield "$end"
    yield from (_change(row, variables) for row in rows if row[1] == EVENT)
