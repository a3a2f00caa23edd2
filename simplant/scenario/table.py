"""A trace as a table (CSV): one row per instant at which anything changed, one column per name.

Time is in seconds with nine digits; a cell holds the value after that instant and is empty until
the first one. Events are left to the trace. Rule: the trace is read twice and never held.
"""

import csv
from itertools import groupby
from pathlib import Path

from simplant.files import replacing
from simplant.scenario.trace import EVENT, Rows, time_text
from simplant.values import Value


def write_table(trace: Rows, path: Path | str) -> None:
    """Write a trace as CSV (RFC 4180 quoting, UTF-8, line feeds).

    Args:
        trace: what to write; read twice.
        path: the file; it appears whole or not at all.

    Raises:
        UsageError: the file cannot be written.
    """
    names = list(dict.fromkeys(name for _, name, _ in trace if name != EVENT))
    column = {name: number for number, name in enumerate(names)}
    cells = [""] * len(names)
    with replacing(path) as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["time_s", *names])
        for at, rows in groupby(trace, key=lambda row: row[0]):
            changes = [(name, value) for _, name, value in rows if name != EVENT]
            for name, value in changes:
                cells[column[name]] = _cell(value)
            if changes:
                out.writerow([time_text(at), *cells])


def _cell(value: Value) -> str:
    if isinstance(value, str):
        return value
    return str(int(value)) if isinstance(value, bool) else repr(value)
