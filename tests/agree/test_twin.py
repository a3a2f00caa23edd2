"""The plain-Python twin of comet_toss, which the bench is timed against, does what the compiled program does.

The twin is tests/bench/twin.py. Rule: every scenario, every scan: the same outputs, step and memory.
"""

import pytest

from simplant.rig.machine import Machine
from tests.bench.recorded import named, record, restarts, scenarios_of
from tests.bench.twin import CometToss, Inputs

MACHINE = Machine.load("programs/comet_toss")
SCENARIOS = scenarios_of(MACHINE)
(LAYOUT,) = MACHINE.controllers[0].layouts
PLACES = {slot.name: place for place, slot in enumerate(LAYOUT.slots)}
OUTPUTS = [PLACES[point.name] for point in MACHINE.io.outputs]  # in the order of the I/O list, as the twin has them
WORDS = {slot.name: slot.words for slot in LAYOUT.slots if slot.words}


def of_program(after):
    """What is compared, from the compiled program's state."""
    state = named(LAYOUT, after)
    names = ("spot", "angle", "target", "travel", "since_homing", "tour_at", "tosses", "balls_lost", "high")
    return {
        "outputs": tuple(after[position] for position in OUTPUTS),
        "step": WORDS["cycle"][state["cycle"]],
        "since": state["cycle.since"],
        "first_out": WORDS["alarm_first_out"][state["alarm_first_out"]],
        "alarms": {name for name in WORDS["alarm_first_out"][1:] if state[name]},
        "queue": [state[f"queue_{n}"] for n in range(1, 6)],
        "quickest": [state[f"quickest_{n}"] for n in range(1, 6)],
        **{name: state[name] for name in names},
    }


def of_twin(twin):
    """The same from the twin."""
    names = ("outputs", "step", "since", "alarms", "queue")
    numbers = ("spot", "angle", "target", "travel", "since_homing", "tour_at", "tosses", "balls_lost", "high")
    return {
        **{name: getattr(twin, name) for name in (*names, *numbers)},
        "first_out": twin.first_out or "none",
        "quickest": list(twin.quickest.values()),
    }


@pytest.mark.slow
@pytest.mark.parametrize("name", SCENARIOS)
def test_the_twin_does_the_same(name):
    """Fed with the recorded input images, it has the same outputs after each scan, restarts included.

    The rest is compared after each scan in which the program's state changed.
    """
    assert tuple(LAYOUT.inputs) == Inputs._fields
    scans = record(MACHINE, SCENARIOS[name])
    twin, kept = CometToss(), named(LAYOUT, scans[0].before)
    twin.tosses, twin.balls_lost = kept["tosses"], kept["balls_lost"]
    twin.quickest = {n: kept[f"quickest_{n}"] for n in twin.quickest}
    for scan, restarted in restarts(scans):
        if restarted:
            twin.restart()
        given = twin.scan(Inputs._make(scan.inputs), scan.now)
        assert (scan.now, given) == (scan.now, tuple(scan.after[n] for n in OUTPUTS))
        if scan.after != scan.before:
            assert (scan.now, of_twin(twin)) == (scan.now, of_program(scan.after))
