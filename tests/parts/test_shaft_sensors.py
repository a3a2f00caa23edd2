"""Encoder and pulse sensor: whole timelines, turning back, and each failure shown to matter."""

from itertools import pairwise
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.curves import Approach, Coast, Line, Parabola, Steady
from simplant.plant.encoder import Encoder
from simplant.plant.pulse_sensor import PulseSensor
from simplant.plant.teeth import Teeth
from simplant.plant.wheel import Wheel
from simplant.plant.world import Wire, World
from simplant.timebase import Ns, seconds
from tests.parts.bench import Bench


def test_pulses_at_a_steady_speed():
    """10 turns a second, 4 flags seen over a quarter of the pitch: 40 pulses of 6.25 ms in a second."""
    b = Bench(PulseSensor("p", {"pulses": 4})).at("0", speed=Steady(20 * pi)).to("1.001")
    told = b.told("seen")
    assert told[:4] == [(0.0, "seen", True), (0.00625, "seen", False), (0.025, "seen", True), (0.03125, "seen", False)]
    assert (b.value("count"), b.value("turns")) == (40, 10)
    assert {round(off[0] - on[0], 5) for on, off in zip(told[::2], told[1::2], strict=False)} == {0.00625}


def test_pulses_of_a_run_up_and_a_run_down():
    """First order to 240 rad/s, from 2 s on coasting to standstill: as many pulses as turns, and then no more."""
    b = Bench(PulseSensor("p")).at("0", speed=Approach(Ns(0), 0.0, 240.0, 0.4))
    b.at("2", speed=Coast(seconds(2), 238.0, 15.0, 6e-4)).to("30")
    turned = b.part.angle.at(seconds(30)) / (2 * pi)
    assert (b.value("count"), b.value("turns")) == (int(turned), int(turned))
    assert turned == pytest.approx((240 * (2 - 0.4 * (1 - 2.718281828**-5))) / (2 * pi) + 147.0, abs=20)
    assert b.told("count")[-1][0] < 14


def test_a_wheel_has_its_pulses_in_a_world():
    """The wheel of the launcher with one flag: its pulses come a turn apart, the sooner the faster it is."""
    wheel, pulses = Wheel("wheel"), PulseSensor("pulses")
    world = World({"wheel": wheel, "pulses": pulses}, [Wire("wheel.speed", "pulses", "speed")])
    world.begin()
    world.feed("wheel", "volts", 48.0)
    world.settle(Ns(0))
    rises = []
    while (now := world.next_due()) < seconds(2):
        world.advance(now)
        world.settle(now)
        rises += [now / 1e9 for name, value in world.changes if name == "pulses.seen" and value]
        world.changes.clear()
    gaps = [after - before for before, after in pairwise(rises)]
    assert all(after < before for before, after in pairwise(gaps))
    assert gaps[-1] == pytest.approx(2 * pi / 238.4, rel=1e-2)


@pytest.mark.parametrize(
    ("kind", "count", "seen"), [("stuck_on", 11, True), ("stuck_off", 10, False), ("flag_lost", 16, False)]
)
def test_each_failure_of_a_pulse_sensor(kind, count, seen):
    """5 turns a second with two flags: 10 pulses in the first second, failing in the next; what it shows at the end."""
    b = Bench(PulseSensor("p", {"pulses": 2})).at("0", speed=Steady(10 * pi)).at("1.05", fault=kind).to("2.29")
    assert (b.value("count"), b.value("seen")) == (count, seen)


def test_without_supply_it_sees_nothing():
    """Below its least volts no flag shows, and none is counted."""
    b = Bench(PulseSensor("p"), volts=5.0).at("0", speed=Steady(20 * pi)).to("2")
    assert (b.told("seen", "count"), b.value("turns")) == ([], 20)


