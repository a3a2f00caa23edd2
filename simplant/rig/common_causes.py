"""One cause that fails several parts or points at once: derived from the I/O list and the parts, never written.

What it does to each is that part's own failure mode. Rule: a target's name has a blank in it, so no part of a user
is in its way.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from simplant.faults import SUN, FailureMode
from simplant.rig.plans import PartPlan
from simplant.wiring.io_list import IoList

_COMMON_LOST: Final = FailureMode(
    "common_lost", "common conductor broken, plug out, or cable cut", "no current flows in any point of the cable"
)
_SUNLIGHT: Final = FailureMode(
    "sunlight", "low sun or a floodlight shines into the receivers", "every optical sensor is blinded", lasts=SUN
)
_OPTICS: Final = "all optics"


@dataclass(frozen=True, slots=True)
class CommonCause:
    """One such cause.

    Args:
        target: what it is a fault of, for scenarios and hazard lists: `cable W3`, `all optics`.
        mode: cause and effect.
        members: what fails with it, each with its own failure mode.
    """

    target: str
    mode: FailureMode
    members: tuple[tuple[str, str], ...]


def common_causes(plans: Mapping[str, PartPlan], io: IoList) -> tuple[CommonCause, ...]:
    """Give the cables with two points or more, then what blinds two optical sensors or more."""
    return tuple(cause for cause in (*_cables(plans, io), _optics(plans)) if len(cause.members) > 1)


def _cables(plans: Mapping[str, PartPlan], io: IoList) -> Iterator[CommonCause]:
    for cable in dict.fromkeys(point.cable for point in io if point.cable):
        points = (point.name for point in io if point.cable == cable)
        members = tuple((name, "open_wire") for name in points if "open_wire" in _kinds(plans[name]))
        yield CommonCause(f"cable {cable}", _COMMON_LOST, members)


def _optics(plans: Mapping[str, PartPlan]) -> CommonCause:
    blinded = ((name, kind) for name, plan in plans.items() for kind in _kinds(plan) if kind.endswith("blinded"))
    return CommonCause(_OPTICS, _SUNLIGHT, tuple(blinded))


def _kinds(plan: PartPlan) -> list[str]:
    return [mode.kind for mode in plan.kind.FAILURES]


class Causes:
    """What each failure of a part comes from: it lasts until the last of its causes has gone."""

    def __init__(self) -> None:
        self._there: dict[tuple[str, str], list[float]] = {}

    def change(self, faults: dict[str, float], failure: tuple[str, str], severity: float | None) -> None:
        """Add a cause with its severity to a failure (part and kind), or with None take the oldest away."""
        there = self._there.setdefault(failure, [])
        if severity is None:
            there.pop(0)
        else:
            there.append(severity)
        if there:
            faults[failure[1]] = there[-1]
        else:
            del faults[failure[1]]
