"""Tables of inputs and outputs as CSV files: a column `time` with unit, then one column for each variable.

What runs on them is table.py. Values are literals of Structured Text (TRUE, 12, 16#FF, T#250ms, 'text') or 1 and 0 for
BOOL. Rule: a value that cannot be read is told with its line and column.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from simplant.errors import Place, ProgramError, SimplantError, UsageError
from simplant.logic.layout import Layout, layouts
from simplant.logic.program import Program
from simplant.logic.st.literals import read_literal
from simplant.logic.st.project import read_project
from simplant.logic.st.tasks import lay_out
from simplant.logic.st.types import Scalar
from simplant.rig.load import call
from simplant.rig.table import Bench, Column, Difference, Row
from simplant.scenario.text_file import read_text
from simplant.timebase import Ns, duration
from simplant.values import LREAL, Kind, Value, show_value
from simplant.wiring.io_file import read_io


def read_bench(path: Path, unit: str | None = None, *, strict: bool = False) -> tuple[Bench, Sequence[str]]:
    """Read what runs: a Structured Text file, or a machine's logic in Python (its I/O list beside it).

    Returns:
        It, and the warnings about its text.

    Raises:
        SourceErrors: the text is wrong.
        UsageError: the file cannot be read, or it is not clear what in it is meant.
    """
    if path.suffix.lower() == ".py":
        return _python(path), ()
    project = read_project(path, strict=strict)
    laid = lay_out(project, unit)
    columns = {name: _column(name, scalar) for name, scalar in laid.types.items()}
    constants = {name: (_column(name, scalar), value) for name, (scalar, value) in laid.constants.items()}
    bench = Bench(laid.layouts, columns, laid.inputs, laid.outputs, laid.timers, laid.programs, constants)
    return bench, [project.report.told(m) for m in project.report.mistakes]


def _column(name: str, scalar: Scalar) -> Column:
    long = scalar.base.kind is Kind.DATE and scalar.name[0] == "L"
    return Column(name, scalar.base, dict((scalar.words or {}).values()), long=long)


def _python(path: Path) -> Bench:
    program = call(path, "build", read_io(path.parent / "io.csv").tags)
    if not isinstance(program, Program):
        raise UsageError(f"build() in {path.name} gives no program", mend="end it with: return program")
    laid = layouts(program)
    inputs = [n for layout in laid for n in layout.inputs]
    outputs = [layout.slots[p].name for layout in laid for p in layout.outputs]
    return bench_of(laid, inputs, outputs)


def bench_of(laid: Sequence[Layout], inputs: Sequence[str], outputs: Sequence[str]) -> Bench:
    """Give what runs of a program that is laid out."""
    columns: dict[str, Column] = {}
    for layout in laid:
        words = {s.name: {w: n for n, w in enumerate(s.words)} for s in layout.slots}
        for name, type_ in layout.types.items():
            columns[name] = Column(name, type_, words.get(name, {}))
    return Bench(laid, columns, inputs, outputs)


def read_table(path: Path, bench: Bench) -> list[Row]:
    """Read a table.

    Raises:
        ScenarioError: it is not there or is no text.
        UsageError: something in it is wrong, with line and column.
    """
    text = read_text(path, "table")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if ";" in text.partition("\n")[0] else ",")
    try:
        lines = [(reader.line_num, cells) for cells in reader]
    except csv.Error as error:
        place = Place(str(path), reader.line_num)
        raise UsageError("the table is not a CSV file", str(error), place=place) from None
    header = lines[0][1] if lines else []
    if not header or header[0].strip().lower() != "time":
        raise UsageError(f"{path}:1: the first column is not `time`", mend="begin with: time,name,name")
    names = [name.strip() for name in header[1:]]
    columns = []
    for number, name in enumerate(names, start=2):
        try:
            columns.append(bench.column(name))
        except UsageError as error:
            raise UsageError(error.what, error.why, error.mend, Place(str(path), 1, number)) from None
    rows: list[Row] = []
    for line, cells in lines[1:]:
        if any(cell.strip() for cell in cells):
            rows.append(_row(cells, columns, Place(str(path), line), rows))
    return rows


def _row(cells: Sequence[str], columns: Sequence[Column], place: Place, before: Sequence[Row]) -> Row:
    if len(cells) > len(columns) + 1:
        raise UsageError(f"{len(cells)} values stand in {len(columns) + 1} columns", place=place)
    try:
        time = duration(cells[0].strip().removeprefix("T#").removeprefix("t#") if cells[0].strip() != "0" else "0s")
    except SimplantError as error:
        raise UsageError(error.what, error.why, error.mend, Place(place.file, place.line, 1)) from None
    if before and time < before[-1].time:
        raise UsageError(f"{cells[0]} comes before the row above", mend="sort the rows by time", place=place)
    values: dict[str, Value] = {}
    for number, (cell, column) in enumerate(zip(cells[1:], columns, strict=False), start=2):
        if cell.strip():
            try:
                values[column.name] = read_value(cell.strip(), column)
            except SimplantError as error:
                raise UsageError(error.what, error.why, error.mend, Place(place.file, place.line, number)) from None
    return Row(time, values)


def read_value(text: str, column: Column) -> Value:
    """Read a value for a column; raises `ProgramError`."""
    words = {word.upper(): value for word, value in column.words.items()}
    if (word := text.rpartition("#")[2].upper()) in words:
        return words[word]
    kind = column.type.kind
    if kind is Kind.REFERENCE or (kind is Kind.STRING and text[0] != "'"):
        return text
    if kind is Kind.BOOL and text.upper() in ("TRUE", "FALSE", "1", "0"):
        return text.upper() in ("TRUE", "1")
    if kind is Kind.TIME and "#" not in text and not text.lstrip("-").isdigit():
        return -int(duration(text[1:])) if text[0] == "-" else int(duration(text))
    try:
        value, type_ = read_literal(text)
    except (SimplantError, ValueError, IndexError) as error:
        raise ProgramError(f"{text!r} is no {column.type.name}", getattr(error, "what", "")) from None
    if type_ is not None and type_.kind is not kind:
        raise ProgramError(f"{text!r} is a {type_.name}, {column.name} is {column.type.name}")
    if type_ is None and kind is Kind.TIME and value != 0:
        raise ProgramError(f"{text!r} has no unit", mend=f"write T#{text}ms")
    return column.type.check(value)


def shown(value: Value, column: Column) -> str:
    """Write a value of a column as it can be read again."""
    for word, number in column.words.items():
        if number == value:
            return word
    if column.type is LREAL and isinstance(value, int):
        value = float(value)
    return f"{'L' if column.long else ''}{show_value(value, column.type)}"


def show_time(time: Ns) -> str:
    """Write an instant in milliseconds: `120ms`, `0.5ms`."""
    whole, rest = divmod(time, 1_000_000)
    return f"{whole}ms" if not rest else f"{whole}.{rest:06d}".rstrip("0") + "ms"


def write_table(names: Sequence[str], rows: Iterable[tuple[Ns, Sequence[str]]]) -> str:
    """Write a table."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["time", *names])
    writer.writerows([show_time(time), *values] for time, values in rows)
    return out.getvalue()


def difference_text(different: Difference) -> str:
    """Say what is not as expected."""
    column = different.column
    wanted, found = shown(different.expected, column), shown(different.found, column)
    return f"first difference at {show_time(different.time)}: {column.name} is {found}, expected {wanted}"


__all__ = ["difference_text", "read_bench", "read_table", "read_value", "show_time", "shown", "write_table"]
