"""Valves, air and cylinders: whole timelines, and each failure shown to matter."""

import pytest

from simplant.errors import PlantError
from simplant.plant.air_supply import AirSupply
from simplant.plant.cylinder import Cylinder, SpringCylinder
from simplant.plant.valve import DoubleValve, Valve
from simplant.plant.world import Wire, World
from simplant.testing import check_part
from simplant.timebase import Ns, seconds
from tests.parts.bench import Bench

PRESSURES = dict.fromkeys(("extend", "retract", "pressure"), (0.0, 150.0, 300.0, 600.0))


@pytest.mark.parametrize("part", [Valve, DoubleValve, Cylinder, SpringCylinder])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_contract_holds_at_real_pressures(part, seed):
    """The kit's usual numbers are volts; here air comes and goes at 0 to 600 kPa."""
    check_part(part, values=PRESSURES, seed=seed)


def shifts(bench):
    return [(t, value) for t, _, value in bench.told("shifted")]


def test_a_single_valve_follows_its_coil_and_misses_a_short_drive():
    """15 ms to port 4, 25 ms back; 10 ms of drive move nothing; without volts or air the spring wins."""
    b = Bench(Valve("v"))
    b.at("1", coil=True).at("2", coil=False).at("3", coil=True).at("3.010", coil=False)
    b.at("4", coil=True).at("5", volts=12.0).at("6", volts=24.0).at("7", pressure=200.0).to("8")
    assert shifts(b) == [
        (1.015, True), (2.025, False), (4.015, True), (5.025, False), (6.015, True), (7.025, False),
    ]  # fmt: skip
    assert b.told("out_4", "out_2")[:5] == [
        (0.0, "out_2", 600.0),
        (1.015, "out_4", 600.0),
        (1.015, "out_2", 0.0),
        (2.025, "out_4", 0.0),
        (2.025, "out_2", 600.0),
    ]


def test_a_double_valve_holds_its_last_position():
    """It stays without coils, with both, without volts and without air; only one coil alone moves it."""
    b = Bench(DoubleValve("v"))
    b.at("1", coil_14=True).at("2", coil_14=False).at("3", volts=0.0).at("3.5", volts=24.0)
    b.at("4", coil_14=True, coil_12=True).at("5", coil_14=False).at("6", coil_12=False, coil_14=True, pressure=0.0)
    b.at("7", pressure=600.0).to("8")
    assert shifts(b) == [(1.012, True), (5.012, False), (7.012, True)]
    assert Bench(DoubleValve("v", {"first": 1.0})).value("out_4") == 600.0


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("coil_burnt", 1.0, [(2.025, False)]),
        ("overridden", 1.0, []),
        ("stuck", 1.0, []),
        ("slow", 5.0, [(3.125, False), (4.075, True)]),
    ],
)
def test_each_failure_of_a_single_valve(kind, value, said):
    """Driven to port 4 at 1 s, failing at 2 s, coil off from 3 s to 4 s."""
    b = Bench(Valve("v")).at("1", coil=True).at("2", fault=kind, value=value)
    assert shifts(b.at("3", coil=False).at("4", coil=True).to("5")) == [(1.015, True), *said]


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("coil_14_burnt", 1.0, [(2.012, False)]),
        ("coil_12_burnt", 1.0, []),
        ("stuck", 1.0, []),
        ("slow", 5.0, [(2.06, False), (3.06, True)]),
    ],
)
def test_each_failure_of_a_double_valve(kind, value, said):
    """Failing at port 4; coil 12 at 2 s, coil 14 at 3 s."""
    b = Bench(DoubleValve("v", {"first": 1.0})).at("1", fault=kind, value=value)
    b.at("2", coil_12=True).at("3", coil_12=False, coil_14=True).to("4")
    assert shifts(b)[1:] == said


