"""A level sensor: the height of a liquid as 4 to 20 mA.

The transmitter is transmitter.py, the tank tank.py; a float that only switches is float_switch.py.
Rule: it sees no further than its range.
"""

from typing import ClassVar

from simplant.curves import Steady
from simplant.part import FailureMode, Parameter
from simplant.plant.transmitter import DEAD, FROZEN, RANGE, Transmitter


class LevelSensor(Transmitter):
    """Hydrostatic probe: 4 mA at `low`, 20 mA at `high`, straight between, clipped at 3.8 and 20.5 mA.

    Inputs: `level` (curve, m), `volts` (of the loop). Outputs: `current` (curve, mA), `alarm`.

    Source: NAMUR NE 43 from memory; held in `tests/external/test_temperature.py`.
    """

    QUANTITY = "level"
    FOUND = ("membrane_torn",)
    INPUTS: ClassVar = {"level": Steady(0.0), "volts": 24.0}
    PARAMETERS: ClassVar = {
        "low": Parameter(0.0, "m", "level of 4 mA", 0.0, -10.0, 1000.0),
        "high": Parameter(2.0, "m", "level of 20 mA", 0.0, -10.0, 1000.0),
        **RANGE,
    }
    FAILURES = (
        FailureMode("membrane_torn", "struck or frozen", "the transmitter finds it and sends its alarm"),
        FailureMode("drift", "mud on the membrane, vent of the cable blocked", "reads so much too high", 0.2, "m"),
        FROZEN,
        DEAD,
    )
