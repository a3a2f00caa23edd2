"""`simplant table FILE`: a program, function block or function alone, on a table of inputs.

It runs in rig/table.py. Rule: a difference from what is expected is a finding (exit code 1) that names the first one.
"""

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from simplant.cli.numbers import a_period, a_time
from simplant.errors import UsageError
from simplant.files import write_text
from simplant.rig.table import Bench, Column, Row, first_difference, look, run_table
from simplant.rig.table_file import difference_text, read_bench, read_table, shown, write_table
from simplant.timebase import Ns
from simplant.values import Value


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("table", help="run a program, block or function alone on a table of inputs")
    parser.add_argument("file", help="what runs: a file of a program (.st, .ladder, .xml), or a machine's logic.py")
    parser.add_argument("--in", dest="inputs", help="table of inputs (CSV): time, then one column for each")
    parser.add_argument("--unit", help="which program, function block or function of the file")
    parser.add_argument("--scan", type=a_period, default="10ms", help="scan period where the file gives none (10ms)")
    parser.add_argument("--for", dest="length", type=a_time, help="how long (until the last row of the tables)")
    parser.add_argument("--out", help="file for the outputs; without it they are printed")
    parser.add_argument("--expect", help="table of what is expected (CSV)")
    parser.add_argument("--show", default="", help="variables to show instead of the outputs: a,b,instance.Q")
    parser.add_argument("--every-scan", action="store_true", help="a row for each scan, not for each change")
    parser.add_argument("--strict", action="store_true", help="what the standard disallows is an error")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    bench, warnings = read_bench(Path(options.file), options.unit, strict=options.strict)
    for warning in warnings:
        Console(stderr=True, highlight=False, soft_wrap=True).print(Text(warning))
    rows = read_table(Path(options.inputs), bench) if options.inputs else []
    for name in (n for row in rows for n in row.values if n in bench.constants):
        raise UsageError(f"{name} is a constant", "a table gives values to variables", f"take the column {name} out")
    expected = read_table(Path(options.expect), bench) if options.expect else []
    scan: Ns = options.scan
    last = max((r.time for r in (*rows, *expected)), default=Ns(0))
    until = Ns(-(-last // scan) * scan) if options.length is None else options.length
    columns = _chosen(options.show, bench)
    if not options.expect or options.out:
        _print(
            _lines(bench, run_table(bench, rows, scan, until), columns, every=options.every_scan),
            columns,
            options,
            console,
        )
    return _compare(bench, rows, expected, scan, until, console) if options.expect else 0


def _chosen(names: str, bench: Bench) -> list[Column]:
    if names:
        return [bench.column(name.strip()) for name in _split(names)]
    outputs = [bench.columns[name] for name in bench.outputs]
    return outputs or [c for n, c in bench.columns.items() if "." not in n and n not in bench.inputs]


def _split(names: str) -> list[str]:
    """Split at commas outside brackets: `a,rows[1,2],timer.Q`."""
    found, depth = [""], 0
    for letter in names:
        depth += {"[": 1, "]": -1}.get(letter, 0)
        if letter == "," and depth == 0:
            found.append("")
        else:
            found[-1] += letter
    return [name for name in found if name.strip()]


def _lines(
    bench: Bench, found: Iterator[tuple[Ns, dict[str, Value]]], columns: Sequence[Column], *, every: bool
) -> Iterator[tuple[Ns, list[str]]]:
    before: list[str] | None = None
    known: list[tuple[Value | None, str]] = [(None, "")] * len(columns)
    for now, values in found:
        looked = [look(values, column, bench) for column in columns]
        known = [
            old if value is old[0] or (value and value == old[0]) else (value, shown(value, column))  # 0.0 is also -0.0
            for value, old, column in zip(looked, known, columns, strict=True)
        ]
        line = [text for _, text in known]
        if every or line != before:
            yield now, line
        before = line


def _print(
    lines: Iterator[tuple[Ns, list[str]]], columns: Sequence[Column], options: argparse.Namespace, console: Console
) -> None:
    text = write_table([column.name for column in columns], lines)
    if options.out:
        write_text(options.out, text)
    else:
        console.file.write(text)


def _compare(bench: Bench, rows: Sequence[Row], expected: Sequence[Row], scan: Ns, until: Ns, console: Console) -> int:
    different = first_difference(bench, run_table(bench, rows, scan, until), expected)
    if different is None:
        console.print(Text("as expected"))
        return 0
    console.print(Text(difference_text(different)))
    return 1
