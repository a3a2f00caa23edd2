"""One cause that fails several at once: cables, sunlight; and how long a failure with two causes lasts."""

import pytest

from simplant import Machine, Rig
from simplant.errors import ScenarioError
from simplant.faults import Fault
from simplant.rig.reach import reaches
from simplant.scenario.model import Scenario, Stimulus
from simplant.timebase import Ns, ms, seconds

TOSS = Machine.load("programs/comet_toss")
SUMP = Machine.load("programs/sump_pumps")


def story(*faults, stimuli=(), length=10):
    return Rig(TOSS, Scenario("comet_toss", faults=faults, stimuli=stimuli, length=seconds(length)))


def changes(rig, *names, since=4):
    return [(at, name, value) for at, name, value in rig.trace if name in names and at >= seconds(since)]


def test_each_cable_and_all_optical_sensors():
    """A cable with two points or more; sensors that sunlight can blind, under whatever name they list it."""
    cables = dict.fromkeys(point.cable for point in TOSS.io if point.cable)
    many = [cable for cable in cables if sum(point.cable == cable for point in TOSS.io) > 1]
    assert [target for target, _ in TOSS.common_causes] == [*(f"cable {cable}" for cable in many), "all optics"]
    assert TOSS.common_causes["cable W3", "common_lost"] == tuple(
        (tag, "open_wire") for tag in ("table_at_left", "table_at_right", "gate_seen")
    )
    assert TOSS.common_causes["all optics", "sunlight"] == (
        ("limit_left", "blinded"), ("limit_right", "blinded"), ("gate", "blinded"), ("balls", "beam_blinded"),
    )  # fmt: skip
    assert ("all optics", "sunlight") not in SUMP.common_causes


def test_the_catalogue_has_them_and_says_what_they_reach():
    """One entry each, of the kind that says what happens; reach is that of all members together."""
    entries = [(e.target, e.mode.kind) for e in TOSS.catalogue]
    assert all(entries.count(key) == 1 for key in TOSS.common_causes)
    reach = reaches(TOSS)
    assert reach["cable W3"].seen_at == ("table_at_left", "table_at_right", "gate_seen")
    assert reach["all optics"].moves == ("limit_left", "limit_right", "gate", "balls")
    assert set(reach["cable W8"].moves) == {"lift", "wheel"}


def test_a_lost_common_opens_every_circuit_of_the_cable():
    """Cable W1 carries two NC circuits: both read 0 at the onset and what they should after the end."""
    rig = story(Fault("cable W1", "common_lost", seconds(5), seconds(1)), stimuli=RESET).run()
    seen = ("estop_healthy", "guard_closed")
    assert changes(rig, *seen) == [
        (seconds(5), "estop_healthy", False),
        (seconds(5), "guard_closed", False),
        (seconds(6), "estop_healthy", True),
        (seconds(6), "guard_closed", True),
    ]


RESET = (Stimulus(seconds(3), "reset", "press", duration=ms(200)),)


def test_sunlight_blinds_them_all():
    """Both table limits and the gate sensor see what is not there: the trip says so."""
    rig = story(Fault("all optics", "sunlight", seconds(5), seconds(2)), stimuli=RESET).run()
    tags = ("table_at_left", "table_at_right", "alarm_both_limits")
    assert rig.alarms[:1] == ("both_limits",)
    assert [(at // ms(100), name, value) for at, name, value in changes(rig, *tags[:2])] == [
        (50, "table_at_left", True), (50, "table_at_right", True),
        (70, "table_at_left", False), (70, "table_at_right", False),
    ]  # fmt: skip


@pytest.mark.parametrize("own", [seconds(4), seconds("5.5")])
def test_a_failure_lasts_as_long_as_one_of_its_causes(own):
    """A wire broken from before, or within, the lost common until after it: open from the first to the last."""
    lost = Fault("cable W1", "common_lost", seconds(5), seconds(1))
    broken = Fault("guard_closed", "open_wire", Ns(own), Ns(seconds(8) - own))
    rig = story(lost, broken, stimuli=RESET).run()
    assert changes(rig, "guard_closed") == [
        (min(own, seconds(5)), "guard_closed", False),
        (seconds(8), "guard_closed", True),
    ]


def test_a_cable_that_is_not_there():
    """A misspelt target is answered with the nearest."""
    with pytest.raises(ScenarioError, match="cable W3"):
        story(Fault("cable W33", "common_lost", seconds(5)))
