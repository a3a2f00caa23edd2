"""Feeder, belt and indexing table: whole timelines, no part lost, and each failure shown to matter."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.errors import PlantError
from simplant.plant.belt import Belt
from simplant.plant.feeder import Feeder
from simplant.plant.indexing_table import IndexingTable
from simplant.plant.world import Wire, World
from simplant.timebase import Ns, ms, seconds
from tests.parts.bench import Bench


def test_a_feeder_lets_one_go_for_each_edge():
    """200 ms after each edge; one while a part is on its way is missed; empty it lets nothing go until refilled."""
    b = Bench(Feeder("f", {"parts": 2, "low_at": 1}))
    for time in ("1", "1.1", "2", "3"):
        b.at(time, release=True).at(time + "05" if "." in time else time + ".05", release=False)
    b.to("4").part.act("refill", 3, b.now)
    b.at("4").at("5", release=True).to("6")
    assert b.told("fed", "stock", "low") == [
        (0.0, "stock", 2),
        (1.2, "fed", 1), (1.2, "stock", 1), (1.2, "low", True),
        (2.2, "fed", 2), (2.2, "stock", 0),
        (4.0, "stock", 3), (4.0, "low", False), (5.2, "fed", 3), (5.2, "stock", 2),
    ]  # fmt: skip


@pytest.mark.parametrize(("kind", "fed"), [("jammed", 0), ("doubles", 4), ("dribbles", 6)])
def test_each_failure_of_a_feeder(kind, fed):
    """Two edges within 4.5 s: nothing, twice two, or two and one each second besides."""
    b = Bench(Feeder("f")).at("0", fault=kind).at("1", release=True).at("2", release=False).at("3", release=True)
    assert b.to("4.5").value("fed") == fed
    assert b.value("stock") == 50 - fed
    more = b.at("5", mend=kind, release=False).at("6", release=True).to("9")
    assert more.value("fed") == fed + 1 + (kind == "dribbles")


def test_a_feeder_is_refilled_with_whole_parts():
    """Anything but a whole number is refused and changes nothing; no number is as many as at the beginning."""
    b = Bench(Feeder("f", {"parts": 5}))
    for wrong in (-1, 1.5, "some"):
        with pytest.raises(PlantError) as caught:
            b.part.act("refill", wrong, b.now)
        assert str(caught.value) == f"'f' cannot be refilled with {wrong!r} parts. Say a whole number."
    b.part.act("refill", None, b.now)
    assert b.at("1").value("stock") == 10


def belt(**parameters):
    """0.25 m/s, 1 m long, parts of 1/16 m, eye at 0.25 m, stop at 0.75 m: all exact in floats."""
    exact = {"speed": 0.25, "length": 1.0, "part_length": 0.0625, "eye_at": 0.25, "stop_at": 0.75}
    return Bench(Belt("b", {**exact, **parameters}))


PICTURE = ("eye", "at_stop", "on_belt", "delivered", "removed", "moving", "blocked")


def test_a_part_goes_by_eye_and_stop_and_off_the_end():
    """0.25 m a second: eye after 1 s for a quarter of a second, the lowered stop after 3 s, the end after 4 s."""
    b = belt().at("0", run=True).at("1", fed=1).to("9")
    assert b.told(*PICTURE) == [
        (0.0, "moving", True), (1.0, "on_belt", 1), (2.0, "eye", True), (2.25, "eye", False),
        (4.0, "at_stop", True), (4.25, "at_stop", False), (5.0, "on_belt", 0), (5.0, "delivered", 1),
    ]  # fmt: skip


def test_parts_queue_before_a_raised_stop():
    """Two parts 0.5 s apart: held one behind the other; the stop lowered, they go on nose to tail."""
    b = belt().at("0", run=True, stop=True).at("1", fed=1).at("1.5", fed=2).at("8", stop=False).to("20")
    assert b.told(*PICTURE) == [
        (0.0, "moving", True), (1.0, "on_belt", 1), (1.5, "on_belt", 2),
        (2.0, "eye", True), (2.25, "eye", False), (2.5, "eye", True), (2.75, "eye", False),
        (4.0, "at_stop", True), (8.5, "at_stop", False),
        (9.0, "on_belt", 1), (9.0, "delivered", 1), (9.25, "on_belt", 0), (9.25, "delivered", 2),
    ]  # fmt: skip


def test_a_belt_that_does_not_accumulate_stands_with_its_parts():
    """It is held at the raised stop from 3 s on; the part taken, the next one is brought."""
    b = belt(accumulates=0).at("0", run=True, stop=True, fed=1).at("1", fed=2).at("6", taken=1).to("9")
    assert b.told("at_stop", "blocked", "moving", "removed") == [
        (0.0, "moving", True), (3.0, "at_stop", True), (3.0, "moving", False), (3.0, "blocked", True),
        (6.0, "removed", 1), (6.0, "at_stop", False), (6.0, "moving", True), (6.0, "blocked", False),
        (7.0, "at_stop", True), (7.0, "moving", False), (7.0, "blocked", True),
    ]  # fmt: skip


def test_parts_fed_without_room_wait_before_the_belt():
    """Three at once on a belt at rest: they come one part length after the other."""
    b = belt().at("0", fed=3).at("1", run=True).to("9")
    assert [t for t, _, value in b.told("eye") if value] == [2.0]
    assert b.told("delivered") == [(5.0, "delivered", 1), (5.25, "delivered", 2), (5.5, "delivered", 3)]


def test_what_is_taken_must_be_there():
    """`taken` finds no part before the stop's eye and takes none; people take the foremost one wherever it is."""
    b = belt().at("0", run=True, fed=1).at("1", taken=1)
    assert (b.value("removed"), b.value("on_belt")) == (0, 1)
    b.part.act("take", None, b.now)
    b.part.act("take", None, b.now)
    b.at("1")
    assert (b.value("removed"), b.value("on_belt")) == (1, 0)
    b.part.act("put", None, b.now)
    assert b.at("1").to("2").value("eye")


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("dead", 1.0, (False, False, 0, 0.5)),
        ("slipping", 0.5, (False, True, 0, 0.75)),
        ("wedged", 1.0, (False, True, 0, 1.0)),
        ("stop_down", 1.0, (False, True, 1, 1.0)),
        ("eye_dirty", 1.0, (True, True, 1, 1.0)),
        ("eye_blinded", 1.0, (False, True, 1, 1.0)),
    ],
)
def test_each_failure_of_a_belt(kind, value, said):
    """A part is at 0.5 m when it fails; 2 s later: eye, moving, delivered, travel. Mended it is delivered at last."""
    b = belt().at("0", run=True, fed=1).at("2", fault=kind, value=value).to("4")
    assert tuple(b.value(name) for name in ("eye", "moving", "delivered", "travel")) == said
    assert b.at("4", mend=kind).to("9").value("delivered") == 1


