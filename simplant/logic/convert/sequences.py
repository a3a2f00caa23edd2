"""A sequence of a Python program as a sequential function chart: a function block called where the sequence runs.

The way of a scan is the same in both: guards in written order, then exit, transition and entry actions, then what the
new step does, all in one scan. Exit and transition actions are one P0 action of a step, which asks once more which
guard it was (nothing has changed since); entry actions are P1, the others N, what a step drives is a Boolean action.
Rule: what a chart would do otherwise is refused with the reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass, field, fields, replace

from simplant.errors import Place, ProgramError
from simplant.expr import Assignment, Const, Elapsed, Expr
from simplant.logic.convert.naming import Naming
from simplant.logic.convert.terms import FALSE, TRUE, Terms
from simplant.logic.lower import FIRST_SCAN, overtime_ref
from simplant.logic.names import read_names
from simplant.logic.nodes import Chart as Sequence
from simplant.logic.nodes import Step as SequenceStep
from simplant.logic.sfc.tree import Action, Association, Chart, Step, Transition
from simplant.logic.st.cursor import KEYWORDS
from simplant.logic.st.standard import signature
from simplant.logic.st.tree import Access, Case, Expression, If, Infix, Let, Literal, Statement
from simplant.values import BOOL, INT, TIME


@dataclass(slots=True)
class InStep(Terms):
    """Says expressions inside a chart: the step time is that of the step they belong to."""

    chart: str = ""
    step: str = ""

    def _stored(self, node: Expr) -> Expression:
        if isinstance(node, Elapsed) and node.since.name == f"{self.chart}.since":
            return self.field(self.step, "T")
        return Terms._stored(self, node)


@dataclass(slots=True)
class _Way:
    """A way out of a step: a row, or its time limit."""

    place: Place
    dest: str
    guard: Expr | None
    actions: tuple[Assignment, ...]


@dataclass(slots=True)
class Charted:
    """Makes a chart of a sequence.

    Args:
        sequence: of the program.
        terms: of the program.
        naming: its names.
        notes: where what is told of steps goes.

    Attributes:
        way: the variable that keeps which way a step was left, if one is needed.
    """

    sequence: Sequence
    terms: Terms
    naming: Naming
    notes: dict[Place, str]
    way: str = ""
    _names: dict[str, str] = field(init=False, default_factory=dict)
    _said: InStep = field(init=False)

    def __post_init__(self) -> None:
        _check(self.sequence, self.terms.asked)
        name = self.sequence.name
        for step in self.sequence.steps:
            self._names[step.name] = self._local(step.name, f"{step.name}_step")
        given = {f.name: getattr(self.terms, f.name) for f in fields(self.terms)}
        given["words"] = {**self.terms.words, name: replace(self.terms.words[name], qualified=True)}
        self._said = InStep(**given, chart=name)

    def chart(self) -> Chart:
        """Give the chart."""
        steps = self.sequence.steps
        exits = [(step, body) for step in steps if (body := self._exit(step))]
        entries = [(step, self._entry(step)) for step in steps if self._is_entered(step)]
        during = [(step, body) for step in steps if (body := self._during(step))]
        actions: list[Action] = []
        blocks: dict[str, list[Association]] = {step.name: [] for step in steps}
        for word, qualifier, rows in (("left", "P0", exits), ("entered", "P1", entries), ("active", "N", during)):
            for step, body in rows:
                name = self._local(f"{step.name}_{word}", f"{step.name}_{word}")
                actions.append(Action(self._here(), name, tuple(body)))
                blocks[step.name].append(self._block(name, qualifier))
        for step in steps:
            blocks[step.name] += [self._block(target.name, "N") for target in step.drive]
        made = [self._step(step, tuple(blocks[step.name])) for step in steps]
        ways = [self._transition(step, way) for step in steps for way in self._ways(step)]
        return Chart(self._here(), tuple(made), tuple(ways), tuple(actions))

    def clear(self) -> list[Statement]:
        """Say that no time limit ran out, for those that somebody asks about; it stands before the chart."""
        names = (overtime_ref(self.sequence.name, step.name).name for step in self.sequence.steps)
        return [self.terms.let(name, FALSE) for name in names if name in self.terms.asked]

    def _local(self, name: str, instead: str) -> str:
        """Give a name in the chart: this one, unless it means something else there."""
        word = name.upper()
        taken = self.naming.is_used(name) or word in KEYWORDS or signature(word) is not None
        return self.naming.new(instead) if taken else name

    def _here(self) -> Place:
        self._said.serial = self.terms.serial
        place = self.terms.here()
        self._said.serial = self.terms.serial
        return place

    def _in(self, step: SequenceStep) -> InStep:
        """Speak of a step from here on."""
        self._said.step, self._said.place = self._names[step.name], self.terms.place
        self._said.serial = self.terms.serial = max(self._said.serial, self.terms.serial)
        return self._said

    def _block(self, action: str, qualifier: str) -> Association:
        return Association(self._here(), self._said.access(action), qualifier)

    def _step(self, step: SequenceStep, blocks: tuple[Association, ...]) -> Step:
        made = Step(self._here(), self._names[step.name], step.name == self.sequence.initial, blocks)
        if step.description:
            self.notes[made.place] = step.description
        return made

    # ways out

    def _ways(self, step: SequenceStep) -> Iterator[_Way]:
        for row in self.sequence.transitions:
            if row.source == step.name:
                yield _Way(row.place, row.dest, row.guard, row.actions)
        if step.limit is not None and step.on_limit is not None:
            yield _Way(self.sequence.place, step.on_limit, None, ())

    def _guard(self, step: SequenceStep, way: _Way) -> Expression:
        said = self._in(step)
        if way.guard is None:
            assert step.limit is not None, "only a time limit has no guard"
            return Infix(said.here(), ">=", said.field(said.step, "T"), said.literal(step.limit, TIME))
        if isinstance(way.guard, Const):
            return Literal(said.here(), way.guard.value, BOOL, "TRUE" if way.guard.value else "FALSE")
        return said.expression(way.guard)

    def _is_entered(self, step: SequenceStep) -> bool:
        ends = {way.dest for other in self.sequence.steps for way in self._ways(other)}
        return step.name in ends or step.name == self.sequence.initial

    def _transition(self, step: SequenceStep, way: _Way) -> Transition:
        ends = ((self._names[step.name],), (self._names[way.dest],))
        return Transition(self._here(), "", *ends, self._guard(step, way))

    # actions

    def _actions(self, step: SequenceStep, actions: Iterable[Assignment]) -> list[Statement]:
        said = self._in(step)
        return [said.assignment(each) for each in actions]

    def _exit(self, step: SequenceStep) -> list[Statement]:
        """Say what is done when a step is left: its exit actions, and those of the way that was taken."""
        leaving = self._actions(step, step.exit)
        ways = [(way, self._on_way(step, way)) for way in self._ways(step)]
        if not ways:
            return []
        while ways and not ways[-1][1]:
            ways.pop()
        if not ways:
            return leaving
        said = self._in(step)
        if not leaving:
            return [If(said.here(), tuple((self._guard(step, way), tuple(body)) for way, body in ways), ())]
        self.way = self.way or self.naming.new("way")
        arms = tuple((self._guard(step, way), (self._took(n),)) for n, (way, _) in enumerate(ways, start=1))
        choose = If(said.here(), arms, (self._took(0),))
        groups = tuple((((self._number(n), None),), tuple(b)) for n, (_, b) in enumerate(ways, start=1) if b)
        return [choose, *leaving, Case(said.here(), Access(said.here(), self.way), groups, ())]

    def _on_way(self, step: SequenceStep, way: _Way) -> list[Statement]:
        late = overtime_ref(self.sequence.name, step.name).name
        told = way.guard is None and late in self.terms.asked
        return [self._in(step).let(late, TRUE)] if told else self._actions(step, way.actions)

    def _took(self, number: int) -> Let:
        return Let(self._here(), Access(self._here(), self.way), self._number(number))

    def _number(self, number: int) -> Expression:
        return self._said.literal(number, INT)

    def _entry(self, step: SequenceStep) -> list[Statement]:
        """Say what is done when a step is entered: first of all, that it is."""
        said = self._in(step)
        name = self.sequence.name
        return [Let(said.here(), said.access(name), said.word(name, step.name)), *self._actions(step, step.entry)]

    def _during(self, step: SequenceStep) -> list[Statement]:
        made = self._actions(step, step.during)
        late = overtime_ref(self.sequence.name, step.name).name
        if step.limit is None or step.on_limit is not None or late not in self.terms.asked:
            return made
        said = self._in(step)
        over = Infix(said.here(), ">=", said.field(said.step, "T"), said.literal(step.limit, TIME))
        return [If(said.here(), ((over, (said.let(late, TRUE),)),), ()), *made]


def _check(sequence: Sequence, asked: Set[str]) -> None:
    """Refuse what a chart would do otherwise; `asked`: the time limits that somebody asks about.

    Raises:
        ProgramError: with the reason.
    """
    if any(FIRST_SCAN.name in read_names(each) for each in _expressions(sequence)):
        what = f"{sequence.name} looks at the first scan"
        raise ProgramError(what, "a step of its own is what begins a chart", "use the initial step", sequence.place)
    if sequence.retain:
        what = f"the active step of {sequence.name} is kept over a restart, which no chart can say"
        raise ProgramError(what, "a chart begins in its initial step", "convert it --to st", sequence.place)
    for row in sequence.transitions:
        if row.dest == row.source:
            does = bool(row.actions)
            _check_round(sequence.step(row.source), sequence.name, row.place, does=does)
    for step in sequence.steps:
        if step.on_limit == step.name:
            does = overtime_ref(sequence.name, step.name).name in asked
            _check_round(step, sequence.name, sequence.place, does=does)


def _expressions(sequence: Sequence) -> Iterator[Expr]:
    actions = [a for row in sequence.transitions for a in row.actions]
    actions += [a for step in sequence.steps for a in (*step.entry, *step.exit, *step.during)]
    yield from (row.guard for row in sequence.transitions)
    yield from (each for action in actions for each in (action.value, action.when) if each is not None)


def _check_round(step: SequenceStep, name: str, place: Place, *, does: bool) -> None:
    if does or step.exit or step.entry:
        what = f"{name} goes from {step.name} back into it, and does something on the way"
        why = "a step of a chart that is left and entered at once stays active, and its actions see nothing of it"
        raise ProgramError(what, why, "put a step between, or convert it --to st", place)


__all__ = ["Charted", "InStep"]
