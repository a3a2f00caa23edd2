"""One run, judged: what happened, what the rules say, and whether it is what the scenario expects.

Running is rig.py; showing is cli/views/. Rule: a rule is a finding only if it was demanded under
the faults of the run and no accepted hazard covers it; nothing is dropped from sight either way.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from simplant.rig.breaches import breaches_of, broken_at, errors_in, unrest_in
from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.rules import Hazard, Outcome, Verdict
from simplant.scenario.model import Scenario, State, as_expected
from simplant.scenario.recorder import Recorder
from simplant.scenario.records import (
    AlarmRecord,
    BallRecord,
    Count,
    EventRecord,
    ForcedRecord,
    ScanCount,
    StepRecord,
    alarms_of,
    events_of,
    steps_of,
)
from simplant.scenario.trace import EVENT, Row, Rows, TraceFile
from simplant.timebase import NEVER, Ns, show


@dataclass(frozen=True, slots=True)
class Unmet:
    """An expectation that was not met: `what` without instants and measured numbers, so that runs can be compared."""

    what: str
    told: str


@dataclass(frozen=True, slots=True)
class Run:
    """A finished run.

    Attributes:
        verdicts: one per rule, in order.
        accepted: rules broken as the hazard list accepts under the faults of the run.
        undemanded: rules broken under more faults than they must bear.
        unmet: expectations of the scenario, other than of rules, that were not met.
        findings: what is wrong, a line each: broken rules, unmet expectations, a program that failed.
        warnings: rules not decided, and in one line those not exercised, unless the scenario expects that.
    """

    machine: Machine
    scenario: Scenario
    trace: Rows
    ended: Ns
    verdicts: tuple[Verdict, ...]
    accepted: Mapping[str, Hazard]
    undemanded: tuple[str, ...]
    steps: tuple[StepRecord, ...]
    alarms: tuple[AlarmRecord, ...]
    events: tuple[EventRecord, ...]
    forced: tuple[ForcedRecord, ...]
    balls: tuple[BallRecord, ...]
    counts: tuple[Count, ...]
    scans: tuple[ScanCount, ...]
    moves: int
    unmet: tuple[Unmet, ...]
    findings: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def broken(self) -> tuple[Verdict, ...]:
        """The broken rules that are findings."""
        spared = {*self.accepted, *self.undemanded}
        return tuple(v for v in self.verdicts if v.outcome is Outcome.BROKEN and v.rule not in spared)

    @property
    def exit_code(self) -> int:
        """0: held; 1: there are findings."""
        return 1 if self.findings else 0


def run_scenario(
    machine: Machine,
    scenario: Scenario,
    *,
    every_scan: bool = False,
    recorder: Recorder | None = None,
    progress: Callable[[Ns], None] | None = None,
    pace: Callable[[Rig, Ns], None] | None = None,
) -> Run:
    """Run a scenario with all rules of its machine, and judge it.

    Args:
        machine: what to run.
        scenario: what happens to it.
        every_scan: never sleep.
        recorder: where the trace goes; by default memory.
        progress: told the instant reached now and then.
        pace: runs the rig up to an instant, in place of `Rig.run_until` (real time).

    Raises:
        SimplantError: the scenario does not fit the machine, or the plant does not settle.
    """
    missed: list[Unmet] = []
    recorder = recorder or Recorder(Rig.header_of(machine, scenario))
    go = pace or (lambda rig, until: rig.run_until(until, progress=progress))
    with recorder:  # whatever fails from here on leaves no half-written trace
        _ = machine.hazards  # read before the run, so that what is wrong with them is told at once
        rig = Rig(machine, scenario, every_scan=every_scan, recorder=recorder)
        for at, state in scenario.expect.at:
            go(rig, at)
            missed += _unmet(rig, state, f"at {show(at)}")
        go(rig, scenario.length)
    missed += _unmet(rig, scenario.expect.end, "at the end")
    verdicts = rig.finish()
    path = rig.recorder.path
    rows: Rows = rig.recorder.trace() if path is None else TraceFile(path)
    telling = {EVENT, *machine.alarm_texts, *machine.program.charts}
    told = [row for row in rows if row[1] in telling]
    alarms = alarms_of(told, machine.alarm_texts)
    missed += _alarms_unmet(scenario, alarms, rig, machine)
    return _judged(rig, rows, told, verdicts, alarms, missed)


def _judged(
    rig: Rig, rows: Rows, told: Sequence[Row], verdicts: tuple[Verdict, ...], alarms: tuple[AlarmRecord, ...],
    missed: Sequence[Unmet],
) -> Run:  # fmt: skip
    machine, scenario = rig.machine, rig.scenario
    breaches = breaches_of(verdicts, rig.claims, rig.faults, machine.hazards)
    expect = scenario.expect
    findings = [broken_at(verdict, rig.faults, rig.forces) for verdict in breaches.demanded]
    names = {v.rule for v in verdicts if v.outcome is Outcome.BROKEN}
    findings += [f"rule {r!r} was expected to break and did not: take it off" for r in expect.broken if r not in names]
    findings += [event.text for event in errors_in(told)]
    warnings = [
        f"rule {v.rule!r} was {v.outcome.value}"
        for v in verdicts
        if v.outcome is Outcome.UNDECIDED and v.rule not in expect.undecided
    ]
    warnings += [event.text for event in unrest_in(told)]
    idle = [v.rule for v in verdicts if v.outcome is Outcome.NOT_EXERCISED and v.rule not in expect.not_exercised]
    warnings += [f"not exercised in this run: {', '.join(idle)}"] if idle else []
    outcomes = {v.rule: v.outcome for v in verdicts}
    for wanted, outcome in ((expect.not_exercised, Outcome.NOT_EXERCISED), (expect.undecided, Outcome.UNDECIDED)):
        findings += [
            f"rule {r!r} was expected to be {outcome.value}, but was {outcomes[r].value}"
            for r in wanted
            if outcomes[r] is not outcome
        ]
    return Run(
        machine,
        scenario,
        rows,
        rig.now,
        verdicts,
        breaches.accepted,
        breaches.undemanded,
        steps_of(told, machine.program.charts),
        alarms,
        events_of(told),
        tuple(_forced(scenario.shifted())),
        tuple(BallRecord(*entry) for part in rig.world.parts.values() for entry in part.ledger()),
        tuple(Count(name, rig.value(truth)) for name, truth in machine.file.machine.counts.items()),
        tuple(_scans(rig)),
        rig.world.moves,
        tuple(missed),
        (*findings, *(unmet.told for unmet in missed)),
        tuple(warnings),
    )


def _forced(scenario: Scenario) -> list[ForcedRecord]:
    return [ForcedRecord(f.tag, f.value, f.at, None if f.ends == NEVER else f.ends) for f in scenario.forces]


def _scans(rig: Rig) -> list[ScanCount]:
    return [
        ScanCount(name, *controller.counts(rig.now), controller.why_awake)
        for name, controller in rig.controllers.items()
    ]


def _unmet(rig: Rig, state: State, when: str) -> list[Unmet]:
    unmet = []
    wanted: list[tuple[str, Any]] = [*state.tags.items(), *state.steps.items(), *state.truths.items()]
    for name, value in wanted:
        actual = rig.value(name)
        if not as_expected(value, actual):
            roughly = "not as expected" if isinstance(actual, float) else repr(actual)
            told = f"{when} {name} is {actual!r} since {show(rig.since(name))}, expected {value!r}"
            unmet.append(Unmet(f"{when} {name} is {roughly}", told))
    return unmet


def _alarms_unmet(scenario: Scenario, alarms: Sequence[AlarmRecord], rig: Rig, machine: Machine) -> list[Unmet]:
    expect = scenario.expect
    unmet = []
    came = tuple(a.name for a in alarms)
    if expect.alarms is not None and came != expect.alarms:
        what = f"alarms came: {', '.join(came) or 'none'}"
        unmet.append(Unmet(what, f"{what}; expected: {', '.join(expect.alarms) or 'none'}"))
    if expect.first_out is not None:
        first = next((a.name for a in alarms if a.first_out), "none")
        if first != expect.first_out:
            what = f"first-out was {first}"
            unmet.append(Unmet(what, f"{what}, expected {expect.first_out}"))
    return unmet