def test_a_blinded_eye_misses_the_part_and_a_bent_stop_lets_it_go():
    """Before the eye at the fault: dirty or right it shows, blinded not; a raised stop that is bent holds nothing."""
    kinds = ("eye_blinded", "eye_dirty")
    assert [belt().at("0", run=True, fed=1, fault=kind).to("1.1").value("eye") for kind in kinds] == [False, True]
    b = belt().at("0", run=True, fed=1, stop=True, fault="stop_down").to("5")
    assert b.value("delivered") == 1


def test_every_failure_has_a_test():
    """The lists of failures are those of this file."""
    assert [f.kind for f in Feeder.FAILURES] == ["jammed", "doubles", "dribbles"]
    assert [f.kind for f in Belt.FAILURES] == ["dead", "slipping", "wedged", "stop_down", "eye_dirty", "eye_blinded"]
    assert [f.kind for f in IndexingTable.FAILURES] == [
        "dead", "slow", "overruns", "doubles", "sensor_dead", "sensor_stuck",
    ]  # fmt: skip


CHANGES = st.sampled_from(["run", "stop", "fed", "taken", "put", "take", "slipping", "wedged", "stop_down"])


@given(st.lists(st.tuples(st.integers(1, 3000), CHANGES), max_size=25), st.sampled_from([0.0, 1.0]))
def test_no_part_is_lost_or_stands_in_another(story, accumulates):
    """Put on = on the belt + delivered + removed, at every instant; fronts fall by a part length or more."""
    b, now, put = Bench(Belt("b", {"accumulates": accumulates})).at("0", run=True), 0, 0
    for wait, what in story:
        now += wait
        part = b.part
        b.to(f"{now / 1000:.3f}")
        if what in part.ACTIONS:
            part.act(what, None, b.now)
        elif what in ("fed", "taken"):
            part.inputs[what] += 1
        elif what in part.inputs:
            part.inputs[what] = not part.inputs[what]
        elif part.faults.pop(what, None) is None:
            part.faults[what] = 0.5
        put += what in ("fed", "put")
        b.at(f"{now / 1000:.3f}")
        assert put == b.value("on_belt") + b.value("delivered") + b.value("removed")
        gaps = [ahead - front for ahead, front in pairwise(part.fronts)]
        assert all(gap > part.p["part_length"] - 1e-6 for gap in gaps)
        assert all(front < part.p["length"] for front in part.fronts)


