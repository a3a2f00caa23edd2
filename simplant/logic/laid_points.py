"""Points of the I/O list that a program in text leaves out, and the shortest pulses that its inputs see.

The same as check/points.py says of a program in Python. Rule: asked of the tasks as they are laid out, so that it
holds for statements, rungs, networks and charts alike.
"""

from collections.abc import Iterator, Mapping

from simplant.logic.check.findings import Finding
from simplant.logic.check.points import Timing, sure_pulses, unused
from simplant.logic.layout import Prepared
from simplant.tags import Direction
from simplant.timebase import Ns


def unused_points(program: Prepared) -> Iterator[Finding]:
    """Give inputs that no task reads, and outputs that none writes."""
    read = {name for laid in program.laid for name in laid.inputs}
    written = {laid.slots[n].name for laid in program.laid for n in laid.outputs}
    for name, tag in program.declared.items():
        if tag.direction is not Direction.MEMORY:
            yield from unused(tag, read=name in read, written=name in written)


def laid_pulses(program: Prepared, filters: Mapping[str, Ns], timings: Mapping[str, Timing]) -> list[tuple[str, Ns]]:
    """Give what `shortest_pulses` gives."""
    return sure_pulses(program, {laid.task: laid.inputs for laid in program.laid}, filters, timings)
