"""The views of a failure table: what each fault does and who notices, and which faults the alarms speak for.

What they show is campaign/failure_table.py. Rule: worst first; what is left out of the table is counted.
"""

from collections import Counter
from dataclasses import dataclass
from typing import Final

from rich.console import Group, RenderableType
from rich.text import Text

from simplant.campaign.bounds import none_seen
from simplant.campaign.failure_table import (
    FAILED,
    HAZARD,
    KINDS,
    UNNOTICED,
    Effect,
    Row,
    alike,
    dictionary,
    never_raised,
)
from simplant.campaign.failures import START, Way
from simplant.cli.views.plain import plain_table
from simplant.rig.machine import Machine
from simplant.timebase import Ns, show

_BAD: Final = (FAILED, HAZARD + UNNOTICED, HAZARD)
_FEW: Final = 3


@dataclass(frozen=True, slots=True)
class Shown:
    """A failure table, as it is to be shown.

    Args:
        machine: of which.
        ways: in which it was used.
        faults: how many were tried.
        rows: of the table, worst first.
        effects: of every run.
        unseen: accepted hazards that no run showed.
        most: rows to show.
    """

    machine: Machine
    ways: tuple[Way, ...]
    faults: int
    rows: tuple[Row, ...]
    effects: tuple[Effect, ...]
    unseen: tuple[str, ...]
    most: int


def failures_view(shown: Shown) -> RenderableType:
    """Make the table."""
    columns = ("fault, and its cause", "begun in", "what it does", "noticed by")
    pieces: list[RenderableType] = []
    for kind in KINDS:
        rows = [row for row in shown.rows if row.first.kind == kind][: max(0, shown.most - _rows_before(shown, kind))]
        if rows:
            pieces += [plain_table(kind, columns, [_cells(row) for row in rows], most=shown.most), ""]
    left = len(shown.rows) - shown.most
    if left > 0:
        pieces += [Text(f"{left} more rows, milder ones (--rows, --csv, --json)", style="dim"), ""]
    counts = Counter(effect.kind for effect in shown.effects)
    pieces += [plain_table("Runs by what the fault does", ("", ">runs", ">faults"), _counts(shown, counts)), ""]
    return Group(*pieces, *_notes(shown), Text(_summary(shown, counts), style="bold"))


def _rows_before(shown: Shown, kind: str) -> int:
    return sum(KINDS.index(row.first.kind) < KINDS.index(kind) for row in shown.rows)


def _cells(row: Row) -> list[str | Text]:
    first = row.first
    fault = Text.assemble(first.fault, (f"\n{first.case.faults[-1][0].mode.cause}", "dim"))
    rules = "; ".join(f"{rule} ({word})" for rule, word in first.rules)
    style = "bold red" if first.kind in _BAD else ""
    does = Text.assemble((f"{rules}: " if rules else "", style), _few(row.told, "; or ", 1))
    return [fault, _few(row.onsets, ", "), does, _noticed(row)]


def _few(texts: tuple[str, ...], joint: str, few: int = _FEW) -> str:
    more = len(texts) - few
    return joint.join(texts[:few]) + (f" and {more} more" if more > 0 else "")


def _noticed(row: Row) -> str:
    if row.after is None:
        return "nobody"
    least, most = row.after
    times = _time(least) if least == most else f"{_time(least)} to {_time(most)}"
    return f"{row.first.alarms[0]} after {times}"


def _time(time: Ns) -> str:
    return show(Ns(round(time, -6))) if time >= 1_000_000 else show(time)


def _counts(shown: Shown, counts: Counter[str]) -> list[list[str]]:
    faults = {kind: {effect.fault for effect in shown.effects if effect.kind == kind} for kind in counts}
    return [[kind, str(counts[kind]), str(len(faults[kind]))] for kind in KINDS if counts[kind]]


def _notes(shown: Shown) -> list[RenderableType]:
    notes: list[str] = []
    if shown.faults < len(shown.machine.catalogue):
        return []
    silent = never_raised(shown.machine.alarm_texts, shown.effects)
    if silent:
        notes.append(f"alarms that none of these faults raises: {', '.join(silent)}")
    notes += [f"accepted hazard that none of these faults shows: {hazard}" for hazard in shown.unseen]
    return [Text(note, style="yellow") for note in notes]


def _summary(shown: Shown, counts: Counter[str]) -> str:
    runs = len(shown.effects)
    steps = len(dict.fromkeys(onset.step for way in shown.ways for onset in way.onsets if onset.step != START))
    ways = "one way" if len(shown.ways) == 1 else f"{len(shown.ways)} ways"
    head = f"{shown.faults} faults in {steps} steps of {ways} of use, {runs} runs"
    bad = sum(counts[kind] for kind in _BAD)
    if bad:
        return f"{head}: {bad} with a hazard that is not accepted, {counts[HAZARD + UNNOTICED]} of them unnoticed"
    bound = f"of runs drawn like these fewer than {none_seen(runs):.2g} (95 %)" if runs else "none was run"
    return f"{head}: no hazard that is not accepted; {bound}"


def dictionary_view(shown: Shown) -> RenderableType:
    """Make the fault dictionary: the alarms as they come, and the faults that they speak for."""
    rows = [
        [" then ".join(pattern), ", ".join(f"{fault} ({runs})" for fault, runs in faults.items())]
        for pattern, faults in dictionary(shown.effects).items()
    ]
    groups = [[str(len(group)), ", ".join(group)] for group in alike(shown.effects)]
    return Group(
        plain_table("Alarms, and the faults that raise them (in so many runs)", ("alarms", "faults"), rows),
        "",
        plain_table("Faults that the alarms cannot tell apart", (">", "faults"), groups),
        "",
        *_notes(shown),
    )
