"""The machine: parts that move, balls that fly, people who press, and the world that advances them."""

from collections.abc import Mapping
from typing import Final

from simplant.part import Part
from simplant.plant.air_supply import AirSupply
from simplant.plant.ball_gate import BallGate
from simplant.plant.ball_loop import BallLoop
from simplant.plant.cylinder import Cylinder, SpringCylinder
from simplant.plant.float_switch import FloatSwitch
from simplant.plant.lift import Lift
from simplant.plant.limit_sensor import LimitSensor
from simplant.plant.people import People
from simplant.plant.pump import Pump
from simplant.plant.tank import Tank
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
}
"""The stock parts of this package by the name that `machine.toml` calls them."""
