"""Stories drawn with hypothesis, steered by its targets: the way of tests, where the profile of a test run decides.

As with the command's own steering (steer.py), each way of play is told first as it is; the other stories are drawn in
draw.py. Rule: no database, no deadline, the same stories every time; what is found is made small by our own reducer, so
hypothesis need not shrink.
"""

from collections.abc import Callable

from hypothesis import HealthCheck, Phase, given, settings, target

from simplant.fuzz.cover import covered, margins
from simplant.fuzz.decode import Decoder
from simplant.fuzz.draw import stories
from simplant.fuzz.story import Story
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.scenario.model import Scenario

Wrong = Callable[[Run], BaseException | None]
"""What a run is judged by: an error to be raised, or None."""


class _Found(Exception):  # noqa: N818 - a finding ends the drawing, no more
    """Carries a find out of hypothesis."""

    def __init__(self, scenario: Scenario) -> None:
        super().__init__(scenario)
        self.scenario = scenario


def first_wrong(machine: Machine, decoder: Decoder, cases: int, judge: Wrong) -> Scenario | None:
    """Tell stories until one goes wrong: first each way of play as it is, then what is drawn.

    Args:
        machine: of which.
        decoder: makes scenarios of stories.
        cases: how many at most.
        judge: says what is wrong with a run.

    Returns:
        The first that went wrong, as it was told; None if none did.
    """
    alone = [decoder.scenario(Story(play=play)) for play in range(1, len(decoder.plays))][:cases]
    for scenario in alone:
        if judge(run_scenario(machine, scenario)) is not None:
            return scenario
    return _first_drawn(machine, decoder, cases - len(alone), judge) if cases > len(alone) else None


def _first_drawn(machine: Machine, decoder: Decoder, cases: int, judge: Wrong) -> Scenario | None:
    @settings(
        max_examples=cases, deadline=None, database=None, derandomize=True, phases=[Phase.generate, Phase.target],
        suppress_health_check=list(HealthCheck), report_multiple_bugs=False, print_blob=False,
    )  # fmt: skip
    @given(stories(*decoder.sizes))
    def tell(story: Story) -> None:
        scenario = decoder.scenario(story)
        run = run_scenario(machine, scenario)
        if judge(run) is not None:
            raise _Found(scenario)
        for rule, margin in margins(run).items():
            if margin < 1:
                target(-margin, label=rule)
        target(len(covered(run).features), label="covered")

    try:
        tell()
    except _Found as found:
        return found.scenario
    return None
