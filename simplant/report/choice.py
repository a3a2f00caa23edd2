"""Which names a chart draws, in which groups.

Rule: what was asked for, else what moved; steps first, then what the program sees and does, then what is so.
"""

from collections.abc import Mapping, Sequence

from simplant.errors import UsageError, nearest
from simplant.report.courses import Course, courses_of
from simplant.report.shown import Shown

Groups = dict[str, list[Course]]
"""Heading -> rows."""


def groups_of(shown: Shown, wanted: Sequence[str] | None = None) -> Groups:
    """Give the rows of a chart.

    Raises:
        UsageError: a wanted name is not in the run.
    """
    found = {**courses_of(shown.rows, wanted), **(shown.lines or {})}
    if wanted is not None:
        for name in wanted:
            if name not in found:
                if shown.run is None:
                    why = "a stored trace holds no continuous truths"
                    raise UsageError(f"the run has no {name!r}", why, "give the scenario, if it is one")
                raise UsageError(f"the run has no {name!r}", mend=nearest(name, found))
        return {"": [found[name] for name in wanted]}
    return _sorted(shown, found)


def _sorted(shown: Shown, found: Mapping[str, Course]) -> Groups:
    machine = shown.machine
    chosen = [*(shown.lines or {}), *machine.file.machine.chart]
    points = {p.name for p in machine.io}
    groups = {
        "steps": list(machine.program.charts),
        "inputs": [p.name for p in machine.io.inputs],
        "outputs": [p.name for p in machine.io.outputs],
        "truths": list(dict.fromkeys(chosen)),
    }
    named = {name for names in groups.values() for name in names}
    groups["inside the program"] = [n for n in found if "." not in n and n not in points and n not in named]
    groups["further truths"] = [n for n in found if "." in n and n not in named]
    moved = {head: [found[n] for n in names if n in found and found[n].moved] for head, names in groups.items()}
    return {head: rows for head, rows in moved.items() if rows}


FIRST = ("", "steps", "inputs", "outputs", "truths")
"""Groups that are drawn without being asked for."""


def first_of(groups: Groups) -> Groups:
    """Give the groups that are drawn without being asked for."""
    return {head: rows for head, rows in groups.items() if head in FIRST}
