"""PT100 table, 4 to 20 mA and its failure levels, first-order heating, level by current.

Sources stand beside each check.
"""

import pytest
from scipy.integrate import solve_ivp

from simplant.curves import Line, Steady
from simplant.errors import PlantError
from simplant.plant.heater import Heater
from simplant.plant.level_sensor import LevelSensor
from simplant.plant.pt100 import Pt100, pt100_celsius, pt100_ohms
from simplant.plant.transmitter import is_failure
from simplant.timebase import Ns, seconds
from tests.parts.bench import Bench

# degC -> ohm. Source: from memory: IEC 60751, table of resistances of a PT100.
TABLE = {
    -200: 18.52, -150: 39.72, -100: 60.26, -50: 80.31, -10: 96.09, 0: 100.00, 10: 103.90, 20: 107.79, 25: 109.73,
    50: 119.40, 100: 138.51, 150: 157.33, 200: 175.86, 250: 194.10, 300: 212.05, 400: 247.09, 500: 280.98,
    600: 313.71, 700: 345.28, 800: 375.70, 850: 390.48,
}  # fmt: skip


@pytest.mark.parametrize(("celsius", "ohms"), TABLE.items())
def test_the_table_of_the_standard(celsius, ohms):
    """Resistance to 0.01 ohm, and back to within what that is in kelvin."""
    assert round(pt100_ohms(celsius), 2) == ohms
    assert pt100_celsius(ohms) == pytest.approx(celsius, abs=0.02)


@pytest.mark.parametrize("tenths", range(-2000, 8501, 137))
def test_there_and_back(tenths):
    """The inverse is exact to a thousandth of a kelvin, over the whole range."""
    assert pt100_celsius(pt100_ohms(tenths / 10)) == pytest.approx(tenths / 10, abs=1e-3)


def test_out_of_the_table():
    """Beyond -200 and 850 degC there is no value; what reads a trifle beyond is taken as the end."""
    with pytest.raises(PlantError) as caught:
        pt100_ohms(850.5)
    assert str(caught.value) == ("a PT100 has no resistance at 850.5 degC. The standard's table goes from -200 to 850.")
    assert (pt100_celsius(391.0), pt100_celsius(10.0)) == (850.0, -200.0)


def test_leads_in_two_wire_connection():
    """1 ohm of lead reads 2.6 K too high. Source: derivation from the table: 0.385 ohm/K between 0 and 100 degC."""
    assert (pt100_ohms(100) - pt100_ohms(0)) / 100 == pytest.approx(0.385, abs=2e-4)
    b = Bench(Pt100("t", {"lead": 1.0, "low": 0.0, "high": 160.0}), temperature=Steady(50.0))
    read = (b.value("current") - 4.0) * 10
    assert read == pytest.approx(pt100_celsius(pt100_ohms(50.0) + 1.0), abs=0.05)


@pytest.mark.parametrize(("share", "current"), [(0, 4.0), (0.25, 8.0), (0.5, 12.0), (0.75, 16.0), (1.0, 20.0)])
@pytest.mark.parametrize(("low", "high"), [(0.0, 150.0), (-50.0, 50.0), (20.0, 20.5)])
def test_four_to_twenty(share, current, low, high):
    """I = 4 + 16 (x - low) / (high - low) mA. Source: derivation; 4 to 20 mA from memory: IEC 60381-1."""
    b = Bench(Pt100("t", {"low": low, "high": high}), temperature=Steady(low + share * (high - low)))
    assert b.value("current") == pytest.approx(current)


def test_measurement_and_failure_never_meet():
    """Measured: 3.8 to 20.5 mA; failure: at most 3.6 or at least 21. Source: from memory: NAMUR NE 43."""
    levels = [Bench(LevelSensor("l"), level=Steady(h)).value("current") for h in (-9.0, 0.0, 1.0, 2.0, 99.0)]
    assert (levels, [is_failure(mA) for mA in levels]) == ([3.8, 4.0, 12.0, 20.0, 20.5], [False] * 5)
    table = []
    for alarm_high in (1.0, 0.0):
        b = Bench(Pt100("t", {"alarm_high": alarm_high})).at("1", fault="element_broken")
        table.append((b.value("current"), is_failure(b.value("current"))))
    assert table == [(21.5, True), (3.5, True)]
    assert [is_failure(mA) for mA in (0.0, 3.6, 3.61, 20.99, 21.0)] == [True, True, False, False, True]


def test_heating_is_first_order():
    """C T' = P - (T - Ta) / R: 63.2 % of the way after R C; beside SciPy's integrator with a change of power.

    Source: derivation (1 - e^-1); SciPy.
    """
    b = Bench(Heater("h")).at("0", on=True).to("200")
    assert b.value("temperature") == pytest.approx(20 + 200 * 0.63212, abs=1e-3)
    b.at("300", cooling=200.0).at("400", on=False, cooling=0.0).to("700")

    def slope(t, y):
        power = 500.0 if t < 300 else 300.0 if t < 400 else 0.0
        return [(power - (y[0] - 20) / 0.4) / 500.0]

    run = solve_ivp(slope, (0, 700), [20.0], rtol=1e-9, atol=1e-9, max_step=1.0)
    assert b.value("temperature") == pytest.approx(run.y[0][-1], abs=1e-2)


def test_a_rising_level_crosses_its_current_when_it_should():
    """1 cm/s over a range of 2 m is 0.08 mA/s: 12 mA after 100 s, clipped at 20.5 mA from 206.25 s on (derivation)."""
    b = Bench(LevelSensor("l"), level=Line(Ns(0), 0.0, 0.01))
    shown = b.part.outputs["current"]
    assert [shown.crossing(mA, Ns(0)) for mA in (12.0, 20.5)] == [seconds(100), seconds("206.25")]
