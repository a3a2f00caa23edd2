"""Starting anywhere: retained memory, the plant's initial state, and where in a scan the story begins."""

from dataclasses import replace
from pathlib import Path

import pytest

from simplant import Machine, Rig, Scenario, ms, seconds
from simplant.errors import ScenarioError
from simplant.scenario.model import Force, Power, Stimulus
from simplant.scenario.read import parse_scenario
from simplant.scenario.write import scenario_text

ROOT = Path(__file__).parents[2]
HEAD = 'machine = "comet_toss"\nlength = "3s"\n'


@pytest.fixture(scope="module")
def toss() -> Machine:
    return Machine.load(ROOT / "programs/comet_toss")


@pytest.fixture(scope="module")
def sump() -> Machine:
    return Machine.load(ROOT / "programs/sump_pumps")


def test_retained_values_are_there_from_the_first_instant(toss: Machine) -> None:
    """They stand in the trace at 0 s, outlast the boot, and the start is a warm one; others are initial."""
    scenario = parse_scenario(HEAD + '[retained]\ntosses = 41\nquickest_2 = "9s"\n')
    rig = Rig(toss, scenario).run()
    at_start = {name: value for at, name, value in rig.trace if at == 0}
    names = ("tosses", "quickest_1", "quickest_2", "balls_lost")
    assert [at_start[n] for n in names] == [rig.value(n) for n in names] == [41, seconds(99), seconds(9), 0]
    started = [str(value) for _, _, value in rig.trace if "restart" in str(value)]
    assert any("main" in text and "warm: retained values kept" in text for text in started), started


def test_without_retained_values_the_first_start_is_cold(toss: Machine) -> None:
    rig = Rig(toss, parse_scenario(HEAD)).run()
    assert not [value for _, _, value in rig.trace if "main: restart: warm" in str(value)]


def test_what_was_kept_decides_what_happens(sump: Machine) -> None:
    """The other pump leads the first pump-down if the memory says so."""
    first = {}
    for kept in (True, False):
        scenario = Scenario("sump_pumps", length=seconds(60), retained={"two_leads": kept})
        rig = Rig(sump, scenario).run()
        first[kept] = next(name for _, name, value in rig.trace if name.endswith("_run_cmd") and value is True)
    assert first == {True: "pump_1_run_cmd", False: "pump_2_run_cmd"}


MISTAKES = [
    ("tosses = 1.5", "scenario:4:1: INT cannot hold 1.5. It is a real number, not a integer. Write a whole number."),
    ("tosses = 99999", "scenario:4:1: 99999 does not fit INT. INT goes from -32768 to 32767."),
    ("tossses = 1", "scenario:4:1: there is no retained tag 'tossses'. Close in spelling: tosses."),
    ('quickest_1 = "9 parsec"', "scenario:4:1: '9 parsec' is not a duration."),
]  # fmt: skip


@pytest.mark.parametrize(("line", "message"), MISTAKES, ids=[line for line, _ in MISTAKES])
def test_mistakes_in_retained_values(toss: Machine, line: str, message: str) -> None:
    """Refused before anything runs, with the place."""
    with pytest.raises(ScenarioError) as caught:
        Rig(toss, parse_scenario(HEAD + f"[retained]\n{line}\n"))
    assert str(caught.value).startswith(message)


def test_the_plant_starts_where_it_is_put(toss: Machine) -> None:
    """A parameter of the plant sets the initial state: the table stands anywhere."""
    rig = Rig(toss, parse_scenario(HEAD + "[set]\ntable.start_angle = 37.5\n")).run(ms(1))
    assert rig.value("table.angle") == 37.5


STORY = Scenario(
    "comet_toss",
    length=seconds(6),
    stimuli=(Stimulus(seconds(3), "reset", "press", None, ms(300)), Stimulus(seconds(4), "door", "open")),
    forces=(Force(seconds(5), "horn", True, ms(20)),),
    power=(Power(seconds(5), "main", ms(50)),),
)


def test_phase_shifts_everything_that_comes_from_outside(toss: Machine) -> None:
    """A phase of 3 ms gives the trace of the same story with 3 ms added to each of its instants."""
    by = ms(3)
    by_hand = replace(
        STORY,
        stimuli=tuple(replace(s, at=s.at + by) for s in STORY.stimuli),
        forces=tuple(replace(f, at=f.at + by) for f in STORY.forces),
        power=tuple(replace(p, at=p.at + by) for p in STORY.power),
    )
    shifted, same = Rig(toss, replace(STORY, phase=by)).run(), Rig(toss, by_hand).run()
    plain = Rig(toss, STORY).run()
    assert list(shifted.trace) == list(same.trace)
    assert list(shifted.trace) != list(plain.trace)


def test_phase_is_written_and_read_back() -> None:
    """Text and value agree, and no phase leaves no line."""
    shifted = replace(STORY, phase=ms(3))
    assert 'phase = "3ms"' in scenario_text(shifted)
    assert parse_scenario(scenario_text(shifted)) == shifted
    assert "phase" not in scenario_text(STORY)


@pytest.mark.parametrize(("at", "seen"), [("4996ms", True), ("5s", False), ("5002ms", False), ("5004ms", True)])
def test_a_pulse_shorter_than_a_scan_is_seen_or_not(toss: Machine, at: str, seen: bool) -> None:
    """A press of 4 ms, behind a filter of 3 ms, is seen only if a scan falls into it."""
    story = f"""{HEAD.replace("3s", "6s")}stimulus = [
      {{ at = "3s", on = "reset", do = "press", for = "300ms" }},
      {{ at = "4s", on = "mode", do = "select", value = 1 }},
      {{ at = "{at}", on = "start", do = "press", for = "4ms" }},
    ]
    """
    rig = Rig(toss, parse_scenario(story)).run()
    assert (rig.value("cycle") != "ready") is seen
