"""Buttons, emergency stop, selector, door and lamp, each as a table of changes."""

import pytest

from simplant.errors import PlantError
from simplant.wiring.devices import Door, EmergencyStop, Lamp, PushButton, Selector
from tests.driving import do, fault, mend, milliseconds, put


def test_a_push_button_is_pressed_until_released_or_for_a_time():
    """`press` holds, `press` with seconds lets go by itself, a second press does not wait for the first."""
    steps = [
        (10, do("press")),
        (20, do("release")),
        (30, do("press", 0.05)),
        (50, do("press", 0.05)),
        (110, do("press", 0.05)),
        (120, do("press")),
        (200, do("release")),
    ]
    changes = [(10, True), (20, False), (30, True), (100, False), (110, True), (200, False)]
    both = [(at, terminal, value) for at, value in changes for terminal in ("pressed", "contact")]
    assert milliseconds(PushButton("start"), steps, 300) == both


def test_a_button_tied_down_and_one_with_its_contact_block_off():
    """`held` is pressed whatever the hand does; `detached` is pressed too, but its contact does not know of it."""
    steps = [(10, fault("held")), (20, do("press")), (30, do("release")), (40, mend("held"))]
    assert milliseconds(PushButton("start"), steps, 100) == [
        (10, "pressed", True), (10, "contact", True), (40, "pressed", False), (40, "contact", False),
    ]  # fmt: skip
    steps = [(0, fault("detached")), (10, do("press")), (20, mend("detached")), (30, fault("detached"))]
    told = [(10, "pressed", True), (20, "contact", True), (30, "contact", False)]
    assert milliseconds(PushButton("start"), steps, 100) == told
    assert milliseconds(EmergencyStop("estop"), steps, 100) == told


def test_an_emergency_stop_latches():
    """Once pressed it stays so until it is unlatched; pressing again changes nothing."""
    steps = [(10, do("press")), (20, do("press")), (30, do("release"))]
    assert milliseconds(EmergencyStop("estop"), steps, 100) == [
        (10, "pressed", True), (10, "contact", True), (30, "pressed", False), (30, "contact", False),
    ]  # fmt: skip


def test_a_selector_has_two_bits_and_no_contact_while_it_turns():
    """Position 1 is bit_0, 2 is bit_1, 3 is both; between positions it reads 0."""
    steps = [(10, do("select", 1)), (100, do("select", "2")), (200, do("select", 3.0)), (210, do("select", 3))]
    assert milliseconds(Selector("mode", {"travel": 0.05}), steps, 500) == [
        (60, "position", 1), (60, "bit_0", True),
        (100, "position", 0), (100, "bit_0", False), (150, "position", 2), (150, "bit_1", True),
        (200, "position", 0), (200, "bit_1", False), (250, "position", 3), (250, "bit_0", True), (250, "bit_1", True),
    ]  # fmt: skip


def test_a_selector_without_travel_turns_at_once_unless_jammed():
    """Travel 0 is neglected; a jammed spindle does not turn, and does not catch up when mended."""
    steps = [(10, do("select", 2)), (20, fault("jammed")), (30, do("select", 1)), (40, mend("jammed"))]
    assert milliseconds(Selector("mode", {"first": 1}), steps, 100) == [
        (0, "position", 1), (0, "bit_0", True), (10, "position", 2), (10, "bit_0", False), (10, "bit_1", True),
    ]  # fmt: skip


def test_a_door_and_its_defeated_switch():
    """Open when opened; with the actuator tied to the switch it is open all the same, and the switch says closed."""
    steps = [(10, do("open")), (20, do("close")), (30, fault("defeated")), (40, do("open")), (50, mend("defeated"))]
    assert milliseconds(Door("door"), steps, 100) == [
        (10, "open", True), (10, "switch", True), (20, "open", False), (20, "switch", False),
        (40, "open", True), (50, "switch", True),
    ]  # fmt: skip


def test_a_lamp_needs_its_volts():
    """Lit while driven with at least its least volts, dark when burnt out."""
    steps = [(10, put(on=True)), (20, put(volts=2.9)), (30, put(volts=3.0)), (40, fault("burnt_out"))]
    assert milliseconds(Lamp("horn"), steps, 100) == [
        (10, "lit", True),
        (20, "lit", False),
        (30, "lit", True),
        (40, "lit", False),
    ]


@pytest.mark.parametrize(
    ("part", "action", "value"),
    [
        (PushButton("start"), "push", None),
        (PushButton("start"), "press", -1.0),
        (EmergencyStop("estop"), "reset", None),
        (Selector("mode", {"positions": 3}), "select", 3),
        (Selector("mode"), "select", None),
        (Selector("mode"), "turn", 1),
        (Door("door"), "lock", None),
    ],
)
def test_an_action_that_is_refused_changes_nothing(part, action, value):
    """A stimulus that a device does not know raises and leaves it as it was."""
    part.begin(0)
    part.command(0)
    with pytest.raises(PlantError):
        part.act(action, value, 0)
    part.command(0)
    assert part.changed == []
