"""The safety chain: what drops it, what brings it back, and its failures. It proves nothing about safety."""

from simplant.wiring.safety_chain import SafetyChain
from tests.driving import fault, mend, milliseconds, put


def chain():
    return SafetyChain("safety", {"response": 0.02, "operate": 0.03})


def power(changes, terminal="power"):
    return [(t, value) for t, name, value in changes if name == terminal]


RESET = [(100, put(reset=True)), (200, put(reset=False))]


def test_power_up_needs_a_reset_edge():
    """Nothing without a reset; one that is tied down from power-up is no edge."""
    assert power(milliseconds(chain(), [], 500)) == []
    assert power(milliseconds(chain(), [(0, put(reset=True))], 500)) == []
    assert power(milliseconds(chain(), RESET, 500)) == [(130, True)]


def test_each_demand_drops_it_within_its_response_and_for_good():
    """Emergency stop, door, loss of volts, even for 1 ms, drop power and aux; clearing brings nothing back."""
    for demand, clear in (
        ({"estop": True}, {"estop": False}),
        ({"door": True}, {"door": False}),
        ({"volts": 10.0}, {"volts": 24.0}),
    ):
        steps = [*RESET, (300, put(**demand)), (301, put(**clear))]
        assert milliseconds(chain(), steps, 1000) == [
            (130, "power", True),
            (130, "aux", True),
            (320, "power", False),
            (320, "aux", False),
        ]


def test_a_reset_during_a_demand_counts_for_nothing():
    """The edge must come while everything is clear; holding the button until then is no edge."""
    steps = [
        (50, put(door=True)),
        (100, put(reset=True)),
        (200, put(door=False)),
        (300, put(reset=False)),
        (400, put(reset=True)),
    ]
    assert power(milliseconds(chain(), steps, 1000)) == [(430, True)]


def test_a_reset_before_the_power_has_dropped_counts_for_nothing():
    """A demand that has come and gone within the response is not undone by a quick reset."""
    steps = [*RESET, (300, put(estop=True)), (301, put(estop=False)), (310, put(reset=True)), (330, put(reset=False))]
    assert power(milliseconds(chain(), steps, 1000)) == [(130, True), (320, False)]


def test_a_stuck_auxiliary_contact_deceives_the_program_only():
    """Power drops all the same; the program goes on reading 1 until the fault is mended."""
    steps = [*RESET, (300, fault("aux_stuck")), (400, put(estop=True)), (600, mend("aux_stuck"))]
    changes = milliseconds(chain(), steps, 1000)
    assert (power(changes), power(changes, "aux")) == ([(130, True), (420, False)], [(130, True), (600, False)])


def test_one_welded_contact_is_found_by_the_relay_itself():
    """The second contact drops the power; the next reset is refused while the weld is there."""
    steps = [*RESET, (300, fault("welded")), (400, put(estop=True)), (500, put(estop=False)), (600, put(reset=True))]
    steps += [(700, mend("welded")), (750, put(reset=False)), (800, put(reset=True))]
    assert power(milliseconds(chain(), steps, 1000)) == [(130, True), (420, False), (830, True)]
