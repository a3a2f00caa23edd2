"""The scenarios of a draft: nobody touches anything, one start, a guard opened in the first step.

Each is tried on the drafted machine. Rule: what came of it is written as its expectation, and only if it came out as
such a story must; else there is no scenario.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rules import Outcome
from simplant.scenario.model import Expect, Scenario, State, Stimulus
from simplant.scenario.write import scenario_text
from simplant.starter.explore import Answer
from simplant.starter.feeds import PartDraft
from simplant.starter.program_text import limit_of
from simplant.starter.sort import Roles
from simplant.timebase import Ns, ms, seconds

POWER_UP: Final = "power_up"
CYCLE: Final = "one_cycle"
GUARD: Final = "guard_opened"
_GUARDS: Final = {"door": "open", "light_curtain": "interrupt", "emergency_stop": "press"}
"""Part -> what somebody does to it that must stop the machine."""


@dataclass(frozen=True, slots=True)
class Story:
    """One scenario to try, the step it must end in, and the alarms that must come."""

    name: str
    scenario: Scenario
    ends: str = "ready"
    alarms: tuple[str, ...] = ()


def stories(
    name: str, parts: Mapping[str, PartDraft], roles: Roles, answers: Mapping[str, Answer | None]
) -> Iterator[Story]:
    """Give what is to be tried on a draft."""
    quiet = "Power comes up and nobody touches anything: nothing moves"
    yield Story(POWER_UP, Scenario(name, quiet, length=seconds(10)))
    if not (roles.start and roles.motions):
        return
    presses = [(roles.reset, seconds(2)), (roles.start, seconds(4))]
    acts = tuple(Stimulus(at, button.part, "press", None, ms(300)) for button, at in presses if button)
    length = Ns(seconds(6) + sum(seconds(limit_of(answer)) for answer in answers.values()))
    yield Story(CYCLE, Scenario(name, "Reset, start: every step once", length=length, stimuli=acts))
    guard = next((other for stock in _GUARDS for other, part in parts.items() if part.part == stock), None)
    if guard and roles.needs:
        first = answers[roles.motions[0].name]
        at = Ns(seconds(4) + min(first.took // 2 if first else ms(300), ms(300)))
        opened = Stimulus(at, guard, _GUARDS[parts[guard].part])
        done = "pressed" if opened.do == "press" else "opened"
        title = f"{guard} is {done} in the first step: all stops, and stays so"
        scenario = Scenario(name, title, length=seconds(8), stimuli=(*acts, opened))
        yield Story(GUARD, scenario, "tripped", ("not_healthy",))


def told(machine: Machine, story: Story) -> str:
    """Give a scenario as text with what came of it as its expectation; "" if it did not come out as it must."""
    run = run_scenario(machine, story.scenario)
    through = story.name == CYCLE
    if run.findings or tuple(a.name for a in run.alarms) != story.alarms or not _ends(run, story.ends, through=through):
        return ""
    idle = tuple(v.rule for v in run.verdicts if v.outcome is Outcome.NOT_EXERCISED)
    steps = dict.fromkeys(machine.program.charts, story.ends)
    off = {} if story.scenario.stimuli else {point.name: False for point in machine.io.outputs}
    expect = Expect(not_exercised=idle, alarms=story.alarms, end=State(tags=off, steps=steps))
    return scenario_text(replace(story.scenario, expect=expect))


def _ends(run: Run, step: str, *, through: bool) -> bool:
    """Say whether it ends in a step; if it has to go through, whether it has been in every other one."""
    last = {each.chart: each.step for each in run.steps}
    seen = {each.step for each in run.steps}
    every = {name for chart in run.machine.program.charts.values() for name in chart.steps}
    return all(each == step for each in last.values()) and (not through or every - seen <= {"tripped"})
