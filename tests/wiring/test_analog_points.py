"""Analogue points: whole timelines of what the controller reads and the device gets, and of every fault.

The 4-20 mA figures are tests/external/test_current_loop.py, laws over all ranges tests/laws/test_analog_laws.py.
"""

import pytest

from simplant.curves import Approach, Line, Steady
from simplant.plant.world import Wire, World
from simplant.tags import Direction, Tag
from simplant.timebase import ms, seconds
from simplant.values import DINT, INT, REAL, UINT, USINT
from simplant.wiring.analog_points import AnalogInputPoint, AnalogOutputPoint, ModuleBit
from simplant.wiring.analog_span import AnalogSpan
from simplant.wiring.io_file import parse_io
from simplant.wiring.io_list import Point
from simplant.wiring.point_kinds import kind_of
from simplant.wiring.points import InputPoint, OutputPoint
from tests.driving import fault, mend, microseconds, milliseconds, put

LOOP = AnalogSpan(4.0, 20.0, "mA", 0.0, 10_000.0)
VOLTS = AnalogSpan(0.0, 10.0, "V", 0.0, 1000.0)
ADDRESS = {8: "B", 16: "W", 32: "D"}


def analog(kind=INT, span=LOOP, direction=Direction.INPUT, **parameters):
    letter = "I" if direction is Direction.INPUT else "Q"
    tag = Tag("level", kind, direction, f"%{letter}{ADDRESS[kind.bits]}0")
    made = AnalogInputPoint if direction is Direction.INPUT else AnalogOutputPoint
    return made(Point(tag, "tank", "current", span=span), parameters)


def told(part, steps, until, terminal):
    return [(t, value) for t, name, value in milliseconds(part, steps, until) if name == terminal]


def test_a_ramp_is_read_at_whole_updates():
    """4 mA rising by 16 mA a second from 5 ms on: 100 counts each 10 ms, first half an update late."""
    steps = [(0, put(measured=Steady(4.0))), (5, put(measured=Line(ms(5), 4.0, 16.0)))]
    assert told(analog(), steps, 50, "level") == [(10, 50), (20, 150), (30, 250), (40, 350), (50, 450)]


def test_updates_that_change_nothing_are_left_out():
    """Half a count each 10 ms: the next update that matters is where the curve is half a count further."""
    part = analog()
    part.inputs["measured"] = Line(ms(0), 4.00032, 0.0016 * 50)  # from 0.2 counts on, 50 a second
    part.command(ms(0))
    dues = []
    for _ in range(4):
        dues.append(part.next_due())
        part.command(part.next_due())
    assert dues == [ms(10), ms(30), ms(50), ms(70)]
    assert part.outputs["level"] == 4


def test_a_settling_signal_costs_no_updates_in_the_end():
    """Towards 12 mA with 1 s: after the last count has come there is nothing more to do."""
    part = analog(INT, AnalogSpan(4.0, 20.0, "mA", 0.0, 100.0))
    part.inputs["measured"] = Approach(ms(0), 4.0, 12.0, 1.0)
    changes = milliseconds(part, [], 60_000)
    levels = [value for _, name, value in changes if name == "level"]
    assert levels == list(range(1, 51))
    assert part.next_due() == 2**63 - 1


def test_a_change_between_updates_waits_for_the_next():
    """What comes and goes between two updates is not seen; what stays is seen at the next one."""
    steps = [(0, put(measured=8.0)), (12, put(measured=20.0)), (18, put(measured=8.0)), (21, put(measured=12.0))]
    assert told(analog(), steps, 60, "level") == [(0, 2500), (30, 5000)]


