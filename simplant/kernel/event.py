"""What a controller reports besides values: trips, overruns, errors, power and mode, as plain records.

What is done with them (trace, alarm list, exit code) is the rig's affair. Rule: no event depends on how
many scans were really run.
"""

from dataclasses import dataclass
from enum import Enum

from simplant.errors import ProgramError
from simplant.timebase import Ns


class EventKind(Enum):
    """What happened to the controller."""

    POWER_LOST = "power lost"
    POWER_BACK = "power back"
    RESTART = "restart"
    STOP = "stop"
    HANG = "hang"
    OVERRUN = "overrun"
    WATCHDOG = "watchdog"
    ERROR = "program error"
    WRITE_LOST = "write lost"


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    Args:
        time: when.
        kind: what.
        text: the details, for people.
        error: what the program raised, for `EventKind.ERROR`.
    """

    time: Ns
    kind: EventKind
    text: str
    error: ProgramError | None = None