def test_air_comes_in_steps_and_the_switch_has_hysteresis():
    """600 kPa in steps of 100 with tau 1 s; the switch makes at 450 and breaks at 400, venting."""
    b = Bench(AirSupply("air", {"step": 100.0, "fill": 1.0, "vent": 1.0})).to("5")
    b.part.act("off", None, b.now)
    b.at("5").to("9")
    assert b.told("pressure", "healthy") == [
        (0.087012, "pressure", 100.0), (0.287683, "pressure", 200.0), (0.538997, "pressure", 300.0),
        (0.875469, "pressure", 400.0), (1.386295, "pressure", 500.0), (1.386295, "healthy", True),
        (2.484907, "pressure", 600.0),
        (5.087012, "pressure", 500.0), (5.287683, "pressure", 400.0), (5.405466, "healthy", False),
        (5.538997, "pressure", 300.0), (5.875469, "pressure", 200.0), (6.386295, "pressure", 100.0),
        (7.484907, "pressure", 0.0),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "said"), [("lost", (0.0, False)), ("low", (300.0, False)), ("switch_stuck", (600.0, True))]
)
def test_each_failure_of_the_air(kind, said):
    """Pressure and switch 9 s after the fault; a welded switch says healthy with the valve shut, too."""
    b = Bench(AirSupply("air")).at("5", fault=kind, value=0.5).to("14")
    assert (b.value("pressure"), b.value("healthy")) == said
    if kind == "switch_stuck":
        assert (b.at("14", on=False).to("20").value("pressure"), b.value("healthy")) == (0.0, True)
    b.at("20", mend=kind, on=True).to("30")
    assert (b.value("pressure"), b.value("healthy")) == (600.0, True)


AREA = 3.141592653589793 / 4 * 0.025**2


def cylinder(**parameters):
    """A cylinder of 100 mm that runs 0.1 m/s both ways, its rod thin to nothing."""
    return Bench(Cylinder("push", {"flow_out": 0.1 * AREA, "flow_in": 0.1 * AREA, "rod": 0.0, **parameters}))


def stroke(bench, start="1", back="3"):
    return bench.at(start, extend=600.0, retract=0.0).at(back, extend=0.0, retract=600.0)


def sensors(bench):
    return [(round(t, 5), name, value) for t, name, value in bench.told("at_back", "at_front", "moving") if t > 0]


def test_a_whole_stroke():
    """30 ms until it moves, 1 s of way, each sensor over the last 2 mm; back again the same."""
    assert sensors(stroke(cylinder()).to("5")) == [
        (1.03, "moving", True), (1.05, "at_back", False), (2.01, "at_front", True), (2.03, "moving", False),
        (3.03, "moving", True), (3.05, "at_front", False), (4.01, "at_back", True), (4.03, "moving", False),
    ]  # fmt: skip


def test_a_rod_is_out_whatever_its_switches_say():
    """`is_in` and `is_out` are the truth: it stands at that end, with its magnet lost and a reed welded too."""
    b = cylinder().at("0.5", "magnet_lost").at("0.6", "front_welded").at("1", extend=600.0, retract=0.0).to("3")
    assert [(round(t, 5), name, value) for t, name, value in b.told("is_in", "is_out")] == [
        (0.0, "is_in", True), (1.03, "is_in", False), (2.03, "is_out", True),
    ]  # fmt: skip


def test_it_is_turned_halfway():
    """Turned about after 0.5 s of way it stands for the delay and goes back; both sensors are off between."""
    b = stroke(cylinder(), back="1.53")
    assert b.value("position") == pytest.approx(0.05)
    assert sensors(b.to("3")) == [
        (1.03, "moving", True), (1.05, "at_back", False), (1.53, "moving", False),
        (1.56, "moving", True), (2.04, "at_back", True), (2.06, "moving", False),
    ]  # fmt: skip


def test_without_air_it_stands_and_a_weight_draws_it_out():
    """Air gone halfway: it stands. A hanging weight above the friction runs out by itself; the air holds it in."""
    b = cylinder().at("1", extend=600.0).at("1.53", extend=0.0).to("9")
    assert (round(b.value("position"), 6), b.value("moving")) == (0.05, False)
    hung = cylinder(load=-50.0).at("0", retract=600.0).at("1", retract=0.0).to("3")
    assert sensors(hung)[0] == (1.03, "moving", True)
    assert hung.value("at_front")


def test_forces_decide():
    """600 kPa push 294.5 N: less 20 N friction that lifts 274 N and not 275; with air at both ports the rod decides."""
    lifted = [cylinder(load=load).at("0", extend=600.0).to("2").value("at_front") for load in (274.0, 275.0)]
    assert lifted == [True, False]
    both = Bench(Cylinder("push")).at("0", extend=600.0, retract=600.0).to("2")
    assert both.value("at_front")  # the rod's area makes the difference: 47 N
    assert cylinder().at("0", extend=600.0, retract=600.0).to("2").value("at_back")


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("jammed", 1.0, [(1.5, "moving", False)]),
        ("throttled", 0.5, [(2.52, "at_front", True), (2.56, "moving", False)]),
        ("leaking", 0.05, [(1.5, "moving", False)]),
        ("magnet_lost", 1.0, [(2.03, "moving", False)]),
        ("front_shifted", 0.03, [(1.71, "at_front", True), (2.03, "moving", False)]),
        ("back_shifted", 0.048, [(1.5, "at_back", True), (1.53, "at_back", False), (2.01, "at_front", True),
                                 (2.03, "moving", False)]),
        ("front_welded", 1.0, [(1.5, "at_front", True), (2.03, "moving", False)]),
        ("back_welded", 1.0, [(1.5, "at_back", True), (2.01, "at_front", True), (2.03, "moving", False)]),
    ],
)  # fmt: skip
def test_each_failure_of_a_cylinder(kind, value, said):
    """Moving out from 1 s on, failing at 1.5 s, seen up to 2.9 s; mended and turned about it goes home."""
    b = stroke(cylinder().at("1", extend=600.0).at("1.5", fault=kind, value=value), "1.5", "2.9")
    assert [each for each in sensors(b) if each[0] >= 1.5] == said
    b.at("3", mend=kind).to("5")
    assert (b.value("at_back"), b.value("at_front"), b.value("moving")) == (True, False, False)