FAULTS = [
    ("open_wire", {}, [(0, 5000), (100, -2500), (200, 5000)], [(100, True), (200, False)]),
    ("short_to_0v", {}, [(0, 5000), (100, -2500), (200, 5000)], [(100, True), (200, False)]),
    ("short_to_supply", {}, [(0, 5000), (100, 12_500), (200, 5000)], [(100, True), (200, False)]),
    ("offset", {"value": 5.0}, [(0, 5000), (100, 5500), (200, 5000)], []),
    ("offset", {"value": 60.0}, [(0, 5000), (100, 11_000), (200, 5000)], [(100, True), (200, False)]),
    ("frozen", {}, [(0, 5000)], []),
]
"""Those that a timeline of its own shows better: `drift`, `intermittent`, `swapped`."""


@pytest.mark.parametrize(("kind", "severity", "levels", "bits"), FAULTS)
def test_each_fault_as_a_timeline(kind, severity, levels, bits):
    """12 mA; the fault lasts from 95 to 191 ms: reading and module's bit follow at the next update."""
    steps = [(0, put(measured=12.0)), (95, fault(kind, **severity)), (191, mend(kind))]
    changes = milliseconds(analog(), steps, 300)
    assert [(t, v) for t, name, v in changes if name == "level"] == levels
    assert [(t, v) for t, name, v in changes if name == "fault"] == bits


def test_a_frozen_converter_misses_what_happens():
    """The reading stays until the fault is gone, then is right at the next update."""
    steps = [(0, put(measured=12.0)), (20, fault("frozen")), (50, put(measured=20.0)), (95, mend("frozen"))]
    assert told(analog(), steps, 200, "level") == [(0, 5000), (100, 10_000)]


def test_a_drift_grows_from_its_onset_and_is_gone_with_it():
    """60 % a minute is 1 % a second: 100 counts more each second from the onset on."""
    part = analog(resolution=100.0)
    steps = [(0, put(measured=12.0)), (1000, fault("drift", 60.0)), (4200, mend("drift"))]
    assert told(part, steps, 6000, "level") == [(0, 5000), (1500, 5100), (2500, 5200), (3500, 5300), (4200, 5000)]


def test_a_loose_terminal_opens_once_a_second():
    """Half a second at most, seen at the updates while it lasts, and the module's bit with it; of an output at once."""
    part = analog()
    changes = microseconds(part, [(0, put(measured=12.0)), (1_000_000, fault("intermittent", 0.5))], 5_000_000)
    levels = [(t, value) for t, name, value in changes if name == "level"]
    assert [value for _, value in levels] == [5000, *[-2500, 5000] * 4]
    assert all(t % 10_000 == 0 for t, _ in levels)
    open_for = [end - begin for (begin, _), (end, _) in zip(levels[1::2], levels[2::2], strict=True)]
    assert all(0 < span <= 510_000 for span in open_for)
    output = analog(INT, VOLTS, Direction.OUTPUT)
    changes = microseconds(output, [(0, put(level=500)), (1_000_000, fault("intermittent", 0.5))], 5_000_000)
    assert [value for _, name, value in changes if name == "drive"] == [5.0, *[0.0, 5.0] * 4]


def test_a_loop_without_supply_is_dead():
    """Below its least volts the loop carries no current."""
    steps = [(0, put(measured=12.0)), (10, put(volts=9.9)), (20, put(volts=10.0))]
    assert told(analog(), steps, 50, "level") == [(0, 5000), (10, -2500), (20, 5000)]


