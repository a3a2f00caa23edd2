"""Motor with overload, heater with thermostat, transmitters: whole timelines, and each failure shown to matter."""

import pytest

from simplant.curves import Line, Steady
from simplant.errors import PlantError
from simplant.plant.heater import Heater
from simplant.plant.level_sensor import LevelSensor
from simplant.plant.motor import Motor
from simplant.plant.pt100 import Pt100
from simplant.plant.thermostat import Thermostat
from simplant.plant.world import Wire, World
from simplant.testing import check_part
from simplant.timebase import Ns, seconds
from simplant.wiring.overload import Overload
from simplant.wiring.relay import Contactor
from tests.parts.bench import Bench


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_contract_holds_at_mains_voltage(seed):
    """The kit's usual numbers are up to 48 V; here the line comes and goes."""
    check_part(Motor, values={"volts": (0.0, 400.0, 360.0, 200.0)}, seed=seed)
    check_part(Overload, values={"current": (0.0, 3.0, 21.0, 6.0)}, seed=seed)
    check_part(Heater, values={"volts": (0.0, 230.0), "cooling": (0.0, 200.0)}, seed=seed)


def test_a_motor_runs_up_and_down():
    """0 to 152 rad/s at 400 rad/s2, knee at 80 %, told at 95 %; off at 1 s it coasts at 60 rad/s2 to standstill."""
    b = Bench(Motor("m", {"load": 0.8, "rated_current": 5.0})).at("0", volts=400.0).at("1", volts=0.0).to("9")
    assert b.told("turning", "up_to_speed", "current") == [
        (0.0, "current", 30.0), (0.00125, "turning", True), (0.304001, "current", 4.0), (0.361, "up_to_speed", True),
        (1.0, "current", 0.0), (1.126667, "up_to_speed", False), (3.525, "turning", False),
    ]  # fmt: skip
    assert b.part.outputs["speed"].at(seconds(1)) == 152.0


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("dead", 1.0, (0.0, 0.0)),
        ("blocked", 1.0, (0.0, 21.0)),
        ("phase_lost", 1.0, (152.0, 5.15)),
        ("overloaded", 1.5, (152.0, 5.25)),
    ],
)
def test_each_failure_of_a_motor(kind, value, said):
    """Speed and current 5 s after the fault on a running motor; mended it is as before."""
    b = Bench(Motor("m")).at("0", volts=400.0).at("1", fault=kind, value=value).to("6")
    assert (b.value("speed"), round(b.value("current"), 2)) == said
    b.at("6", mend=kind).to("9")
    assert (b.value("speed"), round(b.value("current"), 3)) == (152.0, 2.975)


def test_a_phase_lost_at_rest_does_not_start():
    """It hums until the fuse is changed."""
    b = Bench(Motor("m")).at("0", fault="phase_lost", volts=400.0).at("2", mend="phase_lost").to("4")
    assert b.told("up_to_speed") == [(2.361, "up_to_speed", True)]


def test_an_overload_trips_stays_and_is_reset_when_cool():
    """6 x trips after 275 ln(36 / 34.7) s; the button does nothing while hot, and works when it has cooled to 0.5."""
    b = Bench(Overload("f", {"setting": 1.0})).at("0", current=6.0).at("20", current=0.0)
    b.part.act("reset", None, b.now)
    b.at("20").to("600")
    assert b.value("tripped")
    b.part.act("reset", None, b.now)
    b.at("600").to("700")
    assert b.told("tripped", "healthy") == [
        (10.114295, "tripped", True), (10.114295, "healthy", False),
        (600.0, "tripped", False), (600.0, "healthy", True),
    ]  # fmt: skip


def test_an_overload_on_automatic_starts_the_motor_again():
    """With `auto_reset` it comes back by itself once it has cooled: the trap of that setting."""
    b = Bench(Overload("f", {"setting": 1.0, "auto_reset": 1.0})).at("0", current=6.0).at("10.2", current=0.0).to("900")
    assert [value for _, _, value in b.told("tripped")] == [True, False]


@pytest.mark.parametrize(
    ("kind", "value", "said"), [("set_low", 0.5, True), ("bridged", 1.0, False), ("tripped_by_hand", 1.0, True)]
)
def test_each_failure_of_an_overload(kind, value, said):
    """At 0.85 of its setting set to half it trips; by hand it trips; bridged it does not even at 6 x."""
    b = Bench(Overload("f", {"setting": 1.0})).at("0", current=0.85).at("1", fault=kind, value=value)
    b.at("2", current=6.0 if kind == "bridged" else 0.85).to("3000")
    assert b.value("tripped") is said
    assert b.value("healthy") is not said


def test_an_overload_takes_no_other_word():
    """A reset with a value, and a misspelt one, are refused."""
    part = Bench(Overload("f")).part
    with pytest.raises(PlantError) as caught:
        part.act("reset", 1.0, Ns(0))
    assert str(caught.value) == "'f': a reset takes no value, but 1.0 is given."
    with pytest.raises(PlantError, match="cannot 'rest'"):
        part.act("rest", None, Ns(0))


