"""Electrical levels: input types, kinds of signal, and what an input reads from a conductor.

The points that use them, and their faults, are in points.py. Rule: physics decides the level;
nothing here knows what a tag means.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final


class ContactForm(Enum):
    """What a contact or sensor output does when its device is not actuated."""

    NO = "NO"
    NC = "NC"


class SignalKind(Enum):
    """How a device signals: by a dry contact, or by a transistor towards + (PNP), 0 V (NPN) or both (push-pull)."""

    DRY = "dry"
    PNP = "PNP"
    NPN = "NPN"
    PUSH_PULL = "push_pull"


class Reading(Enum):
    """What the standard promises for a voltage at an input."""

    OFF = "off"
    ON = "on"
    UNSURE = "unsure"


@dataclass(frozen=True, slots=True)
class InputType:
    """A type of digital input.

    Args:
        name: as the `input` column of the I/O list writes it.
        off_volts: at or below, it reads 0 for sure, V.
        on_volts: at or above, it reads 1 for sure, V.
        off_current: a current up to this reads 0 for sure, mA.
        on_current: a current from this on reads 1 for sure, mA.

    Source: types 1 to 3 as commonly quoted from IEC 61131-2 (24 V DC, current sinking), 0.3 and 0.7 of 5 V for
    `logic_5v`, over a pull-up of 10 kohm: common practice, no source; derived cases in
    `tests/external/test_input_levels.py`.
    """

    name: str
    off_volts: float
    on_volts: float
    off_current: float
    on_current: float

    def reading(self, volts: float) -> Reading:
        """Give what the standard promises for a voltage across the input."""
        if volts >= self.on_volts:
            return Reading.ON
        return Reading.OFF if volts <= self.off_volts else Reading.UNSURE


INPUT_TYPES: Final[Mapping[str, InputType]] = {
    each.name: each
    for each in (
        InputType("type_1", 5.0, 15.0, 0.5, 2.0),
        InputType("type_2", 5.0, 11.0, 2.0, 6.0),
        InputType("type_3", 5.0, 11.0, 1.5, 2.0),
        InputType("logic_5v", 1.5, 3.5, 0.15, 0.35),
    )
}


def carries(signal: SignalKind, *, closed: bool, to_supply: bool, to_0v: bool) -> bool:
    """Say whether the input's circuit is closed, given the device and a short on its conductor.

    A dry contact, a PNP or a push-pull output feeds + into a sinking input: a short to + looks like a closed contact,
    one to 0 V like an open one (and wins, since the fuse has gone). An NPN output draws current out of a sourcing
    input, or pulls the input's pull-up down; such an input counts current as logical 1, so it is the other way round.

    Args:
        signal: how the device signals.
        closed: the contact is closed, the transistor conducts.
        to_supply: the conductor touches +.
        to_0v: the conductor touches 0 V.
    """
    if signal is SignalKind.NPN:
        return to_0v or (closed and not to_supply)
    return not to_0v and (closed or to_supply)
