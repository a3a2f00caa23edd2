"""One story run again and again with one thing varied: where along that does anything change?

What is varied is axes.py, the cores are pool.py. Rule: all is told against the base run, the story as it is; cases
that lie side by side on the axis and change the same thing make one range.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.campaign.awake import with_period
from simplant.campaign.axes import Axis, Case
from simplant.campaign.pool import each, processes_for
from simplant.errors import InternalError, SimplantError
from simplant.rig.breaches import errors_in
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rules import Outcome
from simplant.scenario.model import Scenario
from simplant.scenario.records import StepRecord
from simplant.timebase import Ns

KINDS: Final = (
    "failed", "broken", "accepted", "broken under more faults",
    "unmet", "undecided", "not exercised", "exercised", "held",
)  # fmt: skip
"""What a change can be, worst first: a run that failed, what a rule became, an expectation that is no longer met."""
FINDINGS: Final = KINDS[:2]
_WORDS: Final = {
    Outcome.HELD: "held",
    Outcome.UNDECIDED: "undecided",
    Outcome.NOT_EXERCISED: "not exercised",
}


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """What is not as in the base run: one of `KINDS`, and of which rule, or which expectation."""

    kind: str
    what: str


@dataclass(frozen=True, slots=True)
class Told:
    """What became of one run: each rule in a word of `KINDS`, and whatever else was wrong."""

    rules: Mapping[str, str]
    unmet: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Span:
    """A range of the axis in which every case changes one thing.

    Args:
        change: which.
        first, last: the cases at its ends.
        runs: how many cases lie in it.
        steps: active steps of the story just then, in order of time (only where the axis is the time of the story).
    """

    change: Change
    first: Case
    last: Case
    runs: int
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sweep:
    """All of it: the axis, the base run, and the ranges in which anything changes, worst first."""

    axis: Axis
    base: Run
    spans: tuple[Span, ...]

    @property
    def found(self) -> tuple[Span, ...]:
        """The ranges in which a demanded rule breaks that no accepted hazard covers, or the run fails."""
        return tuple(span for span in self.spans if span.change.kind in FINDINGS)


def sweep(
    machine: Machine, scenario: Scenario, axis: Axis, *,
    processes: int | None = None, tell: Callable[[int], None] = lambda _: None,
) -> Sweep:  # fmt: skip
    """Run all cases of an axis and hold each against the story as it is.

    Args:
        machine: on which.
        scenario: the story.
        axis: from `cuts`, `phases` or `periods`.
        processes: how many; by default as many as are worth it. The answer is the same.
        tell: told after each run how many are done.

    Raises:
        SimplantError: the story itself does not fit the machine.
    """
    base = run_scenario(machine, scenario)
    answers: list[tuple[Change, ...]] = []
    before = _told(base)
    for after in each(ask, machine, axis.cases, processes_for(len(axis.cases), processes)):
        answers.append(tuple(_changes(before, after)))
        tell(len(answers))
    steps = base.steps if axis.in_time else ()
    spans = tuple(_spans(axis.cases, answers, steps))
    return Sweep(axis, base, tuple(sorted(spans, key=lambda s: (KINDS.index(s.change.kind), s.first.at))))


def ask(machine: Machine, case: Case) -> Told:
    """Run one case; a plant that does not settle, or a setting that cannot be, is an answer too."""
    try:
        varied = with_period(machine, case.controller, case.period) if case.period else machine
        return _told(run_scenario(varied, case.scenario))
    except InternalError:
        raise
    except SimplantError as error:
        return Told({}, failed=(error.what,))


def _told(run: Run) -> Told:
    rules = {v.rule: _WORDS.get(v.outcome, "broken") for v in run.verdicts}
    rules |= dict.fromkeys(run.accepted, "accepted") | dict.fromkeys(run.undemanded, "broken under more faults")
    failed = dict.fromkeys(event.text.partition(": ")[2] for event in errors_in(run.trace))
    return Told(rules, tuple(unmet.what for unmet in run.unmet), tuple(failed))


def _changes(before: Told, after: Told) -> Iterator[Change]:
    for text in after.failed:
        if text not in before.failed:
            yield Change("failed", text)
    for rule, word in after.rules.items():
        was = before.rules[rule]
        if word != was:
            yield Change("exercised" if (was, word) == ("not exercised", "held") else word, rule)
    for text in after.unmet:
        if text not in before.unmet:
            yield Change("unmet", text)


def _spans(cases: Sequence[Case], answers: Sequence[Sequence[Change]], steps: Sequence[StepRecord]) -> Iterator[Span]:
    for change in dict.fromkeys(change for answer in answers for change in answer):
        begun: int | None = None
        for index in range(len(cases) + 1):
            there = index < len(cases) and change in answers[index]
            if there and begun is None:
                begun = index
            elif not there and begun is not None:
                inside = cases[begun:index]
                then = dict.fromkeys(step_at(steps, case.at) for case in inside) if steps else {}
                yield Span(change, inside[0], inside[-1], len(inside), tuple(then))
                begun = None


def step_at(steps: Sequence[StepRecord], at: Ns) -> str:
    """Give the active steps just before an instant; of more than one chart with the chart's name."""
    there = [s for s in steps if s.entered < at and (s.left is None or s.left >= at)]
    several = len({s.chart for s in steps}) > 1
    return ", ".join(f"{s.chart} {s.step}" if several else s.step for s in there) or "-"
