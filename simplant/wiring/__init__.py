"""Between plant and controller: the I/O list, points, relays, supplies, the safety chain."""

from collections.abc import Mapping
from typing import Final

from simplant.part import Part
from simplant.wiring.devices import Door, EmergencyStop, Lamp, PushButton, Selector
from simplant.wiring.guard_lock import GuardLock
from simplant.wiring.light_curtain import LightCurtain
from simplant.wiring.overload import Overload
from simplant.wiring.relay import Changeover, Contactor, Relay
from simplant.wiring.safety_chain import SafetyChain
from simplant.wiring.supply import Supply
from simplant.wiring.two_hand import TwoHand

STOCK: Final[Mapping[str, type[Part]]] = {
    "supply": Supply,
    "relay": Relay,
    "contactor": Contactor,
    "changeover": Changeover,
    "safety_chain": SafetyChain,
    "push_button": PushButton,
    "emergency_stop": EmergencyStop,
    "selector": Selector,
    "door": Door,
    "lamp": Lamp,
    "overload": Overload,
    "two_hand": TwoHand,
    "light_curtain": LightCurtain,
    "guard_lock": GuardLock,
}
"""The stock parts of this package by the name that `machine.toml` calls them."""
