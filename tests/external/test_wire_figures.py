"""Voltage lost in two-wire leads, held against conductor tables: what the `resistance` of a supply stands for.

Source: IEC 60228 as quoted in three tables (seen): class 5, flexible copper at 20 degC, at most; dV = 2 L R' I.
"""

import pytest

from simplant.curves import Curve
from simplant.wiring.supply import Supply
from tests.driving import milliseconds, put

CLASS_5 = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98}
"""mm2 -> ohm/km."""
LOST = {0.5: 3.900, 0.75: 2.600, 1.0: 1.950, 1.5: 1.330, 2.5: 0.798}
"""V lost over 10 m there and back at 5 A, derived."""


@pytest.mark.parametrize("area", CLASS_5)
def test_what_a_pair_of_wires_costs(area: float) -> None:
    """10 m of two-wire lead at 5 A, to the supply's step of 10 mV."""
    supply = Supply("supply12", {"volts": 12.0, "resistance": 2 * 10 * CLASS_5[area] / 1000})
    told = milliseconds(supply, [(0, put(feed=True)), (100, put(load=5.0))], 200)
    volts = [value for _, terminal, value in told if terminal == "volts"]
    assert not isinstance(volts[-1], Curve)
    assert 12.0 - volts[-1] == pytest.approx(LOST[area], abs=0.0051)


def test_a_tenth_of_the_voltage_is_lost_in_thin_wires() -> None:
    """0.75 mm2, 10 m, 5 A: 21.67 % of 12 V, 10.83 % of 24 V (derived): below the 85 % at which a coil still pulls."""
    shares = [LOST[0.75] / volts for volts in (12.0, 24.0)]
    assert shares == pytest.approx([0.2167, 0.1083], abs=5e-5)
    for volts, healthy in ((12.0, False), (24.0, True)):
        supply = Supply("s", {"volts": volts, "resistance": 0.52})
        told = milliseconds(supply, [(0, put(feed=True)), (100, put(load=5.0))], 200)
        assert [value for _, terminal, value in told if terminal == "healthy"][-1] is healthy