def test_an_encoder_turns_there_and_back():
    """1000 counts a turn; a turn and a half forwards in 1.5 s, and back; the index mark lies from 90 to 100 deg.

    Backwards it must have left its edge to be seen there, and has 249 whole counts then.
    """
    given_ = {"counts_per_turn": 1000, "index_at": 90.0, "index_width": 10.0}
    b = Bench(Encoder("e", given_)).at("1", angle=Line(seconds(1), 0.0, 360.0))
    b.at("2.5", angle=Line(seconds("2.5"), 540.0, -360.0)).at("4", angle=Steady(0.0)).to("5")
    told = b.told("index", "at_index", "turns", "position")
    assert [(round(t, 5), name, value) for t, name, value in told] == [
        (1.25, "index", True), (1.25, "turns", 1), (1.25, "at_index", 250), (1.25, "position", 250),
        (1.27778, "index", False), (1.27778, "position", 277),
        (2.25, "index", True), (2.25, "turns", 2), (2.25, "at_index", 1250), (2.25, "position", 250),
        (2.27778, "index", False), (2.27778, "position", 277), (2.5, "position", 500),
        (2.72222, "index", True), (2.72222, "at_index", 1277), (2.72222, "position", 277),
        (2.75, "index", False), (2.75, "turns", 1), (2.75, "position", 249),
        (3.72222, "index", True), (3.72222, "at_index", 277), (3.72222, "position", 277),
        (3.75, "index", False), (3.75, "turns", 0), (3.75, "position", 249), (4.0, "position", 0),
    ]  # fmt: skip
    assert b.value("counts") == 0.0


@pytest.mark.parametrize(
    ("kind", "value", "counts", "turns"),
    [
        ("dead", 1.0, 1000.0, 2),
        ("swapped_lines", 1.0, 0.0, 2),
        ("slipping", 0.1, 1900.0, 1),
        ("index_lost", 1.0, 2000.0, 2),
    ],
)
def test_each_failure_of_an_encoder(kind, value, counts, turns):
    """A turn a second, failing after the first: counts and marks after 2.02 s, where the shaft stands still."""
    b = Bench(Encoder("e", {"counts_per_turn": 1000})).at("0", angle=Line(Ns(0), 5.0, 360.0))
    b.at("1", fault=kind, value=value).at("2", angle=Steady(725.0))
    assert (b.value("counts") - 1000 * 5 / 360, b.value("turns")) == (pytest.approx(counts), turns)
    mended = b.at("3", mend=kind).at("4", angle=Line(seconds(4), 725.0, 360.0)).to("5").value("counts")
    assert mended - 1000 * 5 / 360 == pytest.approx(counts + 1000.0)


def test_an_index_that_is_lost_is_not_seen():
    """`index` and `at_index` stay as they were; the counts go on."""
    b = Bench(Encoder("e", {"counts_per_turn": 1000}), angle=Line(Ns(0), 5.0, 360.0)).at("0.5", fault="index_lost")
    assert (b.to("3").told("index", "at_index"), b.value("turns")) == ([], 3)
    assert b.value("counts") == pytest.approx(1000 * 1085 / 360)


def test_every_failure_has_a_test():
    """The lists of failures are those above."""
    assert [f.kind for f in PulseSensor.FAILURES] == ["stuck_on", "stuck_off", "flag_lost"]
    assert [f.kind for f in Encoder.FAILURES] == ["dead", "swapped_lines", "slipping", "index_lost"]


@given(
    st.lists(
        st.tuples(st.integers(1, 900), st.sampled_from([0.0, 90.0, -90.0, 360.0, -400.0, 1234.5])),
        min_size=1,
        max_size=8,
    ),
    st.sampled_from([0.5, 10.0, 179.0]),
)
def test_teeth_know_where_they_are(course, width):
    """However the shaft turns, a mark is seen when the angle says so (further from its edges than the play)."""
    teeth, now, curve = Teeth(360.0, width), Ns(0), Steady(0.0)
    teeth.follow(curve, now)
    for milliseconds, speed in course:
        here = curve.at(now)
        curve = Parabola(now, here, speed, -speed / 3) if milliseconds % 2 else Line(now, here, speed)
        teeth.follow(curve, now)
        end = Ns(now + milliseconds * 1_000_000)
        while teeth.due <= end:
            teeth.advance(curve, teeth.due)
        now = end
        place = curve.at(now)
        rest = place % 360.0
        if min(rest, abs(rest - width), 360.0 - rest) > 1e-3:
            assert (teeth.seen, teeth.mark) == (rest < width, place // 360.0)


def test_the_flag_torn_off_is_the_first():
    """With three flags, one turn a second: after its loss those at a third and two thirds of the turn still pass."""
    b = Bench(PulseSensor("p", {"pulses": 3}), speed=Steady(2 * pi)).at("1.5", fault="flag_lost").to("2.9")
    assert [round(t, 3) for t, _, value in b.told("seen") if value] == [
        0.0,
        0.333,
        0.667,
        1.0,
        1.333,
        1.667,
        2.333,
        2.667,
    ]
