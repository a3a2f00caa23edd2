"""What notices a mistake in the program: each mutant is run through the scenarios until a rule or expectation breaks.

The mistakes are logic/mutate/, the cores campaign.py. Rule: a mutant is killed only by a finding of a scenario that
has none as it is; that a trace differs is counted apart. It is equivalent only if it compiles to the same source or if
its condition is the same for every combination of what it reads.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from hashlib import blake2b
from typing import Final

from simplant.campaign.bounds import clopper_pearson
from simplant.campaign.facts import digest_of
from simplant.errors import InternalError, SimplantError
from simplant.kernel.executable import Slot
from simplant.logic.compile import compile_task, source_of
from simplant.logic.layout import Layout, layouts
from simplant.logic.mutate import Mutant, difference, mutants
from simplant.logic.program import Program
from simplant.rig.machine import ControllerPlan, Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario
from simplant.scenario.write import scenario_text

KILLED: Final = "killed"
SURVIVED: Final = "survived"
EQUIVALENT: Final = "equivalent"
REFUSED: Final = "refused"
"""What becomes of a mutant; refused: simplant does not take the program, so nobody can be misled by it."""
_LOGICAL: Final = ("negated", "connective", "dropped", "input", "order")
"""Kinds after which a condition reads what it read before, so that a combination of bits tells where it differs."""


@dataclass(frozen=True, slots=True)
class Suite:
    """The scenarios that mutants are run through: names, scenarios, and digests of their traces as they should be."""

    names: tuple[str, ...]
    scenarios: tuple[Scenario, ...]
    digests: tuple[str, ...]
    depends: str


@dataclass(frozen=True, slots=True)
class Trial:
    """One mutant, by its controller and number, and the suite."""

    controller: str
    number: int
    told: str
    suite: Suite

    @property
    def depends(self) -> str:
        """Give all that its answer depends on."""
        return f"{self.controller}/{self.told}/{self.suite.depends}"

    def __str__(self) -> str:
        return f"{self.controller}: {self.told}"


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of one mutant.

    Args:
        became: killed, survived, equivalent or refused.
        by: the scenario that killed it, else "".
        how: the rule or expectation; of an equivalent or refused one, why.
        rule: whether it was a rule.
        differed: the scenarios whose trace was not as it should be, of those that were run.
    """

    became: str
    by: str = ""
    how: str = ""
    rule: bool = False
    differed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tried:
    """A mutant and what became of it."""

    controller: str
    mutant: Mutant
    fate: Fate

    @property
    def needed(self) -> str:
        """Say what is missing: a rule if the difference was seen, else a scenario that shows it."""
        if self.fate.differed:
            return f"a rule or expectation on what differs in {self.fate.differed[0]}"
        told = self.mutant.needed
        conditions = self.mutant.conditions if self.mutant.kind in _LOGICAL else None
        if conditions is not None and (at := difference(*conditions).at):
            bits = ", ".join(f"{bit} is {'TRUE' if value else 'FALSE'}" for bit, value in at.items())
            told = f"{self.mutant.where}: a run in which {bits}"
        return told


@dataclass(frozen=True, slots=True)
class Score:
    """How many of the mutants that are not equivalent were killed, and how many differed at all."""

    killed: int
    differed: int
    counted: int

    @property
    def bounds(self) -> tuple[float, float]:
        """Exact 95 % bounds of the killed share, taking the mutants for a sample of all mistakes."""
        return clopper_pearson(self.killed, self.counted) if self.counted else (0.0, 1.0)


def score(tried: Sequence[Tried]) -> Score:
    """Count."""
    counted = [t.fate for t in tried if t.fate.became in (KILLED, SURVIVED)]
    killed = sum(f.became == KILLED for f in counted)
    return Score(killed, sum(f.became == KILLED or bool(f.differed) for f in counted), len(counted))


