"""Valve and cylinder times held against formulas and common practice.

Sources stand beside each check: common practice, no source, or a derivation from the formula named.
"""

from math import pi

import pytest

from simplant.plant.cylinder import Cylinder
from simplant.plant.valve import DoubleValve, Valve
from tests.parts.bench import Bench

STANDARD = 100e3
"""Pa: reference atmosphere of pneumatics (100 kPa, 20 C). Source: from memory: ISO 8778."""


def stroke_times(bore, rod, stroke, flow):
    """Give the times of both strokes, from air to standstill, s."""
    sizes = {"bore": bore, "rod": rod, "stroke": stroke, "flow_out": flow, "flow_in": flow, "start_delay": 0.0}
    b = Bench(Cylinder("c", sizes)).at("0", extend=600.0).at("50", extend=0.0, retract=600.0).to("99")
    stops = [t for t, _, value in b.told("moving") if value is False and t > 0]
    return stops[0], stops[1] - 50


@pytest.mark.parametrize(
    ("bore", "rod", "stroke", "conductance"),
    [(0.025, 0.010, 0.1, 1e-9), (0.032, 0.012, 0.25, 1.5e-9), (0.050, 0.020, 0.5, 3e-9)],
)
def test_a_stroke_takes_the_volume_over_the_flow(bore, rod, stroke, conductance):
    """t = stroke x area / flow, flow = C p0: out of the ring moving out, out of the whole bore moving in.

    Source: derivation. Choked flow through a throttle, q = C rho0 p1 (from memory: ISO 6358), is a volume flow C p0 of
    the air before it, whatever its pressure p1; C in m3/(s Pa), 1 dm3/(s bar) = 1e-8 m3/(s Pa).
    """
    flow = conductance * STANDARD
    ring, whole = pi / 4 * (bore**2 - rod**2), pi / 4 * bore**2
    assert stroke_times(bore, rod, stroke, flow) == (
        pytest.approx(stroke * ring / flow, abs=2e-6),
        pytest.approx(stroke * whole / flow, abs=2e-6),
    )


@pytest.mark.parametrize(("bore", "force"), [(0.016, 121), (0.025, 295), (0.032, 483), (0.050, 1178)])
def test_theoretical_force_at_600_kpa(bore, force):
    """F = p A, as tables of cylinders print it. Source: derivation; tables: common practice, no source."""
    frictionless = {"bore": bore, "rod": bore / 3, "friction": 0.0}
    moves = [
        Bench(Cylinder("c", {**frictionless, "load": load})).at("0", extend=600.0).to("90").value("at_front")
        for load in (force - 1.0, force + 1.0)
    ]
    assert moves == [True, False]


def test_default_times_are_those_of_small_valves():
    """Switching in 10 to 30 ms, the spring slower than the coil; cylinders of some 0.1 to 0.5 m/s.

    Source: common practice, no source.
    """
    single, double = Valve.PARAMETERS, DoubleValve.PARAMETERS
    times = single["switch_on"].default, single["switch_off"].default, double["switch"].default
    assert (all(0.010 <= each <= 0.030 for each in times), times[0] < times[1]) == (True, True)
    out, back = stroke_times(0.025, 0.010, 0.1, Cylinder.PARAMETERS["flow_out"].default)
    assert (0.1 <= 0.1 / out <= 0.5, 0.1 <= 0.1 / back <= 0.5) == (True, True)


def test_a_coil_pulls_from_85_percent_of_its_voltage():
    """24 V coils are built for 85 to 110 %: 20.4 V pull. Source: common practice, no source."""
    assert Valve.PARAMETERS["least_volts"].default == pytest.approx(0.85 * 24)
