"""The stamp station over every single fault, and how fast its stamp stops: what one scenario file cannot say.

A simulation proves nothing about safety functions: the stop time of a real machine is measured at the machine.
"""

from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

from simplant import Fault, Machine, Rig, Scenario, Stimulus, ms, seconds
from simplant.rig.outcome import run_scenario
from simplant.rules import Outcome
from simplant.scenario.read import read_scenario
from simplant.wiring.light_curtain import safety_distance

ROOT = Path(__file__).parents[2]
SCENARIOS = sorted((ROOT / "scenarios" / "stamp_station").glob("*.toml"))

DISTANCE, RESOLUTION = 320.0, 30.0  # mm: where the light curtain stands, and what it sees (machine.toml)
WARM = {"head.start": 145.0}
LATE = {"curtain.response": 1.3, "safety.response": 1.2, "safe24.release": 1.3, "stamp_valve.switch_off": 1.3}
"""What adds up to the stop time, each with the share to which it may grow by its tolerance."""


@pytest.fixture(scope="module")
def machine():
    return Machine.load(ROOT / "programs" / "stamp_station")


def press(at, button, length=300):
    return Stimulus(ms(at), button, "press", duration=ms(length))


START = (press(3000, "reset"), press(5000, "start"))


def stopped(machine, at, shares, faults=()):
    """Reach in while the stamp is on its way down; give how long it still moves on, s."""
    parts = machine.build({})
    longer = {name: parts[name.split(".")[0]].p[name.split(".")[1]] * share for name, share in shares.items()}
    story = Scenario(
        "stamp_station",
        length=seconds(19),
        stimuli=(*START, Stimulus(at, "curtain", "interrupt", duration=seconds(1))),
        faults=faults,
        parameters={**WARM, "stamp.stroke": 0.5, **longer},  # long enough that it cannot stop at its end
    )
    rig = Rig(machine, story, claims=()).run()
    ends = [when for when, name, value in rig.trace if name == "stamp.moving" and value is False and when > at]
    return (ends[0] - at) / 1e9


PHASES = [ms(17600) + ms(2) * n for n in range(5)]  # all over one scan


def test_the_stamp_stops_before_the_hand_is_there(machine):
    """From a hand in the field until the stamp stands, all that delays it at the end of its tolerance: S <= 320 mm.

    The time is the sum of curtain, safety relay, contactor and valve (derivation): the program is no part of it, but
    may be sooner. Source of S = 2000 T + 8 (d - 14): ISO 13855 as quoted in manuals of light curtains, see
    `tests/external/test_guards.py`.
    """
    parts = machine.build({})
    chain = sum(parts[n.split(".")[0]].p[n.split(".")[1]] * share for n, share in LATE.items())
    without_program = (Fault("stamp_cmd", "stuck_on", seconds(17)),)
    measured = [stopped(machine, at, LATE, without_program) for at in PHASES]
    assert measured == [pytest.approx(chain, abs=1e-6)] * len(PHASES)
    assert [stopped(machine, at, LATE) <= chain + 1e-6 for at in PHASES] == [True] * len(PHASES)
    assert safety_distance(chain, RESOLUTION) <= DISTANCE


def test_a_slow_valve_needs_more_room_than_there_is(machine):
    """Why a slow valve stands in the hazard list: five times as slow it takes the stop time past the distance."""
    slow = (Fault("stamp_valve", "slow", seconds(1)),)
    assert safety_distance(stopped(machine, PHASES[0], {}), RESOLUTION) < DISTANCE
    assert safety_distance(stopped(machine, PHASES[0], {}, slow), RESOLUTION) > DISTANCE


def test_parts_are_kept_account_of(machine):
    """What the feeder gave is on the belt, picked, or scrap, at every instant; nothing goes in or out of the world."""
    hand = Stimulus(ms(24100), "curtain", "interrupt", duration=seconds(1))
    again = (press(28000, "reset"), press(30000, "start"))
    rig = Rig(machine, Scenario("stamp_station", length=seconds(50), stimuli=(*START, hand, *again), parameters=WARM))
    rig.run()
    counts = dict.fromkeys(("feeder.fed", "belt.on_belt", "belt.removed", "belt.delivered"), 0)
    sums = {}
    for at, name, value in rig.trace:
        if name in counts:
            counts[name] = value
            fed, *elsewhere = counts.values()
            sums[at] = fed - sum(elsewhere)
    assert set(sums.values()) == {0}
    assert counts == {"feeder.fed": 4, "belt.on_belt": 1, "belt.removed": 2, "belt.delivered": 1}


@pytest.mark.slow
def test_every_rule_is_put_to_the_test_by_a_scenario(machine):
    """A rule that no scenario exercises proves nothing. All scenarios are as they expect."""
    exercised = set()
    for path in SCENARIOS:
        result = run_scenario(machine, read_scenario(path))
        assert not result.findings, path.name
        exercised |= {v.rule for v in result.verdicts if v.outcome is not Outcome.NOT_EXERCISED}
    assert set(machine.rules.names) == exercised


SERVICE = (press(9000, "stop"), press(16000, "service", 2000), Stimulus(ms(16500), "guard", "open"))
STROKE, AT_REST = ms(17300), ms(13000)
STORIES = (
    (STROKE, (Stimulus(ms(17350), "curtain", "interrupt", duration=seconds(2)),)),
    (STROKE, (Stimulus(ms(17350), "guard", "open"),)),
    (STROKE, SERVICE),
    (AT_REST, SERVICE),
)
"""When a fault comes, and what people do."""


@pytest.mark.slow
def test_every_single_fault_is_borne_or_accepted(machine):
    """No rule breaks under a fault it must bear, but for the hazards accepted.

    Each row of the hazard list is needed: every rule in it does break, and every fault in it does lead to that.
    """
    broke, led = set(), set()
    small = {**WARM, "head.capacity": 30.0}  # quick to get too hot
    for entry, (onset, stimuli) in product(machine.catalogue, STORIES):
        fault = entry.fault(onset)
        story = Scenario(
            "stamp_station", length=seconds(20), stimuli=(*START, *stimuli), faults=(fault,), parameters=small
        )
        result = run_scenario(machine, story)
        assert not result.findings, fault
        broke |= {(rule, hazard.place) for rule, hazard in result.accepted.items()}
        rows = set(result.accepted.values())
        led |= {(way, h.place) for h in rows for way in h.faults if replace(h, faults=(way,)).applies(fault.names)}
    assert broke == {(rule, h.place) for h in machine.hazards for rule in h.rules}
    assert led == {(way, h.place) for h in machine.hazards for way in h.faults}


def test_not_a_line_of_python():
    """Plant, wiring, rules, hazards, scenarios are tables; the program is Structured Text; its page is made of them."""
    folders = [Path("programs/stamp_station"), Path("scenarios/stamp_station")]
    page = {".md", ".svg"}
    assert {path.suffix for folder in folders for path in folder.iterdir()} - page == {".csv", ".toml", ".st", ".trace"}
