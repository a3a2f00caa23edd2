"""What became of one run, in a few words: alarms, broken rules, how it ended, and whether anything differed.

Judging a run is rig/outcome.py; what is asked is failures.py. Rule: facts only, so that they can be kept and compared
on another day; what they mean is failure_table.py.
"""

from dataclasses import dataclass
from hashlib import blake2b

from simplant.errors import InternalError, SimplantError
from simplant.rig.breaches import errors_in
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rules import Outcome
from simplant.scenario.model import Scenario
from simplant.scenario.trace import EVENT, rows_text
from simplant.timebase import Ns

DEMANDED, UNDEMANDED, ACCEPTED = "demanded", "not demanded", "accepted"


@dataclass(frozen=True, slots=True)
class Facts:
    """What became of one run.

    Args:
        alarms: instant and name of each alarm that came, in order.
        broken: each broken rule: name, instant (-1: at the end), and one of demanded, not demanded, accepted.
        hazards: lines of the hazard list that covered a broken rule.
        ends: how it ended: each chart with its step, each count with its number.
        unmet: expectations of its end that were not met.
        failed: what went wrong with the program or the plant.
        trace: a digest of all that changed, events apart.
    """

    alarms: tuple[tuple[Ns, str], ...] = ()
    broken: tuple[tuple[str, int, str], ...] = ()
    hazards: tuple[int, ...] = ()
    ends: tuple[tuple[str, str], ...] = ()
    unmet: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()
    trace: str = ""


def facts_of(machine: Machine, scenario: Scenario) -> Facts:
    """Run a scenario; a plant that does not settle is a fact too."""
    try:
        run = run_scenario(machine, scenario)
    except InternalError:
        raise
    except SimplantError as error:
        return Facts(failed=(error.what,))
    last = {step.chart: step.step for step in run.steps}
    return Facts(
        alarms=tuple((alarm.time, alarm.name) for alarm in run.alarms),
        broken=tuple(
            (v.rule, -1 if v.time is None else v.time, _word(run, v.rule))
            for v in run.verdicts
            if v.outcome is Outcome.BROKEN
        ),
        hazards=tuple(dict.fromkeys(hazard.place.line for hazard in run.accepted.values())),
        ends=(*last.items(), *((count.name, f"{count.value:g}") for count in run.counts)),
        unmet=tuple(unmet.what for unmet in run.unmet),
        failed=tuple(dict.fromkeys(event.text.partition(": ")[2] for event in errors_in(run.trace))),
        trace=digest_of(run),
    )


def digest_of(run: Run) -> str:
    """Give a digest of a trace, events apart."""
    text = rows_text(row for row in run.trace if row[1] != EVENT)
    return blake2b(text.encode(), digest_size=16).hexdigest()


def _word(run: Run, rule: str) -> str:
    return ACCEPTED if rule in run.accepted else UNDEMANDED if rule in run.undemanded else DEMANDED
