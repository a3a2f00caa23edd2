"""What happened, above a chart: acts, faults, forces, alarms, broken rules, events, each on a lane of its own.

Rule: a mark has a text; its lane and shape say what it is, never a colour.
"""

from dataclasses import dataclass

from simplant.report.shown import Shown
from simplant.rules import Outcome
from simplant.timebase import NEVER


@dataclass(frozen=True, slots=True)
class Mark:
    """Something from `start` to `end` (ns; the same for an instant)."""

    start: int
    end: int
    text: str


Lanes = dict[str, list[Mark]]
"""Heading of a lane -> its marks in order of time."""


def lanes_of(shown: Shown) -> Lanes:
    """Give the lanes that have something on them."""
    lanes: Lanes = {"acts": [], "faults": [], "forces": [], "alarms": [], "broken rules": [], "events": []}
    end = shown.ended
    if shown.run is not None:
        happens = shown.run.scenario.shifted()
        lanes["acts"] = [
            Mark(s.at, s.at if s.duration == NEVER else min(end, s.at + s.duration), _act(s.on, s.do, s.value))
            for s in happens.stimuli
        ]
        lanes["acts"] += [Mark(w.at, w.at, f"write {w.tag} = {w.value}") for w in happens.writes]
        lanes["faults"] = [
            Mark(f.onset, end if f.duration == NEVER else min(end, f.onset + f.duration), str(f))
            for f in happens.all_faults
        ]
        lanes["forces"] = [Mark(f.at, min(end, f.ends), f"{f.tag} held at {f.value}") for f in happens.forces]
        lanes["broken rules"] = [
            Mark(v.time, v.time, v.rule)
            for v in shown.run.verdicts
            if v.outcome is Outcome.BROKEN and v.time is not None
        ]
    lanes["alarms"] = [
        Mark(a.time, end if a.cleared is None else a.cleared, f"{a.name} (first-out)" if a.first_out else a.name)
        for a in shown.alarms
    ]
    lanes["events"] = [Mark(e.time, e.time, e.text) for e in shown.events]
    return {head: _joined(marks) for head, marks in lanes.items() if marks}


def _joined(marks: list[Mark]) -> list[Mark]:
    """Sort marks; those of one time become one, or the last would hide the others."""
    texts: dict[tuple[int, int], list[str]] = {}
    for mark in sorted(marks, key=lambda m: m.start):
        texts.setdefault((mark.start, mark.end), []).append(mark.text)
    return [Mark(start, end, "; ".join(told)) for (start, end), told in texts.items()]


def _act(on: str, do: str, value: object) -> str:
    return f"{do} {on}" if value is None else f"{do} {on} {value}"


def plain(lanes: Lanes) -> list[dict[str, object]]:
    """Give lanes as the page's script reads them."""
    return [{"name": head, "marks": [[m.start, m.end, m.text] for m in marks]} for head, marks in lanes.items()]
