"""A PT100 resistance thermometer with its transmitter: temperature as 4 to 20 mA.

The transmitter is transmitter.py. Rule: the element's resistance is that of the standard's table; the transmitter
makes a straight line of it.
"""

from math import sqrt
from typing import ClassVar, Final

from simplant.curves import Steady
from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter
from simplant.plant.transmitter import DEAD, FROZEN, RANGE, Transmitter

_R0: Final = 100.0
_A, _B, _C = 3.9083e-3, -5.775e-7, -4.183e-12
_PER_OHM: Final = 1 / 0.385
"""K per ohm, between 0 and 100 degC on an average."""


def pt100_ohms(celsius: float) -> float:
    """Give the resistance of a PT100 in ohm.

    R = 100 (1 + A t + B t^2), below 0 degC also + 100 C (t - 100) t^3.

    Args:
        celsius: -200 to 850 degC.

    Raises:
        PlantError: out of that range.

    Source: from memory: IEC 60751; held in `tests/external/test_temperature.py`.
    """
    t = celsius
    if not -200 <= t <= 850:
        raise PlantError(f"a PT100 has no resistance at {t:g} degC", "the standard's table goes from -200 to 850")
    return _R0 * (1 + _A * t + _B * t * t + (_C * (t - 100) * t**3 if t < 0 else 0.0))


def pt100_celsius(ohms: float) -> float:
    """Give the temperature that belongs to a resistance: the root above 0 degC, below it by Newton's rule.

    Args:
        ohms: 18.52 to 390.48 ohm (-200 to 850 degC); what lies a trifle beyond is taken as the end.
    """
    t = (-_A + sqrt(max(_A * _A - 4 * _B * (1 - ohms / _R0), 0.0))) / (2 * _B)
    if t >= 0:
        return min(t, 850.0)
    for _ in range(4):
        t = max(t, -200.0)
        slope = _R0 * (_A + 2 * _B * t + _C * (4 * t - 300) * t * t)
        t += (ohms - pt100_ohms(t)) / slope
    return max(t, -200.0)


class Pt100(Transmitter):
    """PT100 in two-, three- or four-wire connection: 4 mA at `low`, 20 mA at `high` degC.

    In two-wire connection the leads add to the element: it reads lead / 0.385 K too high. Lag is neglected.

    Inputs: `temperature` (curve, degC), `volts` (of the loop). Outputs: `current` (curve, mA), `alarm` (it has found a
    fault and says so in its current).

    Source: NAMUR NE 43 and IEC 60751 from memory; held in `tests/external/test_temperature.py`.
    """

    QUANTITY = "temperature"
    FOUND = ("element_broken", "element_shorted")
    INPUTS: ClassVar = {"temperature": Steady(20.0), "volts": 24.0}
    PARAMETERS: ClassVar = {
        "low": Parameter(0.0, "degC", "temperature of 4 mA", 0.0, -200.0, 850.0),
        "high": Parameter(150.0, "degC", "temperature of 20 mA", 0.0, -200.0, 850.0),
        "lead": Parameter(0.0, "ohm", "leads that add to the element; 0 with three or four wires", 0.3, 0.0, 50.0),
        **RANGE,
    }
    FAILURES = (
        FailureMode("element_broken", "element or its lead open", "the transmitter finds it and sends its alarm"),
        FailureMode("element_shorted", "water in the head", "the transmitter finds it and sends its alarm"),
        FailureMode("drift", "damp, leads corroded", "reads so much too high", 8.0, "K"),
        FROZEN,
        DEAD,
    )

    def error(self) -> float:
        """Give by how much it reads too high, K."""
        return self.faults.get("drift", 0.0) + self.p["lead"] * _PER_OHM
