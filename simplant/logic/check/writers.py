"""Double coils: tags that two assignments fight for in one scan, or from two tasks.

Where assignments are found is reading.py. Rule: two assignments are at peace if at most one is done in a scan
(exclusive steps or conditions, decided exactly), if they are one set and one reset coil, or if both are actions
of one chart, which are meant to follow each other.
"""

from collections.abc import Iterator
from itertools import combinations

from simplant.expr import Const
from simplant.logic.check.findings import Finding, Severity, listed
from simplant.logic.check.view import Spot, View, Writer
from simplant.tags import Direction
from simplant.values import BOOL

_MEND = "let one rung or one sequence write it, or make the conditions exclude each other"


def check_writers(view: View) -> Iterator[Finding]:
    """Give the double coils, one finding for tags with the same writers."""
    groups: dict[tuple[Severity, str, tuple[str, ...]], list[tuple[str, list[Writer]]]] = {}
    for name, writers in view.writers.items():
        fighting, open_ = _fighting(view, writers)
        if named := fighting or open_:
            severity = _severity(view, name, named) if fighting else "note"
            why = _why(severity, named) if fighting else ""
            places = tuple(dict.fromkeys(str(w.write.place) for w in named))
            groups.setdefault((severity, why, places), []).append((name, named))
    for (severity, why, _), found in groups.items():
        yield _finding(severity, why, found)


def _fighting(view: View, writers: list[Writer]) -> tuple[list[Writer], list[Writer]]:
    """Give the writers that can be active in one scan, and those where that is not decided."""
    if _is_latch(writers):
        return [], []
    fighting: list[Writer] = []
    open_: list[Writer] = []
    for first, second in combinations(writers, 2):
        if first.spot.task == second.spot.task and _meant(first, second):
            continue
        apart = first.spot.task == second.spot.task and view.exclusive(first, second)
        if not apart:
            (open_ if apart is None else fighting).extend((first, second))
    return [w for w in writers if w in fighting], [w for w in writers if w in open_]


def _is_latch(writers: list[Writer]) -> bool:
    """Whether they are one set and one reset: a coil each, or one action of a chart."""
    sides: dict[object, set[Spot]] = {True: set(), False: set()}
    for writer in writers:
        value = writer.write.value
        if writer.write.always or not isinstance(value, Const) or value.type is not BOOL:
            return False
        sides[value.value].add(writer.spot)
    return len(sides[True]) == len(sides[False]) == 1 and len(_tasks(writers)) == 1


def _meant(first: Writer, second: Writer) -> bool:
    group = first.write.group
    return bool(group) and group == second.write.group


def _tasks(writers: list[Writer]) -> list[str]:
    return list(dict.fromkeys(w.spot.task for w in writers))


def _severity(view: View, name: str, writers: list[Writer]) -> Severity:
    tag = view.program.declared.get(name)
    if tag is None or tag.direction is Direction.OUTPUT or len(_tasks(writers)) > 1:
        return "error"
    if sum(w.write.always for w in writers) > 1:
        return "error"
    return "warning" if tag.type is BOOL else "note"


def _why(severity: Severity, writers: list[Writer]) -> str:
    if len(_tasks(writers)) > 1:
        return f"tasks {listed(_tasks(writers))} write it, each over the other"
    if len([w for w in writers if w.write.always]) > 1:
        return "each writes in every scan, so only the last counts"
    if severity == "note":
        return "they can act in one scan, in this order"
    return "they can act in one scan; then the last counts"


def _finding(severity: Severity, why: str, found: list[tuple[str, list[Writer]]]) -> Finding:
    names = [name for name, _ in found]
    writers = found[0][1]
    places = [f"{w.write.how} at {w.write.place}" for w in writers]
    ways = listed([f"{p} ({n} times)" if (n := places.count(p)) > 1 else p for p in places])
    verb = "is" if len(names) == 1 else "are"
    place = writers[-1].write.place
    if not why:
        what = f"{listed(names)} {verb} written by {ways}; whether at most one acts in a scan was not decided"
        return Finding("note", "not decided", what, "there are too many cases to try", "", place)
    kind, mend = ("several writers", "") if severity == "note" else ("double coil", _MEND)
    return Finding(severity, kind, f"{listed(names)} {verb} written by {ways}", why, mend, place)