def test_contactor_overload_and_blocked_motor_in_a_world():
    """The overload opens the coil circuit of the contactor 10.1 s after the rotor stuck, and the motor is off."""
    parts = {"k1": Contactor("k1"), "m1": Motor("m1"), "f1": Overload("f1")}
    parts["k1"].inputs.update(coil=True, line=400.0)
    parts["m1"].faults["blocked"] = 1.0
    wires = [Wire("k1.out", "m1", "volts"), Wire("m1.current", "f1", "current"), Wire("f1.healthy", "k1", "enable")]
    world = World(parts, wires)
    world.begin()
    said = []
    while (now := world.next_due()) < seconds(60):
        world.advance(now)
        world.settle(now)
        said += [(round(now / 1e9, 3), name, v) for name, v in world.changes if name in ("k1.closed", "m1.current")]
        world.changes.clear()
    assert said == [(0.02, "k1.closed", True), (0.02, "m1.current", 21.0), (10.149, "k1.closed", False),
                    (10.149, "m1.current", 0.0)]  # fmt: skip


def test_a_thermostat_holds_its_heater_in_a_world():
    """Between 60 and 55 degC: heating 200 ln(200 / 160) s, cooling 200 ln(40 / 35), heating 200 ln(165 / 160)."""
    parts = {"heater": Heater("heater"), "stat": Thermostat("stat")}
    world = World(parts, [Wire("heater.temperature", "stat", "temperature"), Wire("stat.calls", "heater", "on")])
    world.begin()
    said = []
    while (now := world.next_due()) < seconds(90):
        world.advance(now)
        world.settle(now)
        said += [(round(now / 1e9, 3), value) for name, value in world.changes if name == "stat.calls"]
        world.changes.clear()
    assert said == [(44.629, False), (71.335, True), (77.489, False)]


@pytest.mark.parametrize(
    ("kind", "value", "goal"),
    [("burnt_out", 1.0, 20.0), ("partly_dead", 0.5, 120.0), ("uncovered", 2.0, 120.0)],
)
def test_each_failure_of_a_heater(kind, value, goal):
    """Where the temperature ends; and 220 degC again after mending."""
    b = Bench(Heater("h")).at("0", on=True).at("1", fault=kind, value=value).to("4000")
    assert b.value("temperature") == pytest.approx(goal, abs=1e-3)
    assert b.at("4000", mend=kind).to("9000").value("temperature") == pytest.approx(220.0, abs=1e-3)


@pytest.mark.parametrize(("kind", "said"), [("stuck_on", (True, False)), ("stuck_off", (False, True))])
def test_each_failure_of_a_thermostat(kind, said):
    """What it feels and calls at 20 and at 99 degC does not depend on the temperature."""
    b = Bench(Thermostat("s")).at("1", fault=kind)
    cold = b.value("hot"), b.value("calls")
    b.at("2", temperature=Steady(99.0)).to("3")
    assert (cold, (b.value("hot"), b.value("calls"))) == (said, said)


def test_a_chattering_thermostat_ends_as_it_should():
    """False changes for 20 ms, then the right one."""
    b = Bench(Thermostat("s")).at("1", fault="chattering", value=0.02).at("2", temperature=Steady(99.0)).to("3")
    values = [value for _, _, value in b.told("hot")]
    assert values[-1] is True
    assert len(values) > 1


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("element_broken", 1.0, (21.5, 21.5, True)),
        ("element_shorted", 1.0, (21.5, 21.5, True)),
        ("drift", 10.0, (13.6, 15.2, False)),
        ("frozen", 1.0, (12.0, 12.0, False)),
        ("dead", 1.0, (0.0, 0.0, False)),
    ],
)
def test_each_failure_of_a_pt100(kind, value, said):
    """Current at 50 and 60 degC of a range to 100, and the alarm; mended it reads 13.6 mA."""
    b = Bench(Pt100("t", {"high": 100.0}), temperature=Steady(50.0)).at("1", fault=kind, value=value)
    told = b.value("current")
    b.at("2", temperature=Steady(60.0))
    assert (round(told, 6), round(b.value("current"), 6), b.value("alarm")) == said
    assert b.at("3", mend=kind).value("current") == pytest.approx(13.6)


def test_failures_of_a_level_sensor_and_lost_loop_supply():
    """Torn, drifting, frozen at the onset, dead; without loop supply 0 mA whatever else is wrong."""
    table = {}
    for kind, value in (("membrane_torn", 1.0), ("drift", 0.25), ("frozen", 1.0), ("dead", 1.0)):
        b = Bench(LevelSensor("l"), level=Line(Ns(0), 0.0, 0.5)).at("2", fault=kind, value=value).to("3")
        table[kind] = (b.value("current"), b.at("3", volts=5.0).value("current"), b.value("alarm"))
    assert table == {
        "membrane_torn": (21.5, 0.0, False), "drift": (18.0, 0.0, False), "frozen": (12.0, 0.0, False),
        "dead": (0.0, 0.0, False),
    }  # fmt: skip


def test_every_failure_has_a_test():
    """The lists of failures are those above."""
    assert [f.kind for f in Motor.FAILURES] == ["dead", "blocked", "phase_lost", "overloaded"]
    assert [f.kind for f in Overload.FAILURES] == ["set_low", "bridged", "tripped_by_hand"]
    assert [f.kind for f in Heater.FAILURES] == ["burnt_out", "partly_dead", "uncovered"]
    assert [f.kind for f in Thermostat.FAILURES] == ["stuck_on", "stuck_off", "chattering"]
    assert [f.kind for f in Pt100.FAILURES] == ["element_broken", "element_shorted", "drift", "frozen", "dead"]
    assert [f.kind for f in LevelSensor.FAILURES] == ["membrane_torn", "drift", "frozen", "dead"]


def test_a_range_has_a_width():
    """4 mA and 20 mA at the same temperature are refused."""
    with pytest.raises(PlantError) as caught:
        Bench(Pt100("t", {"low": 50.0, "high": 50.0}))
    assert str(caught.value) == "transmitter 't' measures from 50 to 50. Let high exceed low."
