"""Tank and pump: the level by what flows, rim and bottom, delivery, running dry; each failure shown to matter."""

import pytest

from simplant.curves import Line, Steady
from simplant.errors import PlantError
from simplant.plant.pump import Pump
from simplant.plant.tank import Tank
from simplant.plant.world import Wire, World
from simplant.timebase import Ns, seconds
from tests.parts.bench import Bench


def tank(**parameters):
    return Bench(Tank("sump", {"area": 2.0, "depth": 2.0, "start_level": 1.0, **parameters}))


def test_the_level_is_what_flowed():
    """1/64 m3/s into 2 m2 for 64 s is half a metre; then as much out."""
    b = tank().at("0", inflow=1 / 64).at("64", inflow=0.0, outflow=1 / 64).to("128")
    assert b.value("level") == 1.0
    assert b.part.outputs["level"].at(seconds(64)) == 1.5


def test_rim_and_bottom_hold_the_level():
    """It overflows while more comes in than goes out, and is empty while no more can go out."""
    b = tank(seep=1 / 32).at("80", outflow=1 / 16).at("250", outflow=0.0).to("260")
    assert b.told("overflowing", "empty") == [
        (64.0, "overflowing", True),
        (80.0, "overflowing", False),
        (208.0, "empty", True),
        (250.0, "empty", False),
    ]
    assert b.value("level") == 10 / 64


def test_what_balances_neither_overflows_nor_speaks():
    """At the rim with as much out as in nothing runs over; an order that changes nothing says nothing."""
    b = tank(start_level=2.0, seep=1 / 32).at("0", outflow=1 / 32)
    b.at("1", inflow=1 / 64).at("2", inflow=1 / 64).at("3", outflow=3 / 64)
    assert b.told("overflowing") == [
        (0.0, "overflowing", True),
        (0.0, "overflowing", False),
        (1.0, "overflowing", True),
        (3.0, "overflowing", False),
    ]
    falling = tank().at("0", outflow=1 / 64)
    said = len(falling.log)
    assert len(falling.at("1", outflow=1 / 64).log) == said


def test_a_scenario_sets_the_inflow():
    """The action `inflow` replaces what seeps in; anything that is no flow is refused and changes nothing."""
    b = tank()
    b.part.act("inflow", 1 / 32, b.now)
    assert b.at("0").to("32").value("level") == 1.5
    for wrong in (-1.0, "much", None):
        with pytest.raises(PlantError, match="is not a flow"):
            b.part.act("inflow", wrong, b.now)
    with pytest.raises(PlantError, match="cannot 'inflw'"):
        b.part.act("inflw", 1.0, b.now)


def test_it_tells_what_comes_in():
    """By wire and by seeping together, whatever goes out."""
    b = tank(seep=1 / 32).at("1", inflow=1 / 32, outflow=1 / 4).at("2", inflow=0.0)
    assert b.told("coming_in") == [(0.0, "coming_in", 1 / 32), (1.0, "coming_in", 1 / 16), (2.0, "coming_in", 1 / 32)]


def test_a_leak_runs_out_besides():
    """1/64 m3/s out of 2 m2 for 64 s, until it is mended."""
    assert tank().at("0", fault="leaks", value=1 / 64).at("64", mend="leaks").to("99").value("level") == 0.5


def pump(**parameters):
    return Bench(Pump("pump_1", {"rated_flow": 0.5, **parameters}))


def test_it_delivers_a_moment_after_its_start_and_stops_at_once():
    """Half a second from contactor to flow; without voltage it does not turn."""
    b = pump().at("1", run=True).at("3", run=False).at("4", run=True, volts=5.0).to("6")
    assert b.told("flow", "running", "current") == [
        (1.0, "running", True),
        (1.0, "current", 4.0),
        (1.5, "flow", 0.5),
        (3.0, "flow", 0.0),
        (3.0, "running", False),
        (3.0, "current", 0.0),
    ]


def test_it_sucks_air_below_its_inlet():
    """Dry at 0.0625 m falling, primed again 0.0625 m above that rising."""
    b = pump(inlet=0.0625, reprime=0.0625).at("0", run=True)
    b.at("1", level=Line(seconds(1), 0.125, -0.0625)).at("2.5", level=Line(seconds("2.5"), 0.03125, 0.0625)).to("9")
    assert b.told("dry", "flow") == [
        (0.5, "flow", 0.5),
        (2.0, "flow", 0.0),
        (2.0, "dry", True),
        (4.0, "flow", 0.5),
        (4.0, "dry", False),
    ]


def test_it_is_not_primed_by_another_curve_below_its_mark():
    """Dry at 0.0625 m, then steady at 0.09 m: above the inlet, not yet primed."""
    b = pump(inlet=0.0625, reprime=0.0625).at("0", run=True)
    b.at("1", level=Steady(0.0625)).at("2", level=Steady(0.09))
    assert b.value("dry")
    assert not b.at("3", level=Steady(0.125)).value("dry")


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        (None, 1.0, (0.5, True, False)),
        ("dead", 1.0, (0.0, False, False)),
        ("overload", 1.0, (0.0, False, True)),
        ("clogged", 1.0, (0.0, True, False)),
        ("weak", 0.5, (0.25, True, False)),
    ],
)
def test_each_failure_has_its_own_picture(kind, value, said):
    """Flow, running and tripped, once the fault is there and after it is mended."""
    b = pump().at("0", run=True).at("2", fault=kind, value=value)
    assert tuple(b.value(t) for t in ("flow", "running", "tripped")) == said
    if kind:
        b.at("3", mend=kind).to("4")
    assert tuple(b.value(t) for t in ("flow", "running", "tripped")) == (0.5, True, False)


def test_every_failure_has_a_test():
    """The list of failures is the list above."""
    assert [f.kind for f in Pump.FAILURES] == ["dead", "overload", "clogged", "weak"]


def test_a_pump_empties_its_tank_and_then_breathes():
    """In a world: the pump runs dry at its inlet, the sump seeps full again, and nothing hangs."""
    sump = Tank("sump", {"area": 1.0, "start_level": 0.5, "seep": 0.01})
    lifting = Pump("lifting", {"rated_flow": 0.11, "inlet": 0.05, "reprime": 0.1})
    lifting.inputs["run"] = True
    world = World(
        {"sump": sump, "lifting": lifting},
        [Wire("lifting.flow", "sump", "outflow"), Wire("sump.level", "lifting", "level")],
    )
    world.begin()
    dry = []
    while (now := world.next_due()) < seconds(60):
        world.advance(now)
        world.settle(now)
        dry += [(round(now / 1e9, 3), value) for name, value in world.changes if name == "lifting.dry"]
        world.changes.clear()
    assert dry[:4] == [(5.05, True), (15.05, False), (16.05, True), (26.05, False)]
    level = sump.outputs["level"]
    assert not isinstance(level, Steady)
    assert 0.05 - 1e-6 <= level.at(Ns(now)) <= 0.2
