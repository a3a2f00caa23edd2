"""Points: levels and times for each kind of contact, signal and failure, as whole tables."""

import pytest

from simplant.plant.world import Wire, World
from simplant.tags import Direction, Tag
from simplant.timebase import ms
from simplant.values import BOOL
from simplant.wiring.devices import PushButton
from simplant.wiring.io_file import parse_io
from simplant.wiring.io_list import Point
from simplant.wiring.levels import INPUT_TYPES, ContactForm, SignalKind
from simplant.wiring.points import InputPoint, OutputPoint
from tests.driving import fault, mend, microseconds, milliseconds, put


def input_point(contact="NO", signal="dry", input_type="type_1", **parameters):
    tag = Tag("seen", BOOL, Direction.INPUT, "%IX0.0")
    point = Point(tag, "eye", "seen", ContactForm(contact), SignalKind(signal), input_type=INPUT_TYPES[input_type])
    return InputPoint(point, parameters)


def output_point(**parameters):
    return OutputPoint(Point(Tag("run_cmd", BOOL, Direction.OUTPUT, "%QX0.0"), "motor", "run"), parameters)


def levels(contact, signal, cause=None, volts=24.0):
    """Give the level with the device at rest and with it actuated."""
    result = []
    for actuated in (False, True):
        part = input_point(contact, signal)
        part.inputs.update(actuated=actuated, volts=volts)
        part.faults.update({cause: 1.0} if cause else {})
        part.begin(0)
        part.command(0)
        result.append(int(part.outputs["level"]))
    return tuple(result)


CAUSES = ("none", "dead supply", "open_wire", "short_to_supply", "short_to_0v", "stuck_on", "stuck_off")
TABLE = {
    #                 none    dead    open    to +    to 0 V  on      off
    ("NO", "dry"): ((0, 1), (0, 0), (0, 0), (1, 1), (0, 0), (1, 1), (0, 0)),
    ("NC", "dry"): ((1, 0), (0, 0), (0, 0), (1, 1), (0, 0), (1, 1), (0, 0)),
    ("NO", "PNP"): ((0, 1), (0, 0), (0, 0), (1, 1), (0, 0), (1, 1), (0, 0)),
    ("NC", "PNP"): ((1, 0), (0, 0), (0, 0), (1, 1), (0, 0), (1, 1), (0, 0)),
    ("NO", "push_pull"): ((0, 1), (0, 0), (0, 0), (1, 1), (0, 0), (1, 1), (0, 0)),
    ("NO", "NPN"): ((0, 1), (0, 0), (0, 0), (0, 0), (1, 1), (1, 1), (0, 0)),
    ("NC", "NPN"): ((1, 0), (0, 0), (0, 0), (0, 0), (1, 1), (1, 1), (0, 0)),
}


@pytest.mark.parametrize(("contact", "signal"), TABLE)
def test_level_by_contact_signal_and_cause(contact, signal):
    """Level at rest and actuated: NC inverts the contact, NPN inverts the shorts, a dead supply is 0 for all."""
    found = tuple(
        levels(
            contact,
            signal,
            None if cause in ("none", "dead supply") else cause,
            0.0 if cause == "dead supply" else 24.0,
        )
        for cause in CAUSES
    )
    assert found == TABLE[contact, signal]


def test_a_broken_conductor_wins_over_a_short_and_a_dead_supply_over_all():
    """The break is at the controller; without volts no current flows, whatever touches what."""
    part = input_point()
    part.inputs["actuated"] = True
    steps = [(0, fault("short_to_supply")), (1, fault("open_wire")), (2, mend("open_wire")), (3, put(volts=0.0))]
    changes = milliseconds(part, steps, 5)
    assert [(t, v) for t, terminal, v in changes if terminal == "level"] == [
        (0, True),
        (1, False),
        (2, True),
        (3, False),
    ]


def test_a_late_contact_delays_both_edges_and_loses_what_is_shorter():
    """With 20 ms of lateness a 30 ms pulse comes 20 ms later and a 10 ms pulse not at all."""
    pulses = [
        (100, put(actuated=True)),
        (130, put(actuated=False)),
        (200, put(actuated=True)),
        (210, put(actuated=False)),
    ]
    changes = milliseconds(input_point(), [(0, fault("late", 0.02)), *pulses], 300)
    assert [c for c in changes if c[1] == "level"] == [(120, "level", True), (150, "level", False)]


def test_chattering_bounces_at_each_change_and_ends_as_it_should():
    """The contact turns over at 1, 3, 4, 7, 8 and 10 tenths of the time, then rests; the same every time."""
    changes = microseconds(input_point(), [(0, fault("chattering", 0.01)), (5000, put(actuated=True))], 50_000)
    edges = [(t - 5000, v) for t, terminal, v in changes if terminal == "level"]
    assert edges == [
        (0, True), (1000, False), (3000, True), (4000, False), (7000, True), (8000, False), (10_000, True),
    ]  # fmt: skip


