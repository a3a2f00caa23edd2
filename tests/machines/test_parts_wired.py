"""Pneumatic, thermal, conveying and guarding parts wired in a table, read through an I/O list, moved by a program."""

from textwrap import dedent

import pytest

from simplant import Fault, Machine, Rig, Scenario, Stimulus, seconds

TABLES = """\
    [machine]
    title = "Stamp: parts come on a belt, are held, heated and stamped"

    [controller]
    period = "10ms"

    [parts.supply24]
    part = "supply"

    [parts.air]
    part = "air_supply"

    [parts.left]
    part = "push_button"

    [parts.right]
    part = "push_button"

    [parts.curtain]
    part = "light_curtain"
    volts = "supply24.volts"

    [parts.hands]
    part = "two_hand"
    left = "left.pressed"
    right = "right.pressed"
    volts = "supply24.volts"

    [parts.stamp_valve]
    part = "valve"
    volts = "supply24.volts"
    pressure = "air.pressure"

    [parts.stamp]
    part = "cylinder"
    extend = "stamp_valve.out_4"
    retract = "stamp_valve.out_2"
    stroke = 0.05

    [parts.stop_valve]
    part = "valve"
    volts = "supply24.volts"
    pressure = "air.pressure"

    [parts.stop]
    part = "spring_cylinder"
    extend = "stop_valve.out_4"

    [parts.feeder]
    part = "feeder"
    parts = 3

    [parts.belt_contactor]
    part = "contactor"
    enable = "belt_overload.healthy"
    coil_volts = "supply24.volts"
    line = 400.0

    [parts.belt_motor]
    part = "motor"
    volts = "belt_contactor.out"

    [parts.belt_overload]
    part = "overload"
    current = "belt_motor.current"

    [parts.belt]
    part = "belt"
    run = "belt_motor.up_to_speed"
    fed = "feeder.fed"
    stop = "stop.at_front"

    [parts.plate]
    part = "heater"
    capacity = 50.0

    [parts.probe]
    part = "pt100"
    temperature = "plate.temperature"
    volts = "supply24.volts"
    high = 100.0

    [parts.dial]
    part = "indexing_table"

    [parts.shaft]
    part = "encoder"
    angle = "dial.angle"

    [parts.guard]
    part = "guard_lock"
    volts = "supply24.volts"
    """

IO = """\
    tag,type,direction,address,device,contact,signal,supply,input,filter,range,scale
    stamp_back,BOOL,in,%IX0.0,stamp.at_back,NO,PNP,supply24,type_3,,,
    stamp_front,BOOL,in,%IX0.1,stamp.at_front,NO,PNP,supply24,type_3,,,
    hands_down,BOOL,in,%IX0.2,hands.out,NO,dry,supply24,type_3,,,
    field_clear,BOOL,in,%IX0.3,curtain.clear,NO,PNP,supply24,type_3,,,
    part_there,BOOL,in,%IX0.4,belt.at_stop,NO,PNP,supply24,type_3,,,
    air_ok,BOOL,in,%IX0.5,air.healthy,NO,dry,supply24,type_3,,,
    guard_locked,BOOL,in,%IX0.6,guard.locked,NO,dry,supply24,type_3,,,
    plate_degc,INT,in,%IW2,probe.current,,,supply24,,,4-20mA,0..100
    stamp_cmd,BOOL,out,%QX0.0,stamp_valve.coil,,,supply24,,,,
    stop_cmd,BOOL,out,%QX0.1,stop_valve.coil,,,supply24,,,,
    belt_cmd,BOOL,out,%QX0.2,belt_contactor.coil,,,supply24,,,,
    feed_cmd,BOOL,out,%QX0.3,feeder.release,,,supply24,,,,
    heat_cmd,BOOL,out,%QX0.4,plate.on,,,supply24,,,,
    index_cmd,BOOL,out,%QX0.5,dial.index,,,supply24,,,,
    """

LOGIC = """\
    from simplant import Program, seconds


    def build(tags):
        p = Program("stamp", tags)
        t = p.tags
        warm = p.let("warm", t.plate_degc >= 60)
        p.set(t.stop_cmd, t.air_ok)
        p.set(t.belt_cmd, t.air_ok)
        p.rung(t.feed_cmd, p.ton("settled", t.air_ok, seconds(2)).Q)
        p.rung(t.heat_cmd, ~warm)
        p.rung(t.stamp_cmd, t.hands_down & t.field_clear & t.part_there & t.guard_locked & warm)
        p.rung(t.index_cmd, t.stamp_front)
        return p
    """


@pytest.fixture(scope="module")
def machine(tmp_path_factory):
    folder = tmp_path_factory.mktemp("programs") / "stamp"
    folder.mkdir()
    for name, text in (("machine.toml", TABLES), ("io.csv", IO), ("logic.py", LOGIC)):
        (folder / name).write_text(dedent(text), encoding="utf-8")
    return Machine.load(folder)


def press(at, *more):
    hands = tuple(Stimulus(seconds(at), hand, "press", duration=seconds(2)) for hand in ("left", "right"))
    return (*hands, *more)


def run(machine, stimuli, faults=()):
    return Rig(machine, Scenario("stamp", length=seconds(30), stimuli=stimuli, faults=faults)).run()


def seen(rig, *names):
    return [(round(at / 1e9, 2), name, value) for at, name, value in rig.trace if name in names and at]


def test_a_part_is_brought_heated_for_and_stamped(machine):
    """At the stop 4 s after it was fed; on the hot plate both hands stamp it, and the dial turns on by a station."""
    rig = run(machine, press("15"))
    truths = seen(rig, "feeder.fed", "belt.at_stop", "stamp.at_front", "dial.station", "belt_motor.up_to_speed")
    assert truths == [
        (0.8, "belt_motor.up_to_speed", True), (2.62, "feeder.fed", 1), (6.62, "belt.at_stop", True),
        (15.24, "stamp.at_front", True), (15.77, "dial.station", 1), (17.06, "stamp.at_front", False),
    ]  # fmt: skip
    assert 59 <= rig.value("plate_degc") <= 61


def test_a_hand_in_the_curtain_takes_the_stamp_back(machine):
    """Interrupted on its way the stamp never gets down."""
    rig = run(machine, press("15", Stimulus(seconds("15.1"), "curtain", "interrupt", 5.0)))
    assert seen(rig, "stamp.at_front") == []


def test_a_broken_element_is_no_cold_plate(machine):
    """The transmitter's alarm reads beyond the scale: the program stops heating, and the plate cools."""
    rig = run(machine, (), (Fault("probe", "element_broken", seconds(10)),))
    assert rig.value("plate_degc") > 100
    assert rig.value("plate.temperature") < 40
