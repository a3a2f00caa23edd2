"""What can happen on a machine, numbered: acts of people, cuts of power, faults.

Derived from the machine: the actions of its parts but supplies, its controllers, its failure catalogue. When it
happens and how long it lasts is the story's affair (decode.py). Rule: the same machine, the same numbers; lower ones
are simpler.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from simplant.faults import POWER_CUT, Fault
from simplant.rig.machine import Machine, PartPlan
from simplant.scenario.model import Power, Restart, Scenario, Stimulus
from simplant.timebase import NEVER, Ns, ms, seconds
from simplant.wiring.devices import EmergencyStop, Selector
from simplant.wiring.supply import Supply

MOST: Final = 511
"""Numbers up to this are used up by naming acts more than once, so that faults do not crowd them out."""
PRESS: Final = ms(200)
"""The usual press of a button."""
BRIEFEST: Final = ms(60)
"""People do nothing for less than this; contacts that do are faults."""
LASTING: Final = ("press", "open", "keep", "remove_ball")
"""What people do for a time; the rest ends something or cannot be undone."""
ENDING: Final = ("release", "close", "give")
"""What ends something that mostly ends by itself in time: named once only."""
OPEN: Final = seconds(5)
"""How long a door usually stands open."""


@dataclass(frozen=True, slots=True)
class Act:
    """Somebody acts on a part; it usually lasts `usual` (`NEVER` = nothing ends it)."""

    on: str
    do: str
    value: float | str | None = None
    usual: Ns = NEVER

    def stimulus(self, at: Ns, span: Ns | None) -> Stimulus:
        """Make a stimulus; `span` is another duration than the usual one, for what people end again."""
        lasting = self.usual if span is None or self.do not in LASTING else Ns(max(span, BRIEFEST))
        return Stimulus(at, self.on, self.do, self.value, lasting)


@dataclass(frozen=True, slots=True)
class Cut:
    """A controller loses its power, and starts again warm or cold."""

    controller: str
    restart: Restart

    def power(self, at: Ns, span: Ns | None) -> Power:
        """Make it, for the usual time or another."""
        return Power(at, self.controller, POWER_CUT.lasts if span is None else span, self.restart)


@dataclass(frozen=True, slots=True)
class Fail:
    """A part or point fails; `usual`, `early` as its mode says; `other` is the second point of a fault between two."""

    target: str
    kind: str
    value: float | None = None
    other: str = ""
    usual: Ns = NEVER
    early: bool = False

    def fault(self, at: Ns, span: Ns | None) -> Fault:
        """Make it; what is there from power-up begins there, and wires that are mixed up stay so."""
        lasting = self.usual if span is None or self.other else span
        return Fault(self.target, self.kind, Ns(0) if self.early else at, lasting, self.value, self.other)


What = Act | Cut | Fail


def whats(machine: Machine, plays: Iterable[Scenario] = ()) -> tuple[What, ...]:
    """Number what can happen; number 1 is the first, 0 means nothing.

    Acts and cuts come first, then all faults, then the acts again as often as there is room below `MOST`, but not so
    often that they outnumber the faults.

    Args:
        machine: on which.
        plays: scenarios whose values are taken for actions that need one (how much flows into a tank).
    """
    acts: list[What] = [*_acts(machine, tuple(plays)), *_cuts(machine)]
    faults: list[What] = list(_faults(machine))
    if not acts or not faults:
        return (*acts, *faults)
    often = [act for act in acts if not isinstance(act, Act) or act.do not in ENDING]
    again = min(MOST - len(faults) - len(acts), len(faults)) // len(often)
    return (*acts, *faults, *(often * max(0, again)))


def _acts(machine: Machine, plays: Iterable[Scenario]) -> Iterator[Act]:
    seen: dict[tuple[str, str], dict[float | str, None]] = {}
    for stimulus in (s for play in plays for s in play.stimuli):
        if stimulus.value is not None:
            seen.setdefault((stimulus.on, stimulus.do), {})[stimulus.value] = None
    for name, plan in machine.plans.items():
        for word in () if issubclass(plan.kind, Supply) else plan.kind.ACTIONS:  # nobody works it; its faults are there
            yield from _ways(name, word, plan, seen.get((name, word), {}))


def _ways(name: str, word: str, plan: PartPlan, seen: Iterable[float | str]) -> Iterator[Act]:
    """Give the ways in which an action can be taken: with each of its values, if it takes one."""
    if word == "select" and issubclass(plan.kind, Selector):
        positions = int(plan.parameters.get("positions", Selector.PARAMETERS["positions"].default))
        yield from (Act(name, word, position) for position in range(positions))
    elif word == "press" and not issubclass(plan.kind, EmergencyStop):
        yield Act(name, word, usual=PRESS)
    elif word == "open":
        yield Act(name, word, usual=OPEN)
    else:
        alone = (None,) if plan.refusal(word, None) is None else ()  # how much seeps into a tank, only a scenario says
        values = tuple(seen) or alone
        yield from (Act(name, word, value) for value in values)


def _cuts(machine: Machine) -> Iterator[Cut]:
    for controller in machine.controllers:
        restarts: tuple[Restart, ...] = ("warm", "cold") if controller.setup.restart == "warm" else ("cold",)
        yield from (Cut(controller.name, restart) for restart in restarts)


def _faults(machine: Machine) -> Iterator[Fail]:
    for entry in (each for each in machine.catalogue if each.mode is not POWER_CUT):  # a cut: once is enough
        mode = entry.mode
        yield Fail(entry.target, mode.kind, mode.value, entry.other, mode.lasts, mode.early)
