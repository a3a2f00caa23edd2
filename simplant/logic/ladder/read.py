"""Reading a file of program units whose bodies are ladder drawings; declarations are the standard's text.

Between END_VAR and the end of a unit stand rungs: comment, label, drawing, parted by empty rows; what else stands in
the file is text.py's and the Structured Text reader's affair. Rule: every mistake is told at its place in the drawing;
one mistake costs one rung.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from simplant.errors import Place
from simplant.logic.ladder.paths import line_of
from simplant.logic.ladder.rows import Row, rows_of
from simplant.logic.ladder.sheet import Sheet
from simplant.logic.ladder.tree import Ladder, Rung, Series
from simplant.logic.ladder.wires import Wires
from simplant.logic.st.declared import File, Unit
from simplant.logic.st.parse import parse
from simplant.logic.st.report import Fault, Report


def read_ladder(report: Report) -> File:
    """Read a source.

    Args:
        report: the text; every mistake is noted there.

    Returns:
        What could be read; a unit without drawings has its statements.
    """
    rows = rows_of(report.text)
    lines = report.text.split("\n")
    for row in (*_without_rail(report, rows), *(each for each in rows if each.kind in ("drawn", "label"))):
        lines[row.line - 1] = " " * len(lines[row.line - 1])
    text = Report(report.name, "\n".join(lines), report.strict)
    file = parse(text)
    for mistake in text.mistakes:
        report.add(mistake)
    units = list(file.units)
    for body in _bodies(rows):
        _place(report, body, units)
    return replace(file, units=tuple(units))


def _without_rail(report: Report, rows: Sequence[Row]) -> Iterator[Row]:
    """Tell of drawings that have no left rail; give the rows that would make no sense as statements."""
    body: list[Row] = []
    for row in (*rows, Row("end", len(rows) + 1, "")):
        if row.kind not in ("begin", "end"):
            body.append(row)
            continue
        loose = [each for each in body if each.kind == "loose"]
        if loose:
            text = loose[0].text
            lines = any("\u2500" <= letter <= "\u257f" for letter in text)
            why = "it has letters that only look like | - +" if lines else "it begins with no rail"
            column = len(text) - len(text.lstrip()) + 1
            report.error(Place(report.name, loose[0].line, column), "this is not read as part of a drawing", why,
                         "begin each row of a rung with |, and draw with | - +", len(text.strip()))  # fmt: skip
            yield from (each for each in body if each.kind in ("loose", "other"))
        body = []


def _bodies(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Give the rows of each body that has drawings."""
    body: list[Row] = []
    for row in (*rows, Row("end", len(rows) + 1, "")):
        if row.kind in ("begin", "end"):
            if any(each.kind == "drawn" for each in body):
                yield body
            body = []
        else:
            body.append(row)


def _place(report: Report, body: list[Row], units: list[Unit]) -> None:
    """Give a body to the unit it stands in."""
    first = next(row for row in body if row.kind == "drawn")
    around = [n for n, unit in enumerate(units) if unit.place.line <= first.line]
    if not around or isinstance(units[around[-1]].body, Ladder):
        report.error(Place(report.name, first.line, 1), "a rung stands outside a program unit",
                     mend="write PROGRAM name, VAR ... END_VAR before it and END_PROGRAM behind it")  # fmt: skip
        return
    for row in body:
        if row.kind == "other" and not any(each.kind == "loose" for each in body):
            column = len(row.text) - len(row.text.lstrip()) + 1
            report.error(Place(report.name, row.line, column), "text stands between rungs",
                         "a rung's rows begin with |, its label ends with a colon", "write a comment (* *)",
                         len(row.text.strip()))  # fmt: skip
    rungs = tuple(_Rungs(report).of(body))
    units[around[-1]] = replace(units[around[-1]], body=Ladder(Place(report.name, first.line, 1), rungs))


@dataclass(slots=True)
class _Rungs:
    """Puts rows together to rungs; `comment` and `label` wait for their drawing."""

    report: Report
    comment: list[str] = field(default_factory=list)
    label: Row | None = None
    drawn: list[Row] = field(default_factory=list)

    def of(self, rows: Sequence[Row]) -> Iterator[Rung]:
        """Give the rungs of a body."""
        for row in rows:
            if row.kind == "drawn":
                self.drawn.append(row)
                self.comment += [row.remark] if row.remark else []
                continue
            yield from self.done()
            if row.kind == "comment":
                if self.label is not None:
                    yield self.rung(Series(()), row.line)
                self.comment.append(row.text)
            elif row.kind == "label":
                if self.label is not None:
                    yield self.rung(Series(()), row.line)
                self.label = row
        yield from self.done()
        if self.comment or self.label is not None:
            yield self.rung(Series(()), rows[-1].line)

    def done(self) -> Iterator[Rung]:
        """Give the rung of the rows drawn so far, if there are any."""
        if self.drawn:
            drawn, self.drawn = self.drawn, []
            yield self.rung(self.line(drawn), drawn[0].line)

    def rung(self, line: Series, at: int) -> Rung:
        """Make a rung of what waits and a line."""
        label, comment = self.label, "\n".join(self.comment)
        self.comment, self.label = [], None
        place = Place(self.report.name, label.line if label is not None else at, 1)
        return Rung(place, label.text if label is not None else "", comment, line)

    def line(self, rows: Sequence[Row]) -> Series:
        """Read a drawing; what cannot be read is told, and left empty."""
        before = len(self.report.errors)
        sheet = Sheet(self.report, rows[0].line, [row.text.replace("\t", " ").rstrip() for row in rows])
        if len(self.report.errors) > before:  # a box is not closed: what its rows say cannot be known
            return Series(())
        wires = Wires(sheet)
        try:
            edges = wires.follow()
            if len(self.report.errors) == before:
                wires.tell_unused()
            if len(self.report.errors) == before:
                return line_of(edges, wires.joints)
        except Fault as fault:
            self.report.add(fault.mistake)
        return Series(())
