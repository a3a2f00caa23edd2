"""Names and types: what is used but not declared, declared but not used, read or written by nobody; short pulses.

Where names are found is reading.py and evaluations.py. Rule: nothing here looks at the I/O list itself; filters
and periods come as plain numbers.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from simplant.errors import Place, nearest
from simplant.expr import Expr, Ref
from simplant.kernel.response import shortest_sure_pulse
from simplant.logic.check.evaluations import evaluations_of
from simplant.logic.check.findings import Finding
from simplant.logic.check.reading import names_in, writes_of
from simplant.logic.check.view import View
from simplant.logic.lower import FIRST_SCAN
from simplant.logic.nodes import AlarmTable, Call, Source
from simplant.logic.program import Program
from simplant.tags import Direction, Tag
from simplant.timebase import Ns
from simplant.values import BOOL, ElementaryType


def check_points(view: View) -> Iterator[Finding]:
    """Give undeclared and misused names, and points that one side forgot."""
    yield from _undeclared(view)
    read = {n for node in view.nodes.values() for e in evaluations_of(node) for n in names_in(e.expression)}
    alarms = {name for node in view.nodes.values() if isinstance(node, AlarmTable) for name in _alarm_names(node)}
    for name, tag in view.program.declared.items():
        if "." not in name and name not in alarms:
            yield from unused(tag, read=name in read, written=name in view.writers)


def _alarm_names(table: AlarmTable) -> set[str]:
    return {f"{table.name}_first_out", *(alarm.name for alarm in table.alarms)}


def unused(tag: Tag, *, read: bool, written: bool) -> Iterator[Finding]:
    """Say what a point lacks that is not read, or not written."""
    match tag.direction:
        case Direction.INPUT if not read:
            yield Finding(
                "warning", "unused input", f"input {tag.name} is never read",
                "whatever it says, the program does not care", "use it, or take it off the I/O list", tag.place,
            )  # fmt: skip
        case Direction.OUTPUT if not written:
            yield Finding(
                "warning", "unwritten output", f"output {tag.name} is never written",
                "it keeps its initial value", "give it a rung, or take it off the I/O list", tag.place,
            )  # fmt: skip
        case Direction.MEMORY if read and not written:
            yield Finding(
                "warning", "unwritten memory", f"memory {tag.name} is read but never written",
                "it keeps its initial value", "write it, or use a constant", tag.place,
            )  # fmt: skip
        case Direction.MEMORY if not read:
            kind = "unread memory" if written else "unused memory"
            what = "is written but never read" if written else "is never used"
            mend = "remove it, unless people look at it" if written else "remove it"
            yield Finding("note", kind, f"memory {tag.name} {what}", "", mend, tag.place)
        case _:
            pass


def _undeclared(view: View) -> Iterator[Finding]:
    known = _known(view.program)
    for node in view.nodes.values():
        for ref, place in _refs(node):
            wanted = known.get(ref.name)
            if wanted is None:
                yield Finding(
                    "error", "undeclared", f"{ref.name!r} is used but not declared", "", nearest(ref.name, known), place
                )
            elif wanted is not ref.type:
                what = f"{ref.name} is declared {wanted.name} but used as {ref.type.name}"
                yield Finding("error", "type", what, "", "use the reference that the declaration gave", place)
        yield from _misfits(node)


def _refs(node: Source) -> Iterator[tuple[Ref, Place]]:
    for write in writes_of(node):
        yield write.target, write.place
    for evaluation in evaluations_of(node):
        for part in evaluation.expression.walk():
            if isinstance(part, Ref):
                yield part, evaluation.place


def _misfits(node: Source) -> Iterator[Finding]:
    """Values of another type than what they are assigned to."""
    pairs: list[tuple[str, ElementaryType, Expr, Place]] = [
        (w.target.name, w.target.type, w.value, w.place) for w in writes_of(node) if w.value is not None
    ]
    if isinstance(node, Call):
        fields = {f.name: f.type for f in node.instance.block.inputs}
        pairs += [(f"{node.instance.name}.{n}", fields[n], v, node.place) for n, v in node.arguments.items()]
    for name, wanted, value, place in pairs:
        if value.type is not wanted:
            what = f"{name} is {wanted.name} but is given {value} ({value.type.name})"
            yield Finding("error", "type", what, "", f"convert it: to_type(..., {wanted.name})", place)


def _known(program: Program) -> dict[str, ElementaryType]:
    known = {tag.name: tag.type for tag in program.declared.values()} | {FIRST_SCAN.name: FIRST_SCAN.type}
    for name, instance in program.instances.items():
        block = instance.block
        known |= {f"{name}.{f.name}": f.type for f in (*block.stored, *block.outputs)}
    return known | {name: chart.number.type for name, chart in program.charts.items()}


@dataclass(frozen=True, slots=True)
class Timing:
    """When a task scans.

    Args:
        period: > 0.
        longest: the longest execution of a scan, jitter included, >= 0.
        start_jitter: the greatest start jitter, >= 0.
    """

    period: Ns
    longest: Ns = Ns(0)  # noqa: RUF009 - an int
    start_jitter: Ns = Ns(0)  # noqa: RUF009 - an int


def shortest_pulses(program: Program, filters: Mapping[str, Ns], timings: Mapping[str, Timing]) -> list[tuple[str, Ns]]:
    """Give for each Boolean input that is read the length from which on no pulse is missed by any task that reads it.

    Args:
        program: whose inputs.
        filters: filter time of each input; 0 for one not named.
        timings: when each task scans, by name.

    Returns:
        (tag, ns) in declared order; scans that run over their period count as that many periods.
    """
    read = {
        task.name: {n for node in task.body for e in evaluations_of(node) for n in names_in(e.expression)}
        for task in program.tasks
    }
    return sure_pulses(program, read, filters, timings)


def sure_pulses(
    program: Program, read: Mapping[str, Collection[str]], filters: Mapping[str, Ns], timings: Mapping[str, Timing]
) -> list[tuple[str, Ns]]:
    """Give the same, of what each task is known to read."""
    readers = {name: [task for task, names in read.items() if name in names] for name in program.declared}
    return [
        (name, max(_sure(filters.get(name, Ns(0)), timings[task]) for task in readers[name]))
        for name, tag in program.declared.items()
        if tag.direction is Direction.INPUT and tag.type is BOOL and readers[name]
    ]


def _sure(input_filter: Ns, timing: Timing) -> Ns:
    scans = max(1, -(-(timing.longest + timing.start_jitter) // timing.period))
    return shortest_sure_pulse(input_filter, Ns(scans * timing.period), timing.start_jitter)
