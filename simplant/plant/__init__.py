"""The machine: parts that move, balls that fly, people who press, and the world that advances them."""

from collections.abc import Mapping
from typing import Final

from simplant.part import Part
from simplant.plant.air_supply import AirSupply
from simplant.plant.ball_gate import BallGate
from simplant.plant.ball_loop import BallLoop
from simplant.plant.belt import Belt
from simplant.plant.cylinder import Cylinder, SpringCylinder
from simplant.plant.encoder import Encoder
from simplant.plant.feeder import Feeder
from simplant.plant.float_switch import FloatSwitch
from simplant.plant.heater import Heater
from simplant.plant.indexing_table import IndexingTable
from simplant.plant.level_sensor import LevelSensor
from simplant.plant.lift import Lift
from simplant.plant.limit_sensor import LimitSensor
from simplant.plant.motor import Motor
from simplant.plant.people import People
from simplant.plant.pt100 import Pt100
from simplant.plant.pulse_sensor import PulseSensor
from simplant.plant.pump import Pump
from simplant.plant.tank import Tank
from simplant.plant.thermostat import Thermostat
from simplant.plant.turntable import Turntable
from simplant.plant.valve import DoubleValve, Valve
from simplant.plant.wheel import Wheel

STOCK: Final[Mapping[str, type[Part]]] = {
    "turntable": Turntable,
    "limit_sensor": LimitSensor,
    "lift": Lift,
    "wheel": Wheel,
    "ball_gate": BallGate,
    "ball_loop": BallLoop,
    "people": People,
    "tank": Tank,
    "pump": Pump,
    "float_switch": FloatSwitch,
    "air_supply": AirSupply,
    "valve": Valve,
    "double_valve": DoubleValve,
    "cylinder": Cylinder,
    "spring_cylinder": SpringCylinder,
    "feeder": Feeder,
    "belt": Belt,
    "indexing_table": IndexingTable,
    "motor": Motor,
    "heater": Heater,
    "thermostat": Thermostat,
    "pt100": Pt100,
    "level_sensor": LevelSensor,
    "pulse_sensor": PulseSensor,
    "encoder": Encoder,
}
"""The stock parts of this package by the name that `machine.toml` calls them."""
