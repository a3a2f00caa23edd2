"""A run told in order of time, for an engineer who reads no Python: what happened, what the program did, the machine.

The trace it is taken from is scenario/, the verdict rules/. Rule: steps, alarms and the signals of the broken rule
only; the trace has the rest.
"""

from collections.abc import Collection, Iterator
from typing import Final

from rich.console import RenderableType

from simplant.cli.views.plain import plain_table, shown
from simplant.logic.written import writings, written_at
from simplant.rig.outcome import Run
from simplant.rules import Verdict
from simplant.scenario.model import Scenario, Stimulus
from simplant.scenario.trace import EVENT, seconds_text
from simplant.timebase import NEVER, Ns, show
from simplant.values import Value

MOST: Final = 80
"""Rows shown; the first ones are left out."""
PLACES: Final = 2
"""So many lines of the program are named for one change; of more, none."""
Line = tuple[int, str, str, str, str]


def story_view(run: Run, verdict: Verdict | None) -> RenderableType:
    """Show a run up to a breach, or to its end."""
    ends = run.ended if verdict is None or verdict.time is None else verdict.time
    names = [name for name, _, _ in verdict.tags] if verdict else []
    lines = [*_happened(run.scenario), *_traced(run, names)]
    if verdict is not None:
        by = f", by {verdict.margin_text.removeprefix('-')}" if verdict.margin_text else ""
        lines.append((ends, "", "", "", f"RULE BROKEN: {verdict.rule}{by}"))
    told = sorted((line for line in lines if line[0] <= ends), key=lambda line: line[0])[-MOST:]
    rows = [(seconds_text(Ns(at)), *texts) for at, *texts in told]
    return plain_table("The story", (">at s", "what happens", "the program", "written at", "the machine"), rows)


def _happened(scenario: Scenario) -> Iterator[Line]:
    yield from ((0, "", "", "", text) for text in _otherwise(scenario))
    for s in scenario.shifted().stimuli:
        yield s.at, acted(s), "", "", ""
    for power in scenario.shifted().power:
        back = "" if power.duration == NEVER else f" for {show(power.duration)}, then {power.restart} restart"
        yield power.at, f"controller {power.controller} loses power{back}", "", "", ""


def _otherwise(scenario: Scenario) -> Iterator[str]:
    """Say what is not as the machine is drawn."""
    for name, value in scenario.parameters.items():
        yield f"{name} is {value:g}"
    for tag, kept in scenario.retained.items():
        yield f"{tag} was kept as {shown(kept)}"
    for controller, scans in scenario.scans.items():
        every = f" every {show(scans.period)}" if scans.period else ""
        late = f", up to {show(scans.jitter)} late" if scans.jitter else ""
        yield f"{controller} scans{every}{late}".replace("scans,", "scans")
    if scenario.ties:
        yield "what comes at one instant comes in another order"


def acted(stimulus: Stimulus) -> str:
    """Say what somebody does: `start: press for 200 ms`."""
    value = "" if stimulus.value is None else f" {stimulus.value}"
    lasting = "" if stimulus.duration == NEVER else f" for {show(stimulus.duration)}"
    return f"{stimulus.on}: {stimulus.do}{value}{lasting}"


def _traced(run: Run, names: Collection[str]) -> Iterator[Line]:
    """Give what the trace has of steps, alarms and the signals of the rule, with the lines of the program."""
    program, plan = run.machine.program, run.machine.controllers[0]
    written = writings(plan.layouts)
    words = {slot.name: slot.words for layout in plan.layouts for slot in layout.slots if slot.words}
    shown_anyway = () if program.charts else plan.outputs
    before: dict[str, Value] = {}
    for at, name, value in run.trace:
        number = words[name].index(value) if name in words and value in words[name] else value
        places = written_at(written.get(name, ()), number, before.get(name, False))
        where = " ".join(f"{p.file.rpartition('/')[2]}:{p.line}" for p in places) if len(places) <= PLACES else ""
        before[name] = number
        if name == EVENT:
            yield at, str(value), "", "", ""
        elif at and name in program.charts:
            yield at, "", f"{name}: {value}", where, ""
        elif at and name in run.machine.alarm_texts and value is True:
            yield at, "", f"alarm {name}: {run.machine.alarm_texts[name]}", where, ""
        elif at and (name in names or name in shown_anyway):
            text = f"{name} = {shown(value)}"
            yield (at, "", text, where, "") if name in program.declared else (at, "", "", "", text)
