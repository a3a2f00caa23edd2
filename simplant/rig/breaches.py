"""Which broken rules count: those demanded under the faults of the run and covered by no accepted hazard.

Verdicts are rules/; the whole judgement of a scenario is outcome.py. Rule: nothing is dropped; a breach is demanded,
accepted or undemanded, and one of the three only.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.errors import RuleBroken
from simplant.faults import Fault
from simplant.kernel.event import EventKind
from simplant.rules import Claim, Hazard, Outcome, Verdict, accepted
from simplant.rules.settle import RACE, UNREST
from simplant.scenario.model import Force
from simplant.scenario.records import EventRecord, events_of
from simplant.scenario.trace import Row
from simplant.scenario.window import window_text
from simplant.timebase import Ns, show

DEMANDED: Final = {"none": 0, "single": 1, "pair": 2}
"""The most faults at a time under which a rule of each class must hold."""


@dataclass(frozen=True, slots=True)
class Breaches:
    """The broken rules of a run.

    Attributes:
        demanded: those that are findings.
        accepted: those that the hazard list accepts under these faults, and where it says so.
        undemanded: those broken under more faults than they must bear.
    """

    demanded: tuple[Verdict, ...]
    accepted: Mapping[str, Hazard]
    undemanded: tuple[str, ...]


def breaches_of(
    verdicts: Iterable[Verdict], claims: Iterable[Claim], faults: Sequence[Fault], hazards: Sequence[Hazard]
) -> Breaches:
    """Sort the broken rules of a run; what counts for each are the faults that had begun when it first broke."""
    bears = {claim.name: DEMANDED[claim.faults] for claim in claims}
    demanded, covered, undemanded = [], {}, []
    for verdict in (v for v in verdicts if v.outcome is Outcome.BROKEN):
        begun = [fault for fault in faults if fault.onset <= (verdict.time or 0)]
        hazard = accepted(verdict, [name for fault in begun for name in fault.names], hazards)
        if hazard is not None:
            covered[verdict.rule] = hazard
        elif len(begun) <= bears[verdict.rule]:
            demanded.append(verdict)
        else:
            undemanded.append(verdict.rule)
    return Breaches(tuple(demanded), covered, tuple(undemanded))


def errors_in(rows: Iterable[Row]) -> tuple[EventRecord, ...]:
    """Give the events of a trace at which a program failed or was caught in a race."""
    return _events(rows, EventKind.ERROR.value, RACE)


def unrest_in(rows: Iterable[Row]) -> tuple[EventRecord, ...]:
    """Give the events of a trace at which a program did not come to rest, with no verdict whether it ever does."""
    return _events(rows, UNREST)


def _events(rows: Iterable[Row], *kinds: str) -> tuple[EventRecord, ...]:
    return tuple(event for event in events_of(rows) if any(f": {kind}:" in event.text for kind in kinds))


def broken_at(verdict: Verdict, faults: Iterable[Fault] = (), forces: Iterable[Force] = ()) -> str:
    """Say in one line that a rule is broken, and which faults and forces were there or had been."""
    at = verdict.time or 0
    happened = [(f"fault {f}", f.onset, f.ends) for f in faults]
    happened += [(f"force {f.tag} = {f.value}", f.at, f.ends) for f in forces]
    under = [f"{what} since {show(begun)}" for what, begun, ends in happened if begun <= at < ends]
    after = [f"{what} from {show(begun)} to {show(ends)}" for what, begun, ends in happened if ends <= at]
    told = [f"{word} {', '.join(those)}" for word, those in (("under", under), ("after", after)) if those]
    return " ".join([f"rule {verdict.rule!r} broken at {show(at)}", *told])


def told_with_timeline(verdict: Verdict, rows: Iterable[Row]) -> str:
    """Tell a breach: the verdict, each signal since when, and what happened around it."""
    around = window_text(rows, verdict.time or 0, [name for name, _, _ in verdict.tags])
    return f"{verdict.told()}\n{around}"


def broken_rules(
    demanded: Sequence[Verdict], rows: Iterable[Row], faults: Sequence[Fault] = (), forces: Sequence[Force] = ()
) -> RuleBroken:
    """Make one error of all demanded rules that are broken; its notes tell each with its timeline."""
    rows = list(rows)
    error = RuleBroken("; ".join(broken_at(verdict, faults, forces) for verdict in demanded))
    for verdict in demanded:
        error.add_note(told_with_timeline(verdict, rows))
    return error


def told_so_far(
    name: str, now: Ns, charts: Iterable[str], alarms: Iterable[str], verdicts: Iterable[Verdict], rows: Iterable[Row]
) -> str:
    """Tell where a run is: for a test that fails before its end."""
    lines = [f"{name} at {show(now)}: " + "; ".join([*charts, f"alarms: {', '.join(alarms) or 'none'}"])]
    lines += [verdict.told() for verdict in verdicts if verdict.outcome is Outcome.BROKEN]
    return "\n".join([*lines, window_text(rows, now)])