def test_every_failure_has_a_test():
    """The lists of failures are those above."""
    assert [f.kind for f in Cylinder.FAILURES] == [
        "jammed", "throttled", "leaking", "magnet_lost", "front_shifted", "back_shifted", "front_welded", "back_welded",
    ]  # fmt: skip
    assert [f.kind for f in Valve.FAILURES] == ["coil_burnt", "overridden", "stuck", "slow"]
    assert [f.kind for f in DoubleValve.FAILURES] == ["coil_14_burnt", "coil_12_burnt", "stuck", "slow"]
    assert [f.kind for f in AirSupply.FAILURES] == ["lost", "low", "switch_stuck"]


def test_a_spring_draws_back_and_a_little_air_goes_half_the_way():
    """20 N preload, 500 N/m, 10 N friction: 600 kPa drives it home; 75 kPa (36.8 N) leaves it 13.6 mm out."""
    b = Bench(SpringCylinder("stop", {"flow_out": 0.1 * AREA, "flow_in": 0.1 * AREA}))
    b.at("1", extend=600.0).at("2", extend=0.0).to("3")
    assert sensors(b) == [
        (1.03, "moving", True), (1.05, "at_back", False), (1.26, "at_front", True), (1.28, "moving", False),
        (2.03, "moving", True), (2.05, "at_front", False), (2.26, "at_back", True), (2.28, "moving", False),
    ]  # fmt: skip
    weak = b.at("4", extend=75.0).to("6")
    assert weak.value("position") == pytest.approx((75_000 * AREA - 30) / 500)
    assert not weak.value("moving")


def test_a_rod_goes_into_its_bore():
    """A rod as thick as the bore is refused when the part begins."""
    with pytest.raises(PlantError) as caught:
        Bench(Cylinder("push", {"rod": 0.025}))
    assert str(caught.value) == "cylinder 'push': a rod of 0.025 m does not go into a bore of 0.025 m."


def test_air_valve_and_cylinder_in_a_world():
    """Coil on at 1 s: 15 ms of valve, 30 ms of delay, 98 mm of way until it is seen; off at 2 s it goes home."""
    parts = {"air": AirSupply("air"), "valve": Valve("valve"), "clamp": Cylinder("clamp")}
    wires = [
        Wire("air.pressure", "valve", "pressure"),
        Wire("valve.out_4", "clamp", "extend"),
        Wire("valve.out_2", "clamp", "retract"),
    ]
    world = World(parts, wires)
    world.begin()
    seen = []
    for end, coil in (("1", False), ("2", True), ("3", False)):
        while (now := world.next_due()) < seconds(end):
            world.advance(now)
            world.settle(now)
            seen += [(round(now / 1e9, 6), value) for name, value in world.changes if name == "clamp.at_front"]
            world.changes.clear()
        if end != "3":
            world.feed("valve", "coil", not coil)
            world.settle(seconds(end))
    way = 0.098 / (1e-4 / (AREA - 3.141592653589793 / 4 * 0.01**2))
    assert seen[0] == (pytest.approx(1.045 + way, abs=2e-6), True)
    assert seen[1][1] is False
    assert parts["clamp"].outputs["position"].at(Ns(seconds("3"))) == 0.0


def test_a_load_stands_against_air_and_with_the_spring():
    """75 kPa push 36.8 N: 20 N preload, 10 N friction and 5 N of load leave 3.6 mm; a load below 0 helps it on."""
    places = [
        Bench(SpringCylinder("stop", {"load": load})).at("0", extend=75.0).to("3").value("position")
        for load in (5.0, -5.0)
    ]
    assert places == [pytest.approx((75_000 * AREA - 30 - load) / 500) for load in (5.0, -5.0)]