def suite_of(machine: Machine, scenarios: Sequence[tuple[str, Scenario]]) -> tuple[Suite, tuple[str, ...]]:
    """Run the scenarios as they are; those without a finding make the suite, the others are named.

    The quick ones come first.
    """
    runs = [(name, scenario, run_scenario(machine, scenario)) for name, scenario in scenarios]
    good = sorted((r for r in runs if not r[2].findings), key=lambda r: sum(s.run for s in r[2].scans))
    texts = "".join(scenario_text(scenario) for _, scenario, _ in good)
    names = tuple(name for name, _, _ in good)
    depends = blake2b(f"{names}{texts}".encode(), digest_size=16).hexdigest()
    suite = Suite(names, tuple(s for _, s, _ in good), tuple(digest_of(r) for _, _, r in good), depends)
    return suite, tuple(name for name, _, run in runs if run.findings)


def all_mutants(machine: Machine) -> tuple[tuple[str, Mutant], ...]:
    """Give every mutant of every controller's program, with the controller's name."""
    return tuple(
        (plan.name, mutant)
        for plan in machine.controllers
        for mutant in mutants(plan.program, scan=min(setup.period for setup, _ in plan.tasks))
    )


def try_mutant(machine: Machine, trial: Trial) -> Fate:
    """Run one mutant through the suite until it is killed."""
    mutant = _mutants_of(machine, trial.controller)[trial.number]
    assert str(mutant) == trial.told, "the same folder gives the same mutants"
    if mutant.conditions is not None and (tried := difference(*mutant.conditions)).none:
        return Fate(EQUIVALENT, how=f"it is the same for all {tried.tried} combinations of what the conditions read")
    plan = next(plan for plan in machine.controllers if plan.name == trial.controller)
    try:
        program = mutant.make()
        laid = tuple(layouts(program))
        if [_form(layout) for layout in laid] == [_form(layout) for layout in plan.layouts]:
            return Fate(EQUIVALENT, how="it compiles to the same source")
        varied = _with(machine, plan, program, laid)
    except InternalError:
        raise
    except SimplantError as error:
        return Fate(REFUSED, how=error.what)
    return _through(varied, trial.suite)


def _through(machine: Machine, suite: Suite) -> Fate:
    differed: list[str] = []
    for name, scenario, digest in zip(suite.names, suite.scenarios, suite.digests, strict=True):
        try:
            run = run_scenario(machine, scenario)
        except InternalError:
            raise
        except SimplantError as error:
            return Fate(KILLED, name, error.what, differed=(*differed, name))
        if digest_of(run) != digest:
            differed.append(name)
        if run.broken:
            return Fate(KILLED, name, run.broken[0].rule, rule=True, differed=tuple(differed))
        if run.findings:
            return Fate(KILLED, name, run.findings[0], differed=tuple(differed))
    return Fate(SURVIVED, differed=tuple(differed))


def _with(machine: Machine, plan: ControllerPlan, program: Program, laid: tuple[Layout, ...]) -> Machine:
    """Give the machine with another program in one controller; what does not depend on it is kept."""
    setups = {setup.name: setup for setup, _ in plan.tasks}
    tasks = tuple((setups[layout.task], compile_task(layout)) for layout in laid)
    changed = replace(plan, program=program, layouts=laid, tasks=tasks)
    return machine.with_controllers(tuple(changed if p.name == plan.name else p for p in machine.controllers))


def _form(layout: Layout) -> tuple[str, tuple[str, ...], tuple[Slot, ...]]:
    """Give what a task compiles to: its source, what it calls, and how what it keeps begins."""
    text, _, objects = source_of(layout)
    return text, tuple(f"{name} {thing!r}" for name, thing in objects.items()), layout.slots


def _mutants_of(machine: Machine, controller: str) -> tuple[Mutant, ...]:
    return _listed(_Same(machine), controller)


class _Same:
    """A machine as a key: the same one by its digest and folder."""

    def __init__(self, machine: Machine) -> None:
        self.machine: Final = machine
        self.key: Final = (str(machine.folder), machine.digest)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.key == other.key


@cache
def _listed(same: _Same, controller: str) -> tuple[Mutant, ...]:
    return tuple(mutant for name, mutant in all_mutants(same.machine) if name == controller)
