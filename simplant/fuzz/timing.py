"""Does a find depend on when a scan meets it? The same story at other places in the scan, periods and orders.

Varying one scenario along one axis in full is a sweep (campaign/). Rule: nothing else of the story changes; what
breaks at some places only is a race.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from simplant.rig.machine import Machine
from simplant.scenario.model import Scans, Scenario
from simplant.timebase import Ns, show

PHASES: Final = 10
PERIODS: Final = 5
TIES: Final = 5
"""How many of each are tried."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What was varied, in how many runs, and in how many of them the same was wrong."""

    what: str
    runs: int
    wrong: int

    @property
    def is_race(self) -> bool:
        """Whether the verdict depends on it."""
        return self.wrong < self.runs

    def told(self) -> str:
        """Say it in a line."""
        how = f"breaks in {self.wrong} of {self.runs}: a race" if self.is_race else "breaks in all of them"
        return f"{self.what}: {how}"


def timings(machine: Machine, scenario: Scenario, wrong: Callable[[Scenario], bool]) -> tuple[Tried, ...]:
    """Try a story that goes wrong at other places in the scan, with other periods and other orders of ties.

    Args:
        machine: of which.
        scenario: the story.
        wrong: runs a scenario; says whether the same is wrong with it.
    """
    tried = []
    for what, scenarios in _axes(machine, scenario):
        cases = list(scenarios)
        if cases:
            tried.append(Tried(what, len(cases), sum(map(wrong, cases))))
    return tuple(tried)


def _axes(machine: Machine, scenario: Scenario) -> Iterator[tuple[str, Iterator[Scenario]]]:
    main = machine.controllers[0]
    period = scenario.scans.get(main.name, Scans()).period or min(setup.period for setup, _ in main.tasks)
    yield (
        f"at {PHASES} places in a scan of {show(period)}",
        (replace(scenario, phase=Ns(scenario.phase + period * step // PHASES)) for step in range(PHASES)),
    )
    yield f"with {TIES} orders of what comes at one instant", (replace(scenario, ties=n) for n in range(1, TIES + 1))
    for name, (least, most) in ((plan.name, plan.periods) for plan in machine.controllers if plan.periods):
        given = scenario.scans.get(name, Scans())
        steps = [Ns(least + (most - least) * step // (PERIODS - 1)) for step in range(PERIODS)]
        yield (
            f"with {PERIODS} periods of {name} from {show(least)} to {show(most)}",
            (replace(scenario, scans={**scenario.scans, name: replace(given, period=p)}) for p in steps),
        )
