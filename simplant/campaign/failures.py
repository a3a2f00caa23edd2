"""Every fault of a machine, begun in every step, in every way in which it is used: the cases of a failure table.

What became of each is facts.py, what that means failure_table.py. Rule: what is asked is derived from the machine and
its scenarios, never listed by hand.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import blake2b
from typing import Final

from simplant.campaign.facts import Facts, facts_of
from simplant.chance import below, stream
from simplant.errors import UsageError
from simplant.faults import CatalogueEntry
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.scenario.model import Expect, Scenario, State
from simplant.scenario.read import read_scenario
from simplant.scenario.write import scenario_text
from simplant.timebase import Ns, show

START: Final = "from the start"
_FINEST: Final = 1000
_REST: Final = "outputs off"


@dataclass(frozen=True, slots=True)
class Onset:
    """When a fault begins: the instant, and the step the machine is in then."""

    step: str
    at: Ns


@dataclass(frozen=True, slots=True)
class Way:
    """A way in which the machine is used: a scenario that ends well, and the onsets that faults may have in it."""

    name: str
    scenario: Scenario
    onsets: tuple[Onset, ...]
    digest: str


@dataclass(frozen=True, slots=True)
class FaultCase:
    """One run of the failure table: a way, and the faults begun in it with their onsets (none: the way as it is)."""

    way: Way
    faults: tuple[tuple[CatalogueEntry, Onset], ...] = ()

    @property
    def scenario(self) -> Scenario:
        """The story: the way with its faults, only its end expected."""
        plain = self.way.scenario
        begun = tuple(entry.fault(onset.at) for entry, onset in self.faults)
        names = ", ".join(f"{entry} {onset.step}" for entry, onset in self.faults)
        title = f"{self.way.name}: {names}" if names else plain.title
        return replace(plain, title=title, faults=(*plain.faults, *begun), expect=Expect(end=plain.expect.end))

    @property
    def depends(self) -> str:
        """Give all that its answer depends on."""
        return "|".join((self.way.digest, *(f"{entry}@{onset.at}" for entry, onset in self.faults)))

    def __str__(self) -> str:
        told = ", ".join(f"{entry} {onset.step} ({show(onset.at)})" for entry, onset in self.faults)
        return f"{self.way.name}: {told or 'as it is'}"


def ask(machine: Machine, case: FaultCase) -> Facts:
    """Run one case."""
    return facts_of(machine, case.scenario)


def everyday(machine: Machine) -> list[tuple[str, Scenario]]:
    """Give the scenarios that lie in the machine's folder of scenarios itself.

    What lies in folders below it is there to pin details down, not to show how the machine is used.
    """
    return [(path.stem, read_scenario(path)) for path in sorted(machine.scenario_folder().glob("*.toml"))]


def ways_of(machine: Machine, scenarios: Sequence[tuple[str, Scenario]], *, named: bool = False) -> tuple[Way, ...]:
    """Give the ways of use among some scenarios.

    Args:
        machine: of which.
        scenarios: with their names.
        named: they were asked for, so each is one; else those without a fault, a force, a cut of power or an alarm, and
            without a finding.

    Raises:
        UsageError: there is none.
    """
    ways = []
    for name, scenario in scenarios:
        troubled = scenario.faults or scenario.forces or scenario.power
        if troubled and not named:
            continue
        run = run_scenario(machine, scenario)
        if named or not (run.alarms or run.findings or run.accepted or run.undemanded):
            text = scenario_text(replace(scenario, expect=Expect(end=State()))) + repr(scenario.expect.end)
            ways.append(Way(name, scenario, _onsets(machine, run), blake2b(text.encode(), digest_size=16).hexdigest()))
    if not ways:
        raise UsageError(
            f"{machine.name} has no scenario in which all goes well", "a fault is told by what it spoils",
            "write one without faults and alarms, or name one with --scenario",
        )  # fmt: skip
    return tuple(ways)


def cases_of(ways: Sequence[Way], entries: Sequence[CatalogueEntry]) -> list[FaultCase]:
    """Give every single fault, begun at every onset of every way; what is there from power-up, only at the start."""
    return [
        FaultCase(way, ((entry, onset),))
        for way in ways
        for entry in entries
        for onset in (way.onsets[:1] if entry.mode.early else way.onsets)
    ]


def pairs_of(
    ways: Sequence[Way],
    latent: Mapping[str, Sequence[CatalogueEntry]],
    entries: Sequence[CatalogueEntry],
    count: int,
    seed: int,
) -> list[FaultCase]:
    """Draw pairs: a fault that nobody notices, there from the start, and another that begins in some step.

    Args:
        ways: in which.
        latent: for each way by name, the faults that are there from the start, spoil nothing and raise no alarm.
        entries: the second faults.
        count: how many different pairs are wanted; fewer come if there are hardly so many.
        seed: of the draws.
    """
    base, pairs = stream(seed, "pairs of faults"), dict[str, FaultCase]()
    able = [way for way in ways if latent.get(way.name)]
    for k in range(0, 40 * count if able and entries else 0, 4):
        way = able[below(base, k, len(able))]
        first = latent[way.name][below(base, k + 1, len(latent[way.name]))]
        second = entries[below(base, k + 2, len(entries))]
        onset = way.onsets[0 if second.mode.early else below(base, k + 3, len(way.onsets))]
        if second is not first:
            case = FaultCase(way, ((first, way.onsets[0]), (second, onset)))
            pairs.setdefault(case.depends, case)
        if len(pairs) == count:
            break
    return list(pairs.values())


def _onsets(machine: Machine, run: Run) -> tuple[Onset, ...]:
    """Give the start, and the middle of the first stay in each step."""
    charts = list(machine.program.charts)
    stays = (
        [(f"{s.chart} {s.step}" if len(charts) > 1 else s.step, s.entered, s.left) for s in run.steps]
        if charts
        else list(_outputs(machine, run))
    )
    first: dict[str, Ns] = {}
    for step, entered, left in stays:
        until = run.ended if left is None else left
        first.setdefault(step, Ns((entered + until) // 2 // _FINEST * _FINEST))
    return (Onset(START, Ns(0)), *(Onset(step, at) for step, at in first.items()))


def _outputs(machine: Machine, run: Run) -> Iterator[tuple[str, Ns, Ns | None]]:
    """Give, for a program without steps, each stretch with the outputs that are on in it."""
    names = [point.name for point in machine.io.outputs if machine.program.declared[point.name].type.bits == 1]
    on: dict[str, None] = {}
    begun, told = Ns(0), _REST
    for at, name, value in run.trace:
        if name not in names:
            continue
        if value:
            on[name] = None
        else:
            on.pop(name, None)
        now = " + ".join(other for other in names if other in on) or _REST
        if now != told:
            if at > begun:
                yield told, begun, Ns(at)
            begun, told = Ns(at), now
    yield told, begun, None