def test_the_bounce_of_a_sound_contact_is_a_parameter():
    """Bounce is the point's, so that a button need not know of it; nothing bounces at power-up."""
    part = input_point("NC", bounce=0.001)
    changes = microseconds(part, [(0, put(actuated=False)), (10_000, put(actuated=True))], 20_000)
    assert [(t, v) for t, terminal, v in changes if terminal == "level"] == [
        (0, True), (10_000, False), (10_100, True), (10_300, False), (10_400, True), (10_700, False), (10_800, True),
        (11_000, False),
    ]  # fmt: skip


def test_the_first_instant_does_not_bounce():
    """What a device already is at power-up has come to rest."""
    changes = milliseconds(input_point(bounce=0.01), [(0, put(actuated=True))], 50)
    assert [c for c in changes if c[1] == "level"] == [(0, "level", True)]


def test_a_fault_that_begins_at_rest_moves_nothing():
    """Lateness and chatter act on changes that come after their onset, not on those before."""
    for kind in ("late", "chattering"):
        steps = [(10, put(actuated=True)), (100, fault(kind, 0.01))]
        assert [c for c in milliseconds(input_point(), steps, 200) if c[1] == "level"] == [(10, "level", True)]
    steps = [(10, put(level=True)), (100, fault("late", 0.01))]
    assert [c for c in milliseconds(output_point(), steps, 200) if c[1] == "drive"] == [(10, "drive", True)]


def test_a_fault_and_a_change_at_one_instant():
    """The change already meets the fault."""
    steps = [(10, put(actuated=True)), (100, fault("late", 0.01)), (100, put(actuated=False))]
    changes = milliseconds(input_point(), steps, 200)
    assert [c for c in changes if c[1] == "level"] == [(10, "level", True), (110, "level", False)]
    steps = [(10, put(level=True)), (100, fault("late", 0.01)), (100, put(level=False))]
    changes = milliseconds(output_point(), steps, 200)
    assert [c for c in changes if c[1] == "drive"] == [(10, "drive", True), (110, "drive", False)]


def test_two_swapped_points_in_one_world_read_each_other():
    """Crossed wires: each tag says what the other one's device does, while the fault lasts."""
    row = "{0},BOOL,in,%IX0.{1},{0}_button.contact,,K1"
    io = parse_io("\n".join(["tag,type,direction,address,device,signal,cable", row.format("a", 0), row.format("b", 1)]))
    parts = {"a_button": PushButton("a_button"), "b_button": PushButton("b_button")}
    parts |= {point.name: InputPoint(point) for point in io}
    wires = [Wire(point.device, point.name, "actuated") for point in io]
    wires += [Wire("a.wire", "b", "other"), Wire("b.wire", "a", "other")]
    world = World(parts, wires)
    world.begin()
    table = []
    for now, part, change in (
        (1, "a_button", lambda p: p.act("press", None, ms(1))),
        (2, "a", lambda p: p.faults.update(swapped=1.0)),
        (2, "b", lambda p: p.faults.update(swapped=1.0)),
        (3, "b_button", lambda p: p.act("press", None, ms(3))),
        (4, "a_button", lambda p: p.act("release", None, ms(4))),
        (5, "a", lambda p: p.faults.clear()),
        (5, "b", lambda p: p.faults.clear()),
    ):
        change(parts[part])
        world.touch(part)
        world.settle(ms(now))
        table.append((now, parts["a"].outputs["level"], parts["b"].outputs["level"]))
    assert table == [
        (1, True, False), (2, False, False), (2, False, True), (3, True, True), (4, True, False), (5, False, False),
        (5, False, True),
    ]  # fmt: skip


def test_a_swapped_point_reads_the_other_wire_while_the_fault_lasts():
    """Its own conductor goes on saying the truth on `wire`, for the other point to read."""
    steps = [
        (1, put(actuated=True)),
        (2, fault("swapped")),
        (3, put(other=True)),
        (4, put(actuated=False)),
        (5, mend("swapped")),
    ]
    assert milliseconds(input_point(), steps, 9) == [
        (1, "wire", True), (1, "level", True), (2, "level", False), (3, "level", True), (4, "wire", False),
        (5, "level", False),
    ]  # fmt: skip


def test_output_levels_by_cause():
    """An output drives its device as published, unless a cause says otherwise."""
    table = {}
    for cause in ("none", "open_wire", "stuck_on", "stuck_off", "dead supply"):
        row = []
        for level in (False, True):
            part = output_point()
            part.inputs.update(level=level, volts=0.0 if cause == "dead supply" else 24.0)
            part.faults.update({} if cause in ("none", "dead supply") else {cause: 1.0})
            part.begin(0)
            part.command(0)
            row.append(int(part.outputs["drive"]))
        table[cause] = tuple(row)
    assert table == {
        "none": (0, 1),
        "open_wire": (0, 0),
        "stuck_on": (1, 1),
        "stuck_off": (0, 0),
        "dead supply": (0, 0),
    }


def test_a_late_and_a_swapped_output():
    """Late by its seconds; swapped drives as the other output's wire says."""
    late = milliseconds(output_point(), [(0, fault("late", 0.03)), (10, put(level=True)), (100, put(level=False))], 200)
    assert [c for c in late if c[1] == "drive"] == [(40, "drive", True), (130, "drive", False)]
    swapped = milliseconds(output_point(), [(0, fault("swapped")), (1, put(level=True)), (2, put(other=True))], 9)
    assert swapped == [(1, "wire", True), (2, "drive", True)]
