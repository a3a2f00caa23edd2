"""A failure table in a page: read from the lines that `simplant fmea --csv` writes, those alike in one row.

What a fault does is found in campaign/. Rule: the kinds stand in the order of the file, worst first, and every kind is
counted, shown or not.
"""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from simplant.errors import Place, UsageError
from simplant.report.html import said, table, tag
from simplant.report.page import whole

COLUMNS: Final = (
    "way", "fault", "cause", "onset step", "onset s", "kind", "effect", "alarms", "first alarm after s", "rules broken",
    "broken after s",
)  # fmt: skip
"""Of the file, one line a run."""
_FEW: Final = 3


@dataclass(frozen=True, slots=True)
class Line:
    """One run: what a fault, begun in a step of a way of use, did, and who noticed."""

    way: str
    fault: str
    cause: str
    step: str
    onset: str
    kind: str
    effect: str
    alarms: str
    after: str
    rules: str
    broken_after: str


def read_lines(text: str, file: str) -> list[Line]:
    """Read what `simplant fmea --csv` wrote; raises `UsageError` if it is something else."""
    rows = list(csv.reader(text.splitlines()))
    if not rows or tuple(rows[0]) != COLUMNS:
        raise UsageError(f"{file} is no failure table", f"its columns would be {', '.join(COLUMNS)}",
                         "make one with simplant fmea MACHINE --csv FILE")  # fmt: skip
    for number, row in enumerate(rows[1:], 2):
        if len(row) != len(COLUMNS):
            raise UsageError(f"{Place(file, number)}: the line has {len(row)} fields, not {len(COLUMNS)}")
    return [Line(*row) for row in rows[1:]]


def failure_part(lines: Sequence[Line]) -> str:
    """Give the table, a part for each kind, and a count of all."""
    kinds: dict[str, list[Line]] = {}
    for line in lines:
        kinds.setdefault(line.kind, []).append(line)
    counts = [(kind, len(of), len({line.fault for line in of})) for kind, of in kinds.items()]
    told = table(
        ("what the fault does", ">runs", ">faults"), counts, caption=f"{len(lines)} runs by what the fault does"
    )
    for kind, of in kinds.items():
        heads = ("fault", "cause", "begun in", "what it does", "noticed by", ">runs")
        told += tag("h3", said(kind)) + table(heads, _rows(of), most=len(of))
    return told


def failure_page(machine: str, lines: Sequence[Line]) -> str:
    """Give a page of its own."""
    return whole(machine, "Failure table", tag("p", said(machine)) + tag("h1", "Failure table") + failure_part(lines))


def _rows(lines: Sequence[Line]) -> list[tuple[object, ...]]:
    alike: dict[tuple[str, ...], list[Line]] = {}
    for line in lines:
        alike.setdefault((line.fault, line.alarms.partition(";")[0], line.rules), []).append(line)
    return [
        (
            fault,
            of[0].cause,
            _few(dict.fromkeys(line.step for line in of)),
            _few(dict.fromkeys(f"{rules}: {line.effect}" if rules else line.effect for line in of), 1),
            f"{alarm} after {_span([line.after for line in of])}" if alarm else "nobody",
            len(of),
        )
        for (fault, alarm, rules), of in alike.items()
    ]


def _few(texts: Sequence[str] | dict[str, None], few: int = _FEW) -> str:
    listed = list(texts)
    more = len(listed) - few
    return "; ".join(listed[:few]) + (f" and {more} more" if more > 0 else "")


def _span(times: Sequence[str]) -> str:
    known = sorted(float(time) for time in times if time)
    if not known:
        return "the end"
    least, most = f"{known[0]:.3g} s", f"{known[-1]:.3g} s"
    return least if least == most else f"{least} to {most}"