READINGS = [
    #  type  range and scale                              signal    number   the module's bit
    (INT, LOOP, 12.0, 5000, False),
    (UINT, LOOP, 0.0, 0, True),  # the type has no room below
    (USINT, AnalogSpan(4.0, 20.0, "mA", 0.0, 250.0), 24.0, 255, True),
    (DINT, AnalogSpan(4.0, 20.0, "mA", 0.0, 1e6), 12.0, 500_000, False),
    (INT, AnalogSpan(4.0, 20.0, "mA", 0.0, 32_000.0), 24.0, 32_767, True),
    (INT, AnalogSpan(4.0, 20.0, "mA", 10_000.0, 0.0), 8.0, 7500, False),
    (INT, VOLTS, 7.5, 750, False),
    (INT, VOLTS, 0.0, 0, False),  # an open wire looks like 0 V
    (INT, VOLTS, 24.0, 1250, True),
    (INT, AnalogSpan(-10.0, 10.0, "V", -1000.0, 1000.0), -2.5, -250, False),
    (INT, AnalogSpan(1.0, 5.0, "V", 0.0, 1000.0), 0.9, -25, True),
    (INT, AnalogSpan(0.0, 20.0, "mA", 0.0, 1000.0), 3.0, 150, False),
    (REAL, AnalogSpan(0.0, 120.0, "degC", 0.0, 120.0), 20.004, REAL.wrap(20.004), False),
    (REAL, AnalogSpan(0.0, 100.0, "degC", 0.0, 100.0), 20.004, 20.0, False),
    (REAL, AnalogSpan(0.0, 100.0, "degC", 0.0, 100.0), 20.006, REAL.wrap(20.01), False),
]


@pytest.mark.parametrize(("kind", "span", "signal", "number", "bit"), READINGS)
def test_what_is_read(kind, span, signal, number, bit):
    """A steady signal as number and module's bit, for each type, range and end; counts stay within their type."""
    part = analog(kind, span)
    part.inputs["measured"] = Steady(signal)
    part.command(ms(0))
    assert (part.outputs["level"], part.outputs["fault"]) == (number, bit)
    assert type(part.outputs["level"]) is type(number)


def test_a_coarse_module_steps_by_its_resolution():
    """Steps of 40 counts: to the nearest, halves up; the first step lies at the low end of the scale."""
    part = analog(resolution=40.0)
    found = []
    for signal in (4.031, 4.033, 4.095, 4.097, 20.0):
        part.inputs["measured"] = signal
        part.command(ms(0))
        found.append(part.outputs["level"])
    assert found == [0, 40, 40, 80, 10_000]


def test_a_dead_wire_reads_zero_volts_but_nothing_of_a_quantity():
    """Open: 0 V on 0-10 V, which is a value; below all values where a transmitter stands between."""
    dead = {}
    for name, span in {"volts": VOLTS, "quantity": AnalogSpan(0.0, 120.0, "degC", 0.0, 1000.0)}.items():
        part = analog(INT, span)
        part.inputs["measured"] = 5.0
        part.faults["open_wire"] = 1.0
        part.command(ms(0))
        dead[name] = (part.outputs["level"], part.outputs["fault"])
    assert dead == {"volts": (0, False), "quantity": (-250, True)}


def test_noise_is_drawn_for_each_update_from_seed_and_name():
    """1 % either way: the same numbers for one seed, others for another; never further than that."""

    def read(seed):
        part = analog(noise=1.0)
        part.seed = seed
        return told(part, [(0, put(measured=12.0))], 2000, "level")

    first, again, other = read(1), read(1), read(2)
    assert first == again != other
    assert {t % 10 for t, _ in first} == {0}
    assert 190 < len(first) <= 201
    assert 4900 <= min(v for _, v in first) < 4910
    assert 5090 < max(v for _, v in first) <= 5100


DRIVEN = [(-5, 0.0), (0, 0.0), (250, 2.5), (1000, 10.0), (1200, 10.0)]


def test_what_an_output_drives():
    """The number as a voltage, held within the range."""
    part = analog(INT, VOLTS, Direction.OUTPUT)
    found = []
    for number, _ in DRIVEN:
        part.inputs["level"] = number
        part.command(ms(0))
        found.append((number, part.outputs["drive"]))
    assert found == DRIVEN


@pytest.mark.parametrize("number", [float("nan"), float("-inf"), -1e30])
def test_an_output_of_what_is_no_number_is_the_low_end(number):
    """NaN and minus infinity drive 4 mA."""
    part = analog(REAL, AnalogSpan(4.0, 20.0, "mA", 0.0, 100.0), Direction.OUTPUT)
    part.inputs["level"] = number
    part.command(ms(0))
    assert part.outputs["drive"] == 4.0


