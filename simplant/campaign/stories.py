"""Stories drawn evenly, over all cores: what share of them breaks a rule, with bounds.

What a story is stands in fuzz/, steered searching in fuzz/search.py. Rule: each story is drawn by its number alone, so
the same seed gives the same stories in one process, in many, and on a cluster.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import blake2b

from simplant.campaign.bounds import clopper_pearson, none_seen
from simplant.fuzz.cover import covered
from simplant.fuzz.decode import Decoder
from simplant.fuzz.search import Find, Seen, wrong_with
from simplant.fuzz.story import story_by_seed
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rules import Outcome
from simplant.scenario.model import Scenario
from simplant.scenario.write import scenario_text
from simplant.timebase import Ns


@dataclass(frozen=True, slots=True)
class StoryCase:
    """One story: the seed of all, its number, how long each is, and a digest of the ways of play."""

    seed: int
    number: int
    length: Ns
    nominal: bool
    plays: str

    @property
    def depends(self) -> str:
        """All of it."""
        return f"story {self.number} of seed {self.seed}, {self.length} ns, nominal {self.nominal}, plays {self.plays}"


@dataclass(frozen=True, slots=True)
class StoryFacts:
    """What became of one: what was wrong, what broke as accepted or undemanded, and what it has been through."""

    wrong: tuple[str, ...]
    accepted: tuple[str, ...]
    undemanded: tuple[str, ...]
    steps: tuple[str, ...]
    transitions: tuple[tuple[str, str], ...]
    margins: tuple[tuple[str, float], ...]


def story_cases(decoder: Decoder, seed: int, count: int, *, nominal: bool) -> list[StoryCase]:
    """Give so many stories of one seed."""
    plays = blake2b("".join(map(scenario_text, decoder.plays)).encode(), digest_size=8).hexdigest()
    return [StoryCase(seed, number, decoder.length, nominal, plays) for number in range(count)]


def scenario_of(machine: Machine, case: StoryCase) -> Scenario:
    """Decode a story; what decodes is made once for a machine."""
    key = ("decoder", case.length, case.nominal, case.plays)
    if key not in machine.kept:
        machine.kept[key] = Decoder(machine, length=case.length, nominal=case.nominal)
    decoder: Decoder = machine.kept[key]
    return decoder.scenario(story_by_seed(case.seed, case.number, *decoder.sizes))


def tell(machine: Machine, case: StoryCase) -> StoryFacts:
    """Run one story and say what became of it."""
    run = run_scenario(machine, scenario_of(machine, case))
    shown = covered(run)
    held = ((v.rule, v.margin) for v in run.verdicts if v.margin is not None and v.outcome is Outcome.HELD)
    return StoryFacts(
        tuple(wrong_with(run)),
        tuple(run.accepted),
        run.undemanded,
        tuple(sorted(shown.steps)),
        tuple(sorted(shown.transitions)),
        tuple(held),
    )


def gathered(facts: Sequence[StoryFacts]) -> Seen:
    """Add up what many stories have shown."""
    seen = Seen()
    for fact in facts:
        seen.cases += 1
        seen.steps.update(fact.steps)
        seen.transitions.update(fact.transitions)
        seen.accepted.update(fact.accepted)
        seen.undemanded.update(fact.undemanded)
        for rule, margin in fact.margins:
            seen.closest[rule] = min(margin, seen.closest.get(rule, margin))
    return seen


def finds_in(machine: Machine, cases: Sequence[StoryCase], facts: Sequence[StoryFacts]) -> Iterator[Find]:
    """Give what was wrong, story by story, each run again."""
    for case, fact in zip(cases, facts, strict=True):
        if fact.wrong:
            scenario = scenario_of(machine, case)
            run: Run = run_scenario(machine, scenario)
            yield from (Find(scenario, run, what) for what in fact.wrong)


def share(facts: Sequence[StoryFacts]) -> tuple[int, float, float]:
    """Give how many stories went wrong, and the 95 % bounds of their share."""
    wrong = sum(bool(fact.wrong) for fact in facts)
    low, high = (0.0, none_seen(len(facts))) if not wrong else clopper_pearson(wrong, len(facts))
    return wrong, low, high
