"""A cause-and-effect matrix as a table (CSV): a row for each cause, a column for each effect, a mark where they meet.

What the marks demand of a run is matrix.py. Rule: everything in the table is known to the machine or refused, with its
place; an empty cell is a demand too.
"""

import csv
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from simplant.errors import Place, RuleError, SimplantError, UsageError, nearest
from simplant.expr import Expr, Vocabulary, read
from simplant.faults import CatalogueEntry
from simplant.files import shown
from simplant.rig.machine import Machine
from simplant.rig.words import words_of
from simplant.scenario.text_file import read_text
from simplant.timebase import Ns, duration, ms, seconds
from simplant.values import BOOL

OWN: Final = ("cause", "when", "by", "for", "given", "while")
"""The columns that say what a cause is; all others are effects."""
_AT_ONCE: Final = Ns(0)
_WITHIN: Final = Ns(ms(100))
_LASTS: Final = Ns(seconds(1))


class Mark(Enum):
    """What a cell demands."""

    NONE = ""
    TRIP = "trip"
    LATCH = "latch"
    RESET = "reset"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: the mark, the time within which the effect comes (or goes), and before which it does not."""

    mark: Mark = Mark.NONE
    within: Ns = _WITHIN
    after: Ns = _AT_ONCE

    def __str__(self) -> str:
        """Give it as the table has it, without what goes without saying."""
        return self.mark.value


@dataclass(frozen=True, slots=True, eq=False)
class Cause:
    """One row.

    Args:
        name: for people.
        when: it is there.
        part, action, value: the act that brings it about; or
        fault: the fault that does.
        lasts: how long it is there in a drill.
        given: the cause that is brought about before it, and gone again (empty: none).
        only: what must hold just before it, for a drill to count; None: nothing.
        cells: one for each effect.
        place: its line.
    """

    name: str
    when: Expr
    part: str
    action: str
    value: float | None
    fault: CatalogueEntry | None
    lasts: Ns
    given: str
    only: Expr | None
    cells: tuple[Cell, ...]
    place: Place


@dataclass(frozen=True, slots=True, eq=False)
class Effect:
    """One column: its name, and the expression that is true while the effect is there."""

    name: str
    there: Expr


@dataclass(frozen=True, slots=True, eq=False)
class Matrix:
    """A cause-and-effect matrix."""

    causes: tuple[Cause, ...]
    effects: tuple[Effect, ...]

    def cause(self, name: str) -> Cause:
        """Give a cause by name."""
        return next(cause for cause in self.causes if cause.name == name)


def read_matrix(machine: Machine) -> Matrix:
    """Read the matrix of a machine: `matrix.csv` in its folder.

    Raises:
        UsageError: it has none.
        RuleError: something in it is wrong, with its place.
    """
    path = machine.folder / "matrix.csv"
    if not path.is_file():
        mend = f"write {shown(path)}: {','.join(OWN)} and a column for each effect"
        raise UsageError(f"{machine.name} has no cause-and-effect matrix", mend=mend)
    return _Reader(machine, shown(path)).matrix(read_text(path, "cause-and-effect matrix"))


class _Reader:
    def __init__(self, machine: Machine, file: str) -> None:
        self.machine, self.file = machine, file
        self.words = Vocabulary(words_of(machine.program, machine.io, machine.truths, machine.truth))

    def matrix(self, text: str) -> Matrix:
        mark = ";" if ";" in text.partition("\n")[0] else ","  # as a spreadsheet saves it, here or there
        rows = csv.reader(text.removeprefix("\ufeff").splitlines(keepends=True), strict=True, delimiter=mark)
        try:
            lines = [(rows.line_num, [c.strip() for c in row]) for row in rows if any(c.strip() for c in row)]
        except csv.Error as error:
            raise RuleError("the matrix is not a CSV file", str(error), place=self.place(rows.line_num)) from None
        if not lines:
            raise RuleError("the matrix is empty", mend=f"begin it with {','.join(OWN)}", place=self.place(1))
        (line, header), *rest = lines
        effects = self.effects(header, line)
        causes: list[Cause] = []
        for line, row in rest:
            causes.append(self.cause(row, header, line, [cause.name for cause in causes]))
        return Matrix(tuple(causes), effects)

    def effects(self, header: Sequence[str], line: int) -> tuple[Effect, ...]:
        if tuple(header[: len(OWN)]) != OWN or len(header) == len(OWN):
            raise RuleError(
                "the matrix does not begin as it should", f"its first columns are {', '.join(OWN)}, then one an effect",
                place=self.place(line),
            )  # fmt: skip
        found: list[Effect] = []
        for title in header[len(OWN) :]:
            name, colon, text = title.partition(":")
            effect = Effect(name.strip(), self.expression(text if colon else title, line))
            if effect.name in [e.name for e in found]:
                raise RuleError(f"the effect {effect.name!r} is there twice", mend="keep one", place=self.place(line))
            found.append(effect)
        return tuple(found)

    def cause(self, row: Sequence[str], header: Sequence[str], line: int, above: Collection[str]) -> Cause:
        if len(row) > len(header):
            raise RuleError("the row is longer than the header", "a cell with a comma stands in quotes",
                            place=self.place(line))  # fmt: skip
        name, when, by, lasts, given, only = (*row, *[""] * len(header))[: len(OWN)]
        if not name or name in above:
            raise RuleError(f"the cause {name!r} is there twice" if name else "a cause has no name",
                            place=self.place(line))  # fmt: skip
        if given and given not in above:
            raise RuleError(f"there is no cause {given!r} above", "what is given comes first", nearest(given, above),
                            self.place(line))  # fmt: skip
        part, action, value, fault = self.brought(by, line)
        cells = [self.cell(text, line) for text in row[len(OWN) :]]
        cells += [Cell()] * (len(header) - len(OWN) - len(cells))
        return Cause(
            name, self.expression(when, line), part, action, value, fault,
            self.time(lasts, line) if lasts else _LASTS, given,
            self.expression(only, line) if only else None, tuple(cells), self.place(line),
        )  # fmt: skip

    def brought(self, text: str, line: int) -> tuple[str, str, float | None, CatalogueEntry | None]:
        """Read `part action [value]`, or a fault `target.kind`."""
        parts = text.split()
        if len(parts) == 1:
            entries = {str(entry): entry for entry in self.machine.catalogue}
            if text not in entries:
                raise RuleError(f"there is no fault {text!r}", mend=nearest(text, entries), place=self.place(line))
            return "", "", None, entries[text]
        plans = self.machine.plans
        if len(parts) not in (2, 3) or parts[0] not in plans:
            mend = nearest(parts[0], plans) if parts else "write a part and what is done to it, or part.fault"
            raise RuleError(f"{text!r} brings nothing about", "it is neither an act nor a fault", mend,
                            self.place(line))  # fmt: skip
        actions = plans[parts[0]].kind.ACTIONS
        if parts[1] not in actions:
            raise RuleError(f"nobody can {parts[1]!r} {parts[0]}", mend=nearest(parts[1], actions),
                            place=self.place(line))  # fmt: skip
        return parts[0], parts[1], self.number(parts[2], line) if len(parts) == 3 else None, None

    def cell(self, text: str, line: int) -> Cell:
        if not text:
            return Cell()
        first, *words = text.split()
        marks = [mark.value for mark in Mark if mark.value]
        if first not in marks:
            raise RuleError(f"there is no mark {first!r}", f"a cell is empty or one of {', '.join(marks)}",
                            nearest(first, marks), self.place(line))  # fmt: skip
        times: dict[str, Ns] = {}
        while words:
            if words[0] not in ("within", "after") or len(words) == 1 or words[0] in times:
                raise RuleError(f"{text!r} cannot be read", "after the mark stand within TIME and after TIME",
                                "write for instance: trip within 50ms", self.place(line))  # fmt: skip
            times[words[0]] = self.time(words[1], line)
            words = words[2:]
        return Cell(Mark(first), times.get("within", _WITHIN), times.get("after", Ns(0)))

    def expression(self, text: str, line: int) -> Expr:
        try:
            found = read(text, self.words, self.place(line))
        except SimplantError as error:
            raise RuleError(f"{text.strip()!r}: {error.what}", error.why, error.mend, self.place(line)) from None
        if found.type is not BOOL:
            raise RuleError(f"{text.strip()!r} is not true or false", place=self.place(line))
        return found

    def time(self, text: str, line: int) -> Ns:
        try:
            return duration(text)
        except SimplantError as error:
            raise RuleError(error.what, error.why, error.mend, self.place(line)) from None

    def number(self, text: str, line: int) -> float:
        try:
            return float(text)
        except ValueError:
            raise RuleError(f"{text!r} is no number", place=self.place(line)) from None

    def place(self, line: int) -> Place:
        return Place(self.file, line)