def test_the_faults_of_an_output():
    """Broken, shorted or without supply it gives nothing; a frozen one keeps what it gave; an offset adds to it."""
    steps = [
        (0, put(level=500)),
        (10, fault("open_wire")),
        (20, mend("open_wire")),
        (30, fault("frozen")),
        (40, put(level=700)),
        (50, mend("frozen")),
        (60, fault("offset", 5.0)),
        (70, mend("offset")),
        (80, fault("short_to_0v")),
        (90, mend("short_to_0v")),
        (100, put(volts=5.0)),
    ]
    part = analog(INT, VOLTS, Direction.OUTPUT)
    assert told(part, steps, 200, "drive") == [
        (0, 5.0), (10, 0.0), (20, 5.0), (50, 7.0), (60, 7.5), (70, 7.0), (80, 0.0), (90, 7.0), (100, 0.0)
    ]  # fmt: skip


LIST = """\
tag,type,direction,address,device,range,cable
left,INT,in,%IW0,one.current,4-20mA,K1
right,INT,in,%IW1,two.current,4-20mA,K1
push,INT,in,%IW2,three.volts,0-10V,K1
left_lost,BOOL,in,%IX8.0,left.fault,,K1
go,BOOL,in,%IX8.1,button.pressed,,K1
stop,BOOL,in,%IX8.2,button.pressed,,K1
speed,INT,out,%QW0,drive.speed,0-10V,K1
run,BOOL,out,%QX2.0,drive.run,,K1
"""


def test_the_row_says_which_point_it_becomes():
    """Type and direction; a bit of another point's module has no wire that could fail."""
    io = parse_io(LIST)
    kinds = [kind_of(point, io) for point in io]
    assert kinds == [*[AnalogInputPoint] * 3, ModuleBit, InputPoint, InputPoint, AnalogOutputPoint, OutputPoint]
    assert ModuleBit.FAILURES == ()


def test_only_signals_of_one_kind_are_mixed_up():
    """Two currents, or two contacts; never a current and a voltage, nor a number and a contact."""
    pairs = [(one.name, other.name) for one, other in parse_io(LIST).swappable()]
    assert [pair for pair in pairs if "left_lost" not in pair] == [("left", "right"), ("go", "stop")]


def test_swapped_wires_carry_each_other_s_signal():
    """Two loops of one cable mixed up from 15 ms on: each reads the other, curves included, its own faults not."""
    io = parse_io(LIST)
    one, two = (AnalogInputPoint(io[name]) for name in ("left", "right"))
    one.inputs["measured"], two.inputs["measured"] = Line(ms(0), 4.0, 16.0), Steady(20.0)
    wires = [Wire("left.wire", "right", "other"), Wire("right.wire", "left", "other")]
    world = World({"left": one, "right": two}, wires)
    world.begin()
    read = []
    for t in range(0, 60, 5):
        now = ms(t)
        if t == 15:
            for part in (one, two):
                part.faults["swapped"] = 1.0
                world.touch(part.name)
        if t == 45:
            one.faults["open_wire"] = 1.0
            world.touch("left")
        if world.due <= now:
            world.advance(now)
        world.settle(now)
        read.append((t, one.outputs["level"], two.outputs["level"]))
    assert read == [
        (0, 0, 10_000), (5, 0, 10_000), (10, 100, 10_000), (15, 100, 10_000), (20, 10_000, 200), (25, 10_000, 200),
        (30, 10_000, 300), (35, 10_000, 300), (40, 10_000, 400), (45, 10_000, 400), (50, 10_000, -2500),
        (55, 10_000, -2500),
    ]  # fmt: skip


def test_a_long_update_is_kept_to_the_nanosecond():
    """Every whole second, wherever the curve moves in between."""
    part = analog(update=1.0)
    part.inputs["measured"] = Line(seconds("0.3"), 4.0, 1.6)
    assert told(part, [], 3000, "level") == [(1000, 700), (2000, 1700), (3000, 2700)]
