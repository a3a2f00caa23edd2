"""What a mutant is: one small mistake in a program, where it stands, and how to make the program that has it.

Which mistakes there are is expressions.py, statements.py and charts.py; running them is campaign/. Rule: the program
itself is never touched; a mutant is a copy with some of its source nodes, tags, blocks or charts replaced.
"""

from collections.abc import Callable, Mapping
from copy import copy
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from simplant.errors import Place
from simplant.expr import Expr
from simplant.logic.nodes import Call, Instance, Source
from simplant.logic.program import Program
from simplant.logic.sequence import Sequence_
from simplant.tags import Tag

KINDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "negated": "a contact, or a coil, the other way round",
        "connective": "AND for OR, OR for AND, OR for XOR",
        "dropped": "a condition left out",
        "input": "another input of the same type in its place",
        "comparison": "< for <=, > for >=, = for <>, and back",
        "constant": "a number one more or one less",
        "arithmetic": "+ for -, * for /, and back",
        "preset": "a time of 0.1 or 10 times, or a scan more or less",
        "coil": "set for reset, reset for set, plain for set",
        "assignment": "an assignment, a coil or what a step drives left out",
        "timer": "TON, TOF, TP for one another; R_TRIG for F_TRIG, SR for RS",
        "reset": "a timer or counter that is not reset",
        "transition": "a transition left out, or leading to another step",
        "order": "two transitions tried in the other order",
        "limit": "a time limit left out, or leading to another step",
        "initial": "another initial value, or kept over a restart or not",
    }
)
"""Every kind of mutant, and what it does."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One mutant.

    Args:
        kind: one of `KINDS`.
        place: where the author wrote what is changed.
        where: what is changed: a rung, a transition, an alarm.
        before: what stands there.
        after: what stands there now.
        make: gives the program that has the mistake.
        needed: what a scenario must do to show it, for people.
        inside: the whole condition or value that `before` stands in, if it is not all of it.
        conditions: a condition before and after, if it matters only where these differ.
    """

    kind: str
    place: Place
    where: str
    before: str
    after: str
    make: Callable[[], Program]
    needed: str
    conditions: tuple[Expr, Expr] | None = None
    inside: str = ""

    def __str__(self) -> str:
        """Give it in one line; no two of a program are the same."""
        inside = f" in {self.inside}" if self.inside else ""
        return f"{self.place}: {self.where}: {self.before} becomes {self.after}{inside}"


def with_sources(program: Program, replaced: Mapping[str, Source]) -> Program:
    """Give the program with other source nodes, by their ids."""
    return _copy(program, lambda source: replaced.get(source.id, source))


def with_instance(program: Program, instance: Instance) -> Program:
    """Give the program with an instance of that name of another block, wherever it is called.

    The blocks must have as many inputs; they are taken in order, since SR and RS name theirs differently.
    """
    inputs = program.instances[instance.name].block.inputs
    called = {old.name: new.name for old, new in zip(inputs, instance.block.inputs, strict=True)}

    def replaced(source: Source) -> Source:
        if isinstance(source, Call) and source.instance.name == instance.name:
            arguments = {called[name]: value for name, value in source.arguments.items()}
            return replace(source, instance=instance, arguments=arguments)
        return source

    return _copy(program, replaced, instances={**program.instances, instance.name: instance})


def with_tag(program: Program, tag: Tag) -> Program:
    """Give the program with a tag of that name declared otherwise."""
    return _copy(program, declared={**program.declared, tag.name: tag})


def with_chart(program: Program, chart: Sequence_, *, initial: str, retain: bool) -> Program:
    """Give the program with a chart that begins in another step, or is kept over a restart or not."""
    other = Sequence_(program, chart.name, tuple(chart.steps.values()), initial, chart.place, retain=retain)
    other.chart = chart.chart
    return _copy(program, charts={**program.charts, chart.name: other})


def _copy(program: Program, replaced: Callable[[Source], Source] = lambda source: source, **other: object) -> Program:
    made = copy(program)
    tasks = {
        name: (period, priority, [replaced(source) for source in body])
        for name, (period, priority, body) in program.__dict__["_tasks"].items()
    }
    made.__dict__.update(_tasks=tasks, **other)
    return made
