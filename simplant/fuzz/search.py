"""Running stories one after the other, and saying what is wrong in each.

What a story is stands in story.py, how a find is made small in reduce.py, how it is told in cli/. Rule: a find is a
demanded rule broken that no accepted hazard covers, or a program that failed; accepted breaches, and those in which
all happens that a known find needs, are counted and gone past.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from simplant.errors import InternalError
from simplant.fuzz.cover import Covered, covered, margins
from simplant.fuzz.decode import Decoder
from simplant.fuzz.steer import Steering
from simplant.fuzz.story import story_by_seed
from simplant.rig.breaches import DEMANDED, errors_in
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rules import Outcome
from simplant.scenario.model import Scenario

FAILED: Final = "the program failed"
"""What is wrong with a run in which a controller's program raised."""


@dataclass
class Seen:
    """What the stories run so far have shown.

    Attributes:
        cases: how many were run.
        steps: steps that a chart was in, `chart.step`.
        transitions: pairs of steps that followed each other.
        accepted: how often each rule was broken as the hazard list accepts.
        undemanded: how often each was broken under more faults than it must bear.
        closest: for each rule the least margin seen while it held, as a fraction.
        known: what is known to be wrong, and with what; only what is told with `remember`.
        again: how often each of these was met again.
    """

    cases: int = 0
    steps: set[str] = field(default_factory=set)
    transitions: set[tuple[str, str]] = field(default_factory=set)
    accepted: Counter[str] = field(default_factory=Counter)
    undemanded: Counter[str] = field(default_factory=Counter)
    closest: dict[str, float] = field(default_factory=dict)
    known: list[tuple[str, frozenset[str]]] = field(default_factory=list)
    again: Counter[str] = field(default_factory=Counter)

    def add(self, run: Run, shown: Covered) -> None:
        """Take in one run, and what it has been through."""
        self.cases += 1
        self.steps |= shown.steps
        self.transitions |= shown.transitions
        self.accepted.update(run.accepted.keys())
        self.undemanded.update(run.undemanded)
        for verdict in run.verdicts:
            if verdict.margin is not None and verdict.outcome is Outcome.HELD:
                self.closest[verdict.rule] = min(verdict.margin, self.closest.get(verdict.rule, verdict.margin))

    def remember(self, find: "Find") -> None:
        """Take in a find that was made small: a story in which all this happens shows nothing new of it."""
        self.known.append((find.what, frozenset(names(find.scenario))))

    def knows(self, scenario: Scenario, what: str) -> bool:
        """Say whether all that a known find needs happens in a scenario; counts that."""
        happening = names(scenario)
        found = any(known == what and needed <= happening for known, needed in self.known)
        self.again[what] += found
        return found


@dataclass(frozen=True, slots=True)
class Find:
    """A scenario that shows something wrong: its run, and what (a rule's name, or `FAILED`)."""

    scenario: Scenario
    run: Run
    what: str


def names(scenario: Scenario) -> set[str]:
    """Name what happens in a scenario, without times and values: `start.press`, `limit_left.stuck_on`."""
    stimuli = {f"{stimulus.on}.{stimulus.do}" for stimulus in scenario.stimuli}
    return stimuli | {str(fault) for fault in scenario.all_faults}


def wrong_with(run: Run) -> list[str]:
    """Give what is wrong with a run: `FAILED`, or the demanded rules that broke, the first first."""
    if errors_in(run.trace):
        return [FAILED]
    return [verdict.rule for verdict in sorted(run.broken, key=lambda verdict: verdict.time or 0)]


def is_wrong(run: Run, what: str) -> bool:
    """Say whether a certain thing is wrong with a run, whatever else is."""
    return bool(errors_in(run.trace)) if what == FAILED else any(v.rule == what for v in run.broken)


@dataclass(frozen=True, slots=True)
class Told:
    """One story told: its number, the scenario, the run, and the finds in it that are not known yet."""

    number: int
    scenario: Scenario
    run: Run
    finds: tuple[Find, ...]


def search(
    machine: Machine, decoder: Decoder, cases: int, seed: int, seen: Seen, *, steered: bool = True
) -> Iterator[Told]:
    """Run stories, all from one seed; after each give the finds that are not known yet, the earliest first.

    Args:
        machine: of which.
        decoder: makes scenarios of stories.
        cases: how many stories.
        seed: of all of them.
        seen: where what they show is gathered.
        steered: vary what showed something new or came near to breaking a rule; else each story is drawn anew.

    Raises:
        InternalError: a find run again gave another trace.
    """
    steering = Steering(seed, decoder, [DEMANDED[claim.faults] for claim in machine.rules])
    for number in range(cases):
        story = steering.story(number) if steered else story_by_seed(seed, number, *decoder.sizes)
        scenario = decoder.scenario(story)
        run = run_scenario(machine, scenario)
        shown = covered(run)
        seen.add(run, shown)
        finds = tuple(Find(scenario, run, what) for what in wrong_with(run) if not seen.knows(scenario, what))
        if finds and list(run_scenario(machine, scenario).trace) != list(run.trace):
            raise InternalError(f"story {number} of seed {seed} gave two traces")
        if steered:
            steering.learn(story, shown, margins(run))
        yield Told(number, scenario, run, finds)
