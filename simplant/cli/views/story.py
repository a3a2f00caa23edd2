"""A run told in order of time, for an engineer who reads no Python: what happened, what the program did, the machine.

The trace it is taken from is scenario/, the verdict rules/. Rule: steps, alarms and the signals of the broken rule
only; the trace has the rest.
"""

from collections.abc import Collection, Iterator
from typing import Final

from rich.console import RenderableType

from simplant.cli.views.plain import plain_table, seconds_text, shown
from simplant.rig.outcome import Run
from simplant.rules import Verdict
from simplant.scenario.model import Scenario, Stimulus
from simplant.scenario.trace import EVENT, Row
from simplant.timebase import NEVER, Ns, show

MOST: Final = 80
"""Rows shown; the first ones are left out."""
Line = tuple[int, str, str, str]


def story_view(run: Run, verdict: Verdict | None) -> RenderableType:
    """Show a run up to a breach, or to its end."""
    ends = run.ended if verdict is None or verdict.time is None else verdict.time
    names = [name for name, _, _ in verdict.tags] if verdict else []
    lines = [*_happened(run.scenario), *(line for row in run.trace if (line := _line(run, row, names)))]
    if verdict is not None:
        lines.append((ends, "", "", f"RULE BROKEN: {verdict.rule}"))
    told = sorted((line for line in lines if line[0] <= ends), key=lambda line: line[0])[-MOST:]
    rows = [(seconds_text(Ns(at)), *texts) for at, *texts in told]
    return plain_table("The story", (">at s", "what happens", "the program", "the machine"), rows)


def _happened(scenario: Scenario) -> Iterator[Line]:
    for name, value in scenario.parameters.items():
        yield 0, "", "", f"{name} is {value:g}"
    for s in scenario.stimuli:
        yield s.at, acted(s), "", ""
    for power in scenario.power:
        back = "" if power.duration == NEVER else f" for {show(power.duration)}, then {power.restart} restart"
        yield power.at, f"controller {power.controller} loses power{back}", "", ""


def acted(stimulus: Stimulus) -> str:
    """Say what somebody does: `start: press for 200 ms`."""
    value = "" if stimulus.value is None else f" {stimulus.value}"
    lasting = "" if stimulus.duration == NEVER else f" for {show(stimulus.duration)}"
    return f"{stimulus.on}: {stimulus.do}{value}{lasting}"


def _line(run: Run, row: Row, names: Collection[str]) -> Line | None:
    at, name, value = row
    program = run.machine.program
    if name == EVENT:
        return at, str(value), "", ""
    if at == 0:
        return None
    if name in program.charts:
        return at, "", f"{name}: {value}", ""
    if name in run.machine.alarm_texts and value is True:
        return at, "", f"alarm {name}: {run.machine.alarm_texts[name]}", ""
    if name in names:
        text = f"{name} = {shown(value)}"
        return (at, "", text, "") if name in program.declared else (at, "", "", text)
    return None
