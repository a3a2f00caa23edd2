"""What each fault does and who notices: the facts of its runs held against those of the machine without it.

The runs are failures.py, the facts facts.py. Rule: everything is told against the way as it is without the fault;
worst first, and first of all the hazards that nothing notices.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.campaign.facts import ACCEPTED, DEMANDED, UNDEMANDED, Facts
from simplant.campaign.failures import FaultCase
from simplant.timebase import Ns

UNNOTICED: Final = ", unnoticed"
FAILED, HAZARD, MORE, KNOWN = "failed", "hazard", "hazard, not demanded", "hazard, accepted"
STOPPED, ALARMED, CHANGED, NOTHING = "unavailable", "alarm only", "other course", "nothing"
KINDS: Final = (
    FAILED, HAZARD + UNNOTICED, HAZARD, MORE + UNNOTICED, MORE, KNOWN + UNNOTICED, KNOWN, STOPPED + UNNOTICED, STOPPED,
    CHANGED + UNNOTICED, ALARMED, NOTHING + UNNOTICED,
)  # fmt: skip
"""What a fault can do, worst first."""
_HAZARDS: Final = {DEMANDED: HAZARD, UNDEMANDED: MORE, ACCEPTED: KNOWN}


@dataclass(frozen=True, slots=True)
class Effect:
    """What a fault did in one run.

    Args:
        case: which run.
        kind: one of `KINDS`.
        rules: the rules it broke that hold without it, each with what it counts as.
        alarms: the alarms that came by it, in order.
        after: how long after the (last) onset the first alarm came, ns; None: none came.
        broken_after: how long after it the first of the rules broke; None: none did, or only at the end.
        told: what is otherwise at the end, for people.
    """

    case: FaultCase
    kind: str
    rules: tuple[tuple[str, str], ...]
    alarms: tuple[str, ...]
    after: Ns | None
    broken_after: Ns | None
    told: str

    @property
    def fault(self) -> str:
        """The fault, or the faults."""
        return " + ".join(str(entry) for entry, _ in self.case.faults)

    @property
    def onset(self) -> str:
        """The step in which the (last) fault began."""
        return self.case.faults[-1][1].step

    @property
    def noticed(self) -> bool:
        """Whether an alarm came by it."""
        return bool(self.alarms)


@dataclass(frozen=True, slots=True)
class Row:
    """What one fault does alike in several runs: a row of the table.

    Args:
        effects: of those runs, all of one fault, kind, first alarm and broken rules.
    """

    effects: tuple[Effect, ...]

    @property
    def first(self) -> Effect:
        """The first of them."""
        return self.effects[0]

    @property
    def onsets(self) -> tuple[str, ...]:
        """The steps in which it begins so."""
        return tuple(dict.fromkeys(effect.onset for effect in self.effects))

    @property
    def ways(self) -> tuple[str, ...]:
        """The ways of use in which it does so."""
        return tuple(dict.fromkeys(effect.case.way.name for effect in self.effects))

    @property
    def after(self) -> tuple[Ns, Ns] | None:
        """Least and most time until the alarm."""
        times = [effect.after for effect in self.effects if effect.after is not None]
        return (min(times), max(times)) if times else None

    @property
    def told(self) -> tuple[str, ...]:
        """What is otherwise at the end, each once."""
        return tuple(dict.fromkeys(effect.told for effect in self.effects))


def effect_of(case: FaultCase, base: Facts, facts: Facts) -> Effect:
    """Hold a run against the way as it is without the fault."""
    onset = case.faults[-1][1].at
    first_onset = min(at.at for _, at in case.faults)
    known = [name for _, name in base.alarms]
    came = [(at, name) for at, name in facts.alarms if at >= first_onset and name not in known]
    before = {rule for rule, _, _ in base.broken}
    broken = [each for each in facts.broken if each[0] not in before]
    times = [at for _, at, _ in broken if at >= 0]
    told = _told(base, facts)
    kind = _kind(base, facts, [word for _, _, word in broken], noticed=bool(came), stopped=bool(told))
    return Effect(
        case,
        kind,
        tuple((rule, word) for rule, _, word in broken),
        tuple(dict.fromkeys(name for _, name in came)),
        Ns(came[0][0] - onset) if came else None,
        Ns(min(times) - onset) if times else None,
        told or ("nothing" if facts.trace == base.trace else "ends the same"),
    )


def _kind(base: Facts, facts: Facts, broken: Sequence[str], *, noticed: bool, stopped: bool) -> str:
    if set(facts.failed) - set(base.failed):
        return FAILED
    kind = next((_HAZARDS[word] for word in _HAZARDS if word in broken), "")
    if not kind and stopped:
        kind = STOPPED
    if not kind and noticed:
        return ALARMED
    if not kind:
        kind = NOTHING if facts.trace == base.trace else CHANGED
    return kind if noticed else kind + UNNOTICED


def _told(base: Facts, facts: Facts) -> str:
    """Tell what is otherwise at the end: failures, charts, counts; if all are as they were, expectations."""
    was, told = dict(base.ends), [text for text in facts.failed if text not in base.failed]
    told += [f"{name} {now}, not {was.get(name, 'so')}" for name, now in facts.ends if was.get(name) != now]
    told += [f"no {name}" for name, _ in base.ends if name not in dict(facts.ends) and not facts.failed]
    return "; ".join(told or [text for text in facts.unmet if text not in base.unmet])


def table(effects: Iterable[Effect]) -> tuple[Row, ...]:
    """Make the rows, worst first, those alike of one fault in one."""
    groups: dict[tuple[object, ...], list[Effect]] = {}
    for effect in effects:
        groups.setdefault((effect.kind, effect.fault, effect.alarms[:1], effect.rules), []).append(effect)
    rows = [Row(tuple(group)) for group in groups.values()]
    return tuple(sorted(rows, key=lambda row: (KINDS.index(row.first.kind), -len(row.effects))))


def never_raised(alarms: Iterable[str], effects: Iterable[Effect]) -> tuple[str, ...]:
    """Give the alarms that no fault of these raised."""
    raised = {name for effect in effects for name in effect.alarms}
    return tuple(name for name in alarms if name not in raised)


def dictionary(effects: Iterable[Effect]) -> Mapping[tuple[str, ...], Mapping[str, int]]:
    """Make the fault dictionary: alarms in the order they come -> the faults that raise them so, with counts."""
    found: dict[tuple[str, ...], dict[str, int]] = {}
    for effect in effects:
        if effect.noticed:
            faults = found.setdefault(effect.alarms, {})
            faults[effect.fault] = faults.get(effect.fault, 0) + 1
    return {
        pattern: dict(sorted(faults.items(), key=lambda pair: (-pair[1], pair[0])))
        for pattern, faults in sorted(found.items(), key=lambda pair: (pair[0][0], len(pair[0]), pair[0]))
    }


def alike(effects: Iterable[Effect]) -> tuple[tuple[str, ...], ...]:
    """Give the groups of faults that cannot be told apart: in every way and step they raise the same alarms."""
    shown: dict[str, list[tuple[str, str, tuple[str, ...]]]] = {}
    for effect in effects:
        shown.setdefault(effect.fault, []).append((effect.case.way.name, effect.onset, effect.alarms))
    groups: dict[tuple[tuple[str, str, tuple[str, ...]], ...], list[str]] = {}
    for fault, places in shown.items():
        if any(alarms for _, _, alarms in places):
            groups.setdefault(tuple(sorted(places)), []).append(fault)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)