def test_feeder_and_two_belts_in_a_world():
    """What leaves the one belt comes onto the next: ten parts, each delivered 1 m / 0.2 m/s x 2 after it was fed."""
    parts = {"feeder": Feeder("feeder"), "first": Belt("first"), "second": Belt("second")}
    parts["first"].inputs["run"] = parts["second"].inputs["run"] = True
    world = World(parts, [Wire("feeder.fed", "first", "fed"), Wire("first.delivered", "second", "fed")])
    world.begin()
    fed, out, now = [], [], Ns(0)
    for n in range(60):
        end = Ns(n * ms(500))
        while (now := world.next_due()) < end:
            world.advance(now)
            world.settle(now)
            fed += [now for name, _ in world.changes if name == "feeder.fed"]
            out += [now for name, _ in world.changes if name == "second.delivered"]
            world.changes.clear()
        world.feed("feeder", "release", n % 2 == 1 and n < 20)
        world.settle(end)
    assert (len(fed), len(out)) == (10, 10)
    assert all(abs(there - here - seconds(10)) < 10_000 for here, there in zip(fed, out, strict=True))


def dial(**parameters):
    return Bench(IndexingTable("d", {"stations": 4, "start_delay": 0.0, **parameters}))


def pulse(bench, *times):
    for time in times:
        bench.at(time, index=True).at(f"{float(time) + 0.1:.1f}", index=False)
    return bench


def test_a_dial_turns_on_by_a_station():
    """90 deg in half a second, as fast in the middle as 2 x 90 / 0.5 = 360 deg/s; an edge on the way is missed."""
    b = pulse(dial(), "1", "1.3", "2").to("3")
    assert b.told("moving", "station", "in_position", "indexed") == [
        (0.0, "in_position", True),
        (1.0, "moving", True), (1.0, "in_position", False),
        (1.5, "moving", False), (1.5, "station", 1), (1.5, "in_position", True), (1.5, "indexed", 1),
        (2.0, "moving", True), (2.0, "in_position", False),
        (2.5, "moving", False), (2.5, "station", 2), (2.5, "in_position", True), (2.5, "indexed", 2),
    ]  # fmt: skip
    middle = pulse(dial(), "1").to("1.25")
    assert (middle.value("angle"), middle.part.outputs["angle"].rate(middle.now)) == (45.0, 360.0)


def test_a_dial_counts_round():
    """Four stations: after five moves it stands at 1, and has turned 450 deg."""
    b = pulse(dial(), "1", "2", "3", "4", "5").to("6")
    assert (b.value("station"), b.value("indexed"), b.value("angle")) == (1, 5, 450.0)


def test_a_dial_without_drive_power_stands_between_stations():
    """Stopped at 45 deg it is in no position; the next edge with power takes it to 90."""
    b = pulse(dial(), "1").at("1.25", enable=False).to("2")
    assert (b.value("angle"), b.value("in_position"), b.value("station")) == (45.0, False, 0)
    pulse(b, "3").at("4", enable=True)
    assert b.value("angle") == 45.0
    assert pulse(b, "5").to("6").value("angle") == 90.0


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("dead", 1.0, (0.0, 0, True)),
        ("slow", 4.0, (45.0, 0, False)),
        ("overruns", 2.0, (92.0, 1, False)),
        ("doubles", 1.0, (180.0, 2, True)),
        ("sensor_dead", 1.0, (90.0, 1, False)),
        ("sensor_stuck", 1.0, (90.0, 1, True)),
    ],
)
def test_each_failure_of_a_dial(kind, value, said):
    """Angle, station and sensor one second after the edge; a stuck sensor says so all the way."""
    b = pulse(dial().at("1", fault=kind, value=value), "2")
    on_the_way = b.to("2.25").value("in_position")
    b.to("3")
    assert (b.value("angle"), b.value("station"), b.value("in_position")) == said
    assert on_the_way is (kind in ("sensor_stuck", "dead"))


def test_an_overrun_dial_goes_to_the_next_station():
    """From 2 deg beyond station 1, mended, the next edge goes to station 2."""
    b = pulse(dial().at("0", fault="overruns", value=2.0), "1").at("2", mend="overruns")
    assert pulse(b, "3").to("4").value("angle") == 180.0


def test_a_dial_sets_out_after_its_delay():
    """20 ms from the edge to motion; an edge within them is missed, and lost drive power ends them."""
    b = pulse(dial(start_delay=0.02), "1").at("1.5", index=False).to("2")
    assert b.told("moving") == [(1.02, "moving", True), (1.52, "moving", False)]
    b.at("3", index=True).at("3.01", index=False, enable=False).at("3.015", enable=True).to("4")
    assert b.value("angle") == 90.0
