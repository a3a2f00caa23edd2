"""What a sweep varies: the instant of a power cut, the phase of a story in the scan, the scan's period.

Running the cases is sweep.py. Rule: a case is a scenario (and a period), so each can be run again alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.campaign.awake import awake_scans, plan_of
from simplant.chance import below, stream
from simplant.errors import UsageError, nearest
from simplant.rig.machine import MAIN, Machine
from simplant.scenario.model import Power, Restart, Scenario, Stimulus
from simplant.timebase import Ns, ms, show
from simplant.wiring.supply import Supply

_MS: Final = ms(1)
_CUT: Final = ms(300)
_FINEST: Final = 1000
"""Random instants, phases and periods are whole microseconds."""
MOST_PERIODS: Final = 100
"""So many periods are tried if nobody says how many."""


@dataclass(frozen=True, slots=True)
class Case:
    """One run of a sweep.

    Args:
        at: where on the axis it stands: the instant of the cut, the shift, the period (ns).
        scenario: what happens.
        controller, period: this controller scans at that period; 0 = as the machine says.
    """

    at: Ns
    scenario: Scenario
    controller: str = MAIN
    period: Ns = Ns(0)  # noqa: RUF009 - an int


@dataclass(frozen=True, slots=True)
class Axis:
    """What is varied.

    Args:
        title: how, for people.
        at: what `Case.at` is, for people.
        cases: in its order.
        in_time: `Case.at` is an instant of the story.
    """

    title: str
    at: str
    cases: tuple[Case, ...]
    in_time: bool = False


def cuts(
    machine: Machine, scenario: Scenario, *, controller: str = MAIN, supply: str = "",
    for_: Ns = _CUT, restart: Restart | None = None, random: int = 0, seed: int | None = None,
) -> Axis:  # fmt: skip
    """Make one case for each cut of power: at every scan that is not asleep, and at random instants.

    Args:
        machine: which.
        scenario: the story; its cuts come as well.
        controller: whose scans are taken, and whose power is cut.
        supply: cut the feed of this supply part instead, with all that hangs on it; then each controller restarts as
            it is set to.
        for_: how long the power is away, ns.
        restart: of the controller afterwards; by default as it is set to.
        random: so many cuts at random instants besides.
        seed: of those instants; by default the scenario's.

    Raises:
        UsageError: there is no such controller or supply.
    """
    plan = plan_of(machine, controller)
    if supply:
        supplies = [name for name, part in machine.plans.items() if issubclass(part.kind, Supply)]
        if supply not in supplies:
            raise UsageError(f"{machine.name} has no supply {supply!r}", mend=nearest(supply, supplies))
    how: Restart = restart or plan.setup.restart
    awake = [at for at in awake_scans(machine, scenario, controller) if at < scenario.length]
    base = stream(scenario.seed if seed is None else seed, "cuts of a sweep")
    drawn = (Ns(below(base, k, scenario.length // _FINEST) * _FINEST) for k in range(random))
    cases = [Case(at, _cut(scenario, at, controller, supply, for_, how)) for at in sorted({*awake, *drawn})]
    told = f"the feed of {supply} fails" if supply else f"the power of {controller} is cut"
    after = "" if supply else f", {how} restart"
    what = f"{told} for {show(for_)}{after}: at {len(awake)} scans that are not asleep"
    return Axis(what + (f", and at {random} random instants" if random else ""), "cut at", tuple(cases), in_time=True)


def _cut(scenario: Scenario, at: Ns, controller: str, supply: str, for_: Ns, restart: Restart) -> Scenario:
    if supply:
        dip = Stimulus(at, supply, "dip", for_ / 1e9)
        return replace(scenario, stimuli=(*scenario.stimuli, dip))
    return replace(scenario, power=(*scenario.power, Power(at, controller, for_, restart)))


def phases(machine: Machine, scenario: Scenario, *, steps: int = 20) -> Axis:
    """Make the cases in which all that comes from outside comes later, in even steps through one scan period.

    Raises:
        UsageError: fewer than two steps.
    """
    if steps < 2:
        raise UsageError(f"a scan cannot be gone through in {steps} steps", mend="take 2 or more")
    period = min(setup.period for setup, _ in machine.controllers[0].tasks)
    shifts = [Ns(period * step // steps) for step in range(1, steps)]
    cases = tuple(Case(by, replace(scenario, phase=Ns(scenario.phase + by))) for by in shifts)
    return Axis(f"all from outside comes later, through a scan of {show(period)}", "later by", cases)


def periods(
    machine: Machine, scenario: Scenario, least: Ns, most: Ns, *, controller: str = MAIN, steps: int | None = None
) -> Axis:
    """Make the cases with other scan periods of a controller, both ends included.

    Args:
        machine: which.
        scenario: the story.
        least: the shortest period, ns.
        most: the longest, ns.
        controller: whose.
        steps: how many periods; by default one for each millisecond, but at most a hundred.

    Raises:
        UsageError: the range is no range, or there is no such controller.
    """
    plan_of(machine, controller)
    if not 0 < least < most or (steps is not None and steps < 2):
        raise UsageError(
            f"{show(least)} to {show(most)} in {steps or 'these'} steps is no range of periods",
            mend="write for instance --period 5ms..50ms",
        )
    title = f"{controller} scans every {show(least)} to {show(most)}"
    return Axis(title, "period", tuple(Case(p, scenario, controller, p) for p in _evenly(least, most, steps)))


def _evenly(least: Ns, most: Ns, steps: int | None) -> Sequence[Ns]:
    if steps is None and most - least < MOST_PERIODS * _MS:
        whole = range(-(-least // _MS) * _MS, most + 1, _MS)
        return [Ns(p) for p in sorted({int(least), *whole, int(most)})]
    count = (steps or MOST_PERIODS) - 1
    return [Ns(least + (most - least) * n // count // _FINEST * _FINEST) for n in range(count)] + [most]
