"""Each cell of a cause-and-effect matrix as a test: the cause in every step of every way of use, and what follows it.

The table is matrix_file.py, the ways failures.py. Rule: a marked effect comes in time; one that is not marked and would
not have come anyway does not come, unless a cause that is marked for it came too.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.campaign.failures import Onset, Way, everyday, ways_of
from simplant.campaign.matrix_file import Cause, Cell, Mark, Matrix, read_matrix
from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.rules import Outcome
from simplant.rules.claim import TRUE
from simplant.rules.recorded import Changes, Recorded, RecordedMonitor, recorded
from simplant.scenario.model import Expect, Scenario, Stimulus
from simplant.timebase import NEVER, Ns, seconds, show

_TAIL: Final = Ns(seconds(1))
"""How long one looks on after a cause is gone."""


@dataclass(frozen=True, slots=True)
class Seen:
    """When each cause and each effect was there in one run, and when what a cause counts in held."""

    causes: tuple[Changes, ...] = ()
    effects: tuple[Changes, ...] = ()
    only: tuple[Changes, ...] = ()


@dataclass(frozen=True, slots=True)
class Drill:
    """One run: a cause brought about at an onset of a way of use, nobody doing anything else from then on.

    Args:
        way: the way of use.
        cause: a row of the matrix.
        before: the cause that is given, brought about first.
        onset: where in the way.
        plain: the same without the cause itself: what comes anyway.
    """

    way: Way
    cause: Cause
    before: Cause | None
    onset: Onset
    plain: bool = False

    @property
    def at(self) -> Ns:
        """When the cause is brought about."""
        return Ns(self.onset.at + (self.before.lasts + _TAIL if self.before else 0))

    @property
    def until(self) -> Ns:
        """The end of what is looked at."""
        return Ns(self.at + self.cause.lasts + _TAIL)

    @property
    def scenario(self) -> Scenario:
        """The story."""
        way = self.way.scenario
        story = replace(
            way,
            length=self.until,
            stimuli=tuple(s for s in way.stimuli if s.at < self.onset.at),
            faults=tuple(f for f in way.faults if f.onset < self.onset.at),
            expect=Expect(),
        )
        if self.before is not None:
            story = _with(story, self.before, self.onset.at)
        return story if self.plain else _with(story, self.cause, self.at)

    @property
    def depends(self) -> str:
        """Give all that its answer depends on."""
        before = self.before.name if self.before else ""
        what = "" if self.plain else self.cause.name
        return f"{self.way.digest}|{what}|{before}|{self.onset.at}|{self.until}"

    def __str__(self) -> str:
        return f"{self.way.name}: {self.cause.name} in {self.onset.step} at {show(self.at)}"


def _with(scenario: Scenario, cause: Cause, at: Ns) -> Scenario:
    if cause.fault is not None:
        return replace(scenario, faults=(*scenario.faults, replace(cause.fault.fault(at), duration=cause.lasts)))
    lasts = cause.lasts if cause.value is None else NEVER
    act = Stimulus(at, cause.part, cause.action, cause.value, lasts)
    return replace(scenario, stimuli=tuple(sorted((*scenario.stimuli, act), key=lambda s: s.at)))


def matrix_of(machine: Machine) -> Matrix:
    """Give the matrix of a machine, read once."""
    if "matrix" not in machine.kept:
        machine.kept["matrix"] = read_matrix(machine)
    matrix = machine.kept["matrix"]
    assert isinstance(matrix, Matrix)
    return matrix


def drill(machine: Machine, case: Drill) -> Seen:
    """Run one."""
    matrix = matrix_of(machine)
    rig = Rig(machine, case.scenario, claims=tuple(_claims(matrix)))
    rig.run()
    lines = [tuple(m.changes) for m in rig.judge.monitors if isinstance(m, RecordedMonitor)]
    causes, effects = len(matrix.causes), len(matrix.effects)
    return Seen(tuple(lines[:causes]), tuple(lines[causes : causes + effects]), tuple(lines[causes + effects :]))


def _claims(matrix: Matrix) -> Iterator[Recorded]:
    for cause in matrix.causes:
        yield recorded(cause.when, f"cause {cause.name}")
    for effect in matrix.effects:
        yield recorded(effect.there, f"effect {effect.name}")
    for cause in matrix.causes:
        yield recorded(TRUE if cause.only is None else cause.only, f"while of {cause.name}")


def drills_of(matrix: Matrix, ways: Sequence[Way]) -> list[Drill]:
    """Give every cause in every step of every way, each with and without."""
    return [
        Drill(way, cause, matrix.cause(cause.given) if cause.given else None, onset, plain)
        for way in ways
        for cause in matrix.causes
        for onset in way.onsets[1:]
        for plain in (False, True)
    ]


@dataclass(frozen=True, slots=True)
class Found:
    """What one drill says of one cell: whether it put it to the test, how long the effect took, what was wrong."""

    tested: bool
    took: Ns | None = None
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class Tested:
    """A cell after all drills.

    Args:
        cause, effect: their names.
        cell: what is demanded.
        tested: the drills that put it to the test.
        longest: the longest time the effect took; None: none was measured.
        wrong: the drills that broke it, each with what was wrong.
    """

    cause: str
    effect: str
    cell: Cell
    tested: int
    longest: Ns | None
    wrong: tuple[tuple[str, str], ...]

    @property
    def outcome(self) -> Outcome:
        """Held, broken or not exercised."""
        if self.wrong:
            return Outcome.BROKEN
        return Outcome.HELD if self.tested else Outcome.NOT_EXERCISED


def judge(matrix: Matrix, drills: Sequence[Drill], seen: Sequence[Seen]) -> tuple[Tested, ...]:
    """Judge every cell, row by row; `drills` as `drills_of` gives them."""
    pairs = list(zip(drills[::2], seen[::2], seen[1::2], strict=True))
    tested = []
    for row, cause in enumerate(matrix.causes):
        mine = [(case, what, plain) for case, what, plain in pairs if case.cause is cause]
        for column, effect in enumerate(matrix.effects):
            found = [(case, _look(matrix, row, column, case, what, plain)) for case, what, plain in mine]
            times = [f.took for _, f in found if f.took is not None]
            wrong = tuple((str(case), f.wrong) for case, f in found if f.wrong)
            count = sum(f.tested for _, f in found)
            tested.append(Tested(cause.name, effect.name, cause.cells[column], count, max(times, default=None), wrong))
    return tuple(tested)


def every_cell(machine: Machine) -> tuple[Tested, ...]:
    """Test the matrix of a machine here and now, in every way of use among its scenarios.

    Raises:
        UsageError: it has no matrix, or no scenario in which all goes well.
        RuleError: something in the matrix is wrong.
    """
    matrix, answers = matrix_of(machine), dict[str, Seen]()
    drills = drills_of(matrix, ways_of(machine, everyday(machine)))
    for case in drills:
        if case.depends not in answers:
            answers[case.depends] = drill(machine, case)
    return judge(matrix, drills, [answers[case.depends] for case in drills])


def _look(matrix: Matrix, row: int, column: int, case: Drill, seen: Seen, plain: Seen) -> Found:
    """Hold one drill against one cell."""
    cell, effect, cause = matrix.causes[row].cells[column], seen.effects[column], seen.causes[row]
    begun = _rise(cause, case.at, case.until)
    if begun is None or not _at(seen.only[row], Ns(begun - 1)):
        return Found(tested=False)
    gone = _change(cause, begun, case.until, to=False) or case.until
    was = _at(effect, Ns(begun - 1))
    if cell.mark is Mark.NONE:
        others = [
            seen.causes[n] for n, c in enumerate(matrix.causes) if c.cells[column].mark in (Mark.TRIP, Mark.LATCH)
        ]
        return Found(not was, wrong=_uncalled(effect, plain.effects[column], others, begun, case.until))
    if cell.mark is Mark.RESET:
        end = _change(effect, Ns(begun - 1), case.until, to=False)
        late = was and (end is None or end > begun + cell.within)
        return Found(
            was, Ns(end - begun) if was and end else None, f"not gone within {show(cell.within)}" if late else ""
        )
    until = gone if cell.mark is Mark.TRIP else case.until
    return _coming(effect, cell, begun, until, was=was)


def _coming(effect: Changes, cell: Cell, begun: Ns, until: Ns, *, was: bool) -> Found:
    """Judge an effect that is to come after `begun` and to stay until an instant."""
    came = begun if was else _change(effect, begun, until, to=True)
    deadline = Ns(begun + cell.after + cell.within)
    if came is None or came > deadline:
        if until < deadline:
            return Found(tested=False)
        return Found(tested=True, wrong=f"not there within {show(Ns(cell.after + cell.within))}")
    if not was and came < begun + cell.after:
        return Found(tested=True, took=Ns(came - begun), wrong=f"there after {show(Ns(came - begun))}, too early")
    left = _change(effect, max(came, begun), until, to=False)
    wrong = f"gone again {show(Ns(left - begun))} after the cause" if left is not None and left < until else ""
    return Found(not was, None if was else Ns(came - begun), wrong)


def _uncalled(effect: Changes, plain: Changes, marked: Sequence[Changes], begun: Ns, until: Ns) -> str:
    """Say when an effect came that is not marked, does not come anyway, and that no marked cause brought."""
    for at, there in effect:
        if begun <= at < until and there and not _at(plain, Ns(at)):
            brought = any(_at(line, Ns(at)) or _rise(line, begun, Ns(at + 1)) is not None for line in marked)
            if not brought:
                return f"there {show(Ns(at - begun))} after the cause, and not marked"
    return ""


def _at(line: Changes, at: Ns) -> bool:
    value = False
    for when, became in line:
        if when > at:
            break
        value = became
    return value


def _rise(line: Changes, first: Ns, last: Ns) -> Ns | None:
    """Give when it becomes true, from `first` on; None: never before `last`, or it was so already."""
    if _at(line, Ns(first - 1)):
        return None
    return _change(line, first, last, to=True)


def _change(line: Changes, first: Ns, last: Ns, *, to: bool) -> Ns | None:
    return next((Ns(when) for when, became in line if first <= when < last and became is to), None)
